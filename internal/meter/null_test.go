package meter_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"ohmward/internal/meter"
	"ohmward/unit"
)

// touch is a taken touch on a range.
func touch(ohms, rng unit.Resistance, f meter.Function) meter.Touch {
	return meter.Touch{Ohms: ohms, FourWire: f == meter.FourWire, Taken: epoch,
		Samples: []meter.Sample{{Function: f, Ohms: ohms, Range: rng}}}
}

func wants(t *testing.T, err error, words string) {
	t.Helper()
	if (err == nil) != (words == "") || err != nil && !strings.Contains(err.Error(), words) {
		t.Errorf("got %v, want %q", err, words)
	}
}

// A null is in the meter or in the program, never in both; it belongs to its
// range, grows old, and a fixed place tells whether it moved.
func TestNulling(t *testing.T) {
	var n meter.Nulling
	if got, err := n.Apply(touch(0.1, 100, meter.Resistance)); err != nil || got != 0.1 {
		t.Errorf("without a null: %v, %v", got, err)
	}
	if n.Due(epoch) == "" {
		t.Error("no null is due")
	}
	_, err := n.Take(touch(20, 100, meter.Resistance))
	wants(t, err, "is not what leads read")
	_, err = n.Take(touch(0.08, 100, meter.FourWire))
	wants(t, err, "only two-wire")
	_, err = n.Take(touch(0.08, 100, meter.Resistance))
	wants(t, err, "")
	wants(t, n.InMeter(), "forget its null")
	got, err := n.Apply(touch(0.0987, 100, meter.Resistance))
	if wants(t, err, ""); math.Abs(float64(got)-0.0187) > 1e-12 {
		t.Errorf("got %v, want 18.7 mΩ", got)
	}
	_, err = n.Apply(touch(0.0987, 1000, meter.Resistance))
	wants(t, err, "belongs to the range of 100 Ω, this was read on that of 1.00 kΩ")
	if got, err := n.Apply(touch(0.0987, 100, meter.FourWire)); err != nil || got != 0.0987 {
		t.Errorf("four-wire: %v, %v", got, err)
	}
	wants(t, n.Fixed(0.0412), "")
	wants(t, n.Fixed(0.0430), "")
	wants(t, n.Fixed(0.0440), "moved by 2.80 mΩ")
	if why := n.Due(epoch.Add(4 * time.Minute)); why != "" {
		t.Errorf("due: %s", why)
	}
	if why := n.Due(epoch.Add(5 * time.Minute)); why != "the null is 5 minutes old" {
		t.Errorf("due: %q", why)
	}
	for range 9 {
		_, _ = n.Apply(touch(0.1, 100, meter.Resistance))
	}
	if why := n.Due(epoch); why != "10 readings were taken since the null" {
		t.Errorf("due: %q", why)
	}
	n.Forget()
	wants(t, n.InMeter(), "")
	_, err = n.Take(touch(0.08, 100, meter.Resistance))
	wants(t, err, "meter's own null is on")
	if got, err := n.Apply(touch(0.0187, 100, meter.Resistance)); err != nil || got != 0.0187 ||
		n.Due(epoch) != "" {
		t.Errorf("nulled in the meter: %v, %v, due %q", got, err, n.Due(epoch))
	}
}
