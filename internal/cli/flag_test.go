package cli

import (
	"io"
	"slices"
	"strings"
	"testing"
)

// TestTwoNets: --nets takes any two names, also of copper that the data gives
// no name and that is called after a place.
func TestTwoNets(t *testing.T) {
	for text, want := range map[string][]string{
		"+3V3,GND":                               {"+3V3", "GND"},
		" +3V3 , GND ":                           {"+3V3", "GND"},
		"copper@-14.31,-9.27,copper@-5.97,11.53": {"copper@-14.31,-9.27", "copper@-5.97,11.53"},
		"copper@12.30, 45.60, GND":               {"copper@12.30,45.60", "GND"},
		"GND,copper@12.30,45.60":                 {"GND", "copper@12.30,45.60"},
		"copper@C7.1,copper@C7.2":                {"copper@C7.1", "copper@C7.2"},
		"copper@4.28,22.16/L2,copper@1,2/L1~3":   {"copper@4.28,22.16/L2", "copper@1,2/L1~3"},
		"copper@C7.1,5":                          {"copper@C7.1", "5"},
		"GND":                                    nil,
		"GND,GND":                                nil,
		"copper@12.30,45.60":                     nil,
		"copper@12.30,45.60,copper@12.30,45.60":  nil,
		"A,B,C":                                  nil,
		"A,":                                     nil,
		"":                                       nil,
	} {
		nets, err := twoNets(text)
		if (err == nil) != (want != nil) || !slices.Equal(nets, want) {
			t.Errorf("%q: %q, %v", text, nets, err)
		}
	}
}

// TestOutOfSense: a figure that no board or bench has is refused, and a slip of
// a thousand is asked about; what is in sense passes.
func TestOutOfSense(t *testing.T) {
	command := func(args ...string) error {
		var f boardFlags
		c := boardCommand(Env{})
		c.ResetFlags()
		f.define(c)
		c.SetOut(io.Discard)
		return c.ParseFlags(args)
	}
	for _, bad := range []struct{ flag, text, ask string }{
		{"copper", "35mm", "did you mean 35"}, {"copper", "1.01mm", ""}, {"copper", "35nm", "did you mean 35"},
		{"copper", "40oz", ""}, {"copper", "-35um", ""}, {"plating", "25mm", "did you mean 25"},
		{"plating", "2cm", "did you mean 20"}, {"plating", "0um", ""}, {"thickness", "1.6m", "did you mean 1.6"},
		{"thickness", "1.6um", "did you mean 1.6"}, {"tip", "0.3m", "did you mean 0.3 mm"},
		{"tip", "300nm", "did you mean 0.3 mm"}, {"tip", "11mm", ""}, {"close", "20mm", "did you mean 20"},
		{"etch", "15mm", "did you mean 15"}, {"temp", "201C", ""}, {"temp", "-61C", ""}, {"temp", "20K", ""},
	} {
		err := command("--"+bad.flag, bad.text)
		if err == nil || !strings.Contains(err.Error(), "out of range") || !strings.Contains(err.Error(), bad.ask) ||
			bad.ask == "" && strings.Contains(err.Error(), "did you mean") {
			t.Errorf("--%s %s: %v", bad.flag, bad.text, err)
		}
	}
	for _, good := range [][2]string{{"copper", "35um"}, {"copper", "1mm"}, {"copper", "2oz"}, {"plating", "1mm"},
		{"thickness", "20mm"}, {"tip", "10mm"}, {"tip", "10um"}, {"close", "1nm"}, {"etch", "0.1mm"}, {"temp", "200C"},
		{"temp", "293K"}} {
		if err := command("--"+good[0], good[1]); err != nil {
			t.Errorf("--%s %s: %v", good[0], good[1], err)
		}
	}
}
