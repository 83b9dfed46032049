package boardread

import (
	"math"
	"testing"

	"ohmward/unit"
)

func TestStack(t *testing.T) {
	told, err := readJob("j", []byte(`{"GeneralSpecs":{"LayerNumber":4,"BoardThickness":1.6},"MaterialStackup":[
		{"Type":"SolderMask","Thickness":0.01},
		{"Type":"Copper","Thickness":0.035},{"Type":"Dielectric","Thickness":0.2},
		{"Type":"Copper","Thickness":0.0175},{"Type":"Dielectric","Thickness":"0.6"},{"Type":"Dielectric","Thickness":0.5},
		{"Type":"Copper","Thickness":0.0175},{"Type":"Dielectric","Thickness":0.2},
		{"Type":"Copper","Thickness":0.07}]}`))
	if err != nil {
		t.Fatal(err)
	}
	thin, err := readJob("j", []byte(`{"GeneralSpecs":{"BoardThickness":0.8},"MaterialStackup":[{"Type":"Copper"},{"Type":"Dielectric"},{"Type":"Copper"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	um := func(v ...float64) []unit.Length {
		out := make([]unit.Length, len(v))
		for i := range v {
			out[i] = unit.Length(v[i]) * unit.Micrometre
		}
		return out
	}
	for _, c := range []struct {
		name    string
		n       int
		opt     Options
		job     *job
		copper  []unit.Length
		gap     []unit.Length
		plating unit.Length
		given   bool
		doubts  int
	}{
		{"defaults", 3, Options{}, nil, um(35, 35, 35), um(800, 800), 25e-6, false, 0},
		{"one layer", 1, Options{}, nil, um(35), nil, 25e-6, false, 0},
		// Middle to middle: the dielectric and half of each copper.
		{"the data's own", 4, Options{}, told, um(35, 17.5, 17.5, 70), um(226.25, 1117.5, 243.75), 25e-6, true, 0},
		{"thickness only", 2, Options{}, thin, um(35, 35), um(800), 25e-6, true, 0},
		{"a thickness given means equal spacing", 4, Options{Thickness: 1.2e-3}, told, um(35, 17.5, 17.5, 70), um(400, 400, 400), 25e-6, true, 0},
		{"flags win", 4, Options{Copper: um(18), Plating: 20e-6}, told, um(18, 18, 18, 18), um(218, 1118, 218), 20e-6, true, 0},
		{"one per layer", 2, Options{Copper: um(18, 70)}, nil, um(18, 70), um(1600), 25e-6, false, 0},
		{"another board's stack-up", 2, Options{}, told, um(35, 35), um(1600), 25e-6, true, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, doubts, err := makeStack(c.n, c.opt, c.job)
			if err != nil {
				t.Fatal(err)
			}
			same(t, "copper", s.Copper, c.copper)
			same(t, "gap", s.Gap, c.gap)
			same(t, "plating", []unit.Length{s.Plating}, []unit.Length{c.plating})
			if s.Given != c.given || len(doubts) != c.doubts {
				t.Errorf("given %v, doubts %v", s.Given, doubts)
			}
		})
	}
	if _, _, err := makeStack(4, Options{Copper: um(18, 18)}, nil); err == nil {
		t.Error("two thicknesses for four layers: no error")
	}
}

func same(t *testing.T, what string, got, want []unit.Length) {
	t.Helper()
	ok := len(got) == len(want)
	for i := 0; ok && i < len(got); i++ {
		ok = math.Abs(float64(got[i]-want[i])) < 1e-12
	}
	if !ok {
		t.Errorf("%s %v, want %v", what, got, want)
	}
}
