package unit

import "testing"

// TestShown: a value has the digits of the meter, below an ohm in milliohms; and
// nothing has no sign.
func TestShown(t *testing.T) {
	for _, c := range []struct {
		ohms, step Resistance
		want       string
	}{
		{0.018734, 1e-4, "18.7 mΩ"}, {0.018734, 1e-5, "18.73 mΩ"}, {0.018734, 1e-3, "19 mΩ"},
		{0.00012345, 1e-4, "0.1 mΩ"}, {3.2e-5, 1e-4, "0.0 mΩ"}, {-3.2e-5, 1e-4, "0.0 mΩ"}, {-0.00011, 1e-5, "-0.11 mΩ"},
		{0.4437, 1e-4, "443.7 mΩ"}, {0.4437, 0, "444 mΩ"}, {0.4437, 5e-4, "443.7 mΩ"}, {1.234, 1e-4, "1.23 Ω"},
		{38e3, 1e-4, "38.0 kΩ"}, {Open, 1e-4, "open"},
	} {
		if got := c.ohms.Shown(c.step); got != c.want {
			t.Errorf("%g in steps of %g: %q, want %q", float64(c.ohms), float64(c.step), got, c.want)
		}
	}
}
