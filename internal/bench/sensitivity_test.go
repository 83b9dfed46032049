package bench

import (
	"context"
	"slices"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/unit"
)

// oneResistance asks for one pair.
func oneResistance(t *testing.T, board, from, to string, o engine.Options) answer.Resistor {
	t.Helper()
	a, err := Resistance(context.Background(), board, []answer.Pair{{From: from, To: to}}, o)
	if err != nil {
		t.Fatal(err)
	}
	return a.Results[0]
}

// TestResistanceParts: the parts add up, and each is what the resistance
// changes by when its thickness, or the temperature, is changed and all is
// solved anew.
func TestResistanceParts(t *testing.T) {
	if testing.Short() {
		t.Skip("solves one path eight times: left out of -short")
	}
	const from, to, step = "U1.12", "U6.3", 0.02
	base := engine.Options{Cache: shared, Parts: true, Warm: []string{"L1@20,15", "L1@-300,-300"}, WarmRadius: 90 * unit.Millimetre, Accuracy: 0.001}
	r := oneResistance(t, engine.DemoName, from, to, base)
	s, sum := r.Sensitivity, 0.0
	for _, l := range s.Layers {
		sum += l.Ohms
	}
	check.Approx(t, sum+s.Holes, *r.Ohms, check.Tol{Rel: 1e-9}, "the parts' sum")
	if s.Plating <= 0 || s.Plating > s.Holes {
		t.Errorf("plating %g of %g in holes", s.Plating, s.Holes)
	}
	check.Approx(t, s.Spots[0].PerKelvin, s.PerKelvin, check.Tol{Rel: 2e-3}, "a spot as wide as the board")
	if s.Spots[1].PerKelvin != 0 {
		t.Errorf("a spot off the board adds %g", s.Spots[1].PerKelvin)
	}
	change := func(what string, want float64, set func(o *engine.Options, up float64)) {
		t.Helper()
		var ohms [2]float64
		for i, up := range []float64{1, -1} {
			o := base
			set(&o, up)
			ohms[i] = *oneResistance(t, engine.DemoName, from, to, o).Ohms
		}
		// The meshes differ a little; all of it is known to 0.1 %.
		check.Approx(t, (ohms[0]-ohms[1])/2, want, check.Tol{Rel: 1e-2, Abs: 1e-4 * *r.Ohms}, what)
	}
	foil := func(layer int) func(*engine.Options, float64) {
		return func(o *engine.Options, up float64) {
			o.CopperEach = slices.Repeat([]unit.Length{35 * unit.Micrometre}, len(s.Layers))
			o.CopperEach[layer] *= unit.Length(1 + up*step)
		}
	}
	for l := range s.Layers {
		change(s.Layers[l].Layer, -step*s.Layers[l].Ohms, foil(l))
	}
	change("plating", -step*s.Plating, func(o *engine.Options, up float64) {
		o.Plating = new(unit.Length(1+up*step) * 25 * unit.Micrometre)
	})
	change("five kelvin", 5*s.PerKelvin, func(o *engine.Options, up float64) { o.Temp = new(unit.Celsius(20 + 5*up)) })
}

// TestResistanceThrough: across a bead the bead is taken along, named, and has
// its part; with it open there is no answer.
func TestResistanceThrough(t *testing.T) {
	const bead = 0.25
	o := engine.Options{Cache: shared, Parts: true, TieEdits: []engine.TieEdit{{Part: "FB1", Ohms: bead}}}
	r := oneResistance(t, engine.DemoName, "C3.2", "C14.1", o)
	if !slices.Equal(r.Through, []string{"FB1"}) || len(r.Sensitivity.Parts) != 1 {
		t.Fatalf("through %v, parts %+v", r.Through, r.Sensitivity.Parts)
	}
	check.Approx(t, r.Sensitivity.Parts[0].Ohms, bead, check.Tol{Rel: 1e-9}, "the bead")
	sum := r.Sensitivity.Holes + bead
	for _, l := range r.Sensitivity.Layers {
		sum += l.Ohms
	}
	check.Approx(t, sum, *r.Ohms, check.Tol{Rel: 1e-9}, "the parts' sum")
	o.TieEdits[0].Open = true
	a, err := Resistance(context.Background(), engine.DemoName, []answer.Pair{{From: "C3.2", To: "C14.1"}}, o)
	if err == nil || a.Results[0].Error == "" {
		t.Errorf("across an open bead: %+v, %v", a.Results[0], err)
	}
}

// TestFilledHolesAsked: solder in the holes lowers what goes through them; of
// "pins" only those that a part's pin is in.
func TestFilledHolesAsked(t *testing.T) {
	ohms := map[string]float64{} // from below J4.1, whose pin is soldered, through a via
	for _, which := range []string{"", "none", "pins", "all"} {
		r := oneResistance(t, engine.DemoName, "L2@5.2,27.25", "R23.1", engine.Options{Cache: shared, Filled: which, Parts: true})
		ohms[which] = r.Sensitivity.Holes
	}
	t.Logf("holes: %v", ohms)
	if ohms[""] != ohms["none"] || !(ohms["pins"] < ohms["none"]*0.99) || !(ohms["all"] < ohms["pins"]*0.99) {
		t.Errorf("in holes: %v", ohms)
	}
	// Nothing to fill is said in one line.
	p, err := engine.Open(context.Background(), trackBoard(t), engine.Options{Cache: shared, Filled: "pins"})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Notes) != 1 {
		t.Errorf("no pin has a hole: notes %+v", p.Notes)
	}
}
