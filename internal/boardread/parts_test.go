package boardread

import "testing"

func TestSaysAbsent(t *testing.T) {
	for value, want := range map[string]bool{
		"DNP": true, "0R DNP": true, "0R (DNF)": true, "10k, do not fit": true, "not fitted": true, "100n NoStuff": true, "NM": true, "n.f.": true, "10k DNI 1%": true, "Do Not Populate": true,
		"": false, "10 nF": false, "10k": false, "NC7SZ125": false, "100NF": false, "N-FET": false, "NP0": false, "fit": false,
	} {
		if got := saysAbsent(value); got != want {
			t.Errorf("%q: %v", value, got)
		}
	}
}
