package cli

import (
	"slices"
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
