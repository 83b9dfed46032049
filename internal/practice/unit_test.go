package practice

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
	"ohmward/internal/conduct"
	"ohmward/internal/mesh"
	"ohmward/internal/suspect"
)

// The readings place the short where the unit says that it is: with
// L = 18 mm between the tips of a net, the two-wire readings at the left ends
// and at the right ends differ by 2 (2x - 20)/L times the net's own resistance
// between its tips, corrected for the copper under them.
func TestFaultLiesWhereTold(t *testing.T) {
	b := madeBench(t)
	b.Kind = suspect.Gap.String()
	left, right := twoWire(tipA(1), tipB(1)), twoWire(tipA(trackMM-1), tipB(trackMM-1))
	checked := map[geom.Point]bool{}
	for seed := range uint64(6) {
		u := newUnit(t, b, seed)
		x, _ := u.Fault.Mid()
		if x < 1.5 || x > trackMM-1.5 {
			continue // between no tips
		}
		checked[u.Fault.A] = true
		// The resistance of a stretch between tips cancels in the difference of two.
		perMM := (reads(t, u, conduct.Reading{In: tipA(1), Out: tipA(19), High: tipA(1), Low: tipA(19)}) -
			reads(t, u, conduct.Reading{In: tipA(1), Out: tipA(9), High: tipA(1), Low: tipA(9)})) / 10
		got := trackMM/2 + (reads(t, u, left)-reads(t, u, right))/(4*perMM)
		check.Approx(t, got, x, check.Tol{Abs: 0.05}, "place along the tracks, millimetres")
	}
	if len(checked) < 4 {
		t.Errorf("6 units have their shorts at %d places between the tips", len(checked))
	}
}

// The short's own resistance adds to a reading across it, and to no other.
func TestOhmsOfTheShort(t *testing.T) {
	b := madeBench(t)
	fault := newUnit(t, b, 3).Fault
	b.Fault = &fault
	plain := newUnit(t, b, 4)
	b.Ohms = 5e-3
	more := newUnit(t, b, 4)
	if plain.Fault.A != fault.A || plain.Fault.B != fault.B || more.Ohms != 5e-3 {
		t.Fatalf("the unit has %+v, %g ohm", plain.Fault, more.Ohms)
	}
	across, along := twoWire(tipA(1), tipB(1)), twoWire(tipA(1), tipA(19))
	check.Approx(t, reads(t, more, across)-reads(t, plain, across), 5e-3, check.Tol{Abs: 1e-12}, "across")
	check.Approx(t, reads(t, more, along)-reads(t, plain, along), 0, check.Tol{Abs: 1e-12}, "along a net")
}

// One seed makes one unit, another seed another.
func TestUnitBySeed(t *testing.T) {
	b := madeBench(t)
	r := twoWire(tipA(1), tipB(19))
	one, again, other := newUnit(t, b, 1), newUnit(t, b, 1), newUnit(t, b, 2)
	if one.Ohms != again.Ohms || one.Fault.A != again.Fault.A || reads(t, one, r) != reads(t, again, r) {
		t.Errorf("one seed: %v, %g ohm, and %v, %g ohm", one.Fault.A, one.Ohms, again.Fault.A, again.Ohms)
	}
	if one.Ohms == other.Ohms || reads(t, one, r) == reads(t, other, r) {
		t.Error("another seed makes the same unit")
	}
}

// A unit's copper is the design's times the factors that were drawn for it, on
// a mesh that is not the program's own: close, but never equal.
func TestTruthIsAnotherModel(t *testing.T) {
	b := madeBench(t)
	fault := newUnit(t, b, 3).Fault
	b.Fault = &fault
	u := newUnit(t, b, 8)
	rng := seeded(8)
	mat := b.Material
	mat.Layer, mat.Plating = layerFactors(rng, 2), thicknessFactor(rng, platingSpread)
	var models [2]*conduct.Model
	discs := [2][]conduct.Disc{}
	for g, d := range (Fault{Site: fault}).discs() {
		group := conduct.FromNets(b.Nets, b.Groups[g], drawLinks(rng, b.Links[g]), mat)
		m, err := conduct.Build(context.Background(), group, conduct.Options{Sizes: []conduct.SheetSize{{
			Layer: d.Layer, Size: mesh.Size{At: d.At, Radius: d.Diameter / 2, Edge: d.Diameter / 2},
		}}})
		if err != nil {
			t.Fatal(err)
		}
		models[g], discs[g] = m, []conduct.Disc{d}
	}
	bridge, err := conduct.NewBridge(context.Background(), models, discs)
	if err != nil {
		t.Fatal(err)
	}
	r := twoWire(tipA(1), tipB(19))
	own := reads(t, &Unit{bridge: bridge}, r)
	got := reads(t, u, r)
	check.Approx(t, got, own, check.Tol{Rel: 0.01}, "the unit, the program's own mesh")
	if math.Abs(got-own) < 1e-6*own {
		t.Errorf("%.9g ohm on either mesh: they are one", got)
	}
}

// Faults lie off the samples that the program searches at.
func TestFaultsOffTheGrid(t *testing.T) {
	b := madeBench(t)
	b.Kind = suspect.Gap.String()
	searched, _ := suspect.List(suspect.Question{
		Board: b.Nets.Board, Nets: b.Nets, Groups: b.Groups, Rates: suspect.DefaultRates(),
	})
	hits := 0
	hidden := b.sampler(Draw{}).sites
	for _, s := range hidden {
		same := func(o suspect.Site) bool { return o.A == s.A && o.B == s.B }
		if slices.ContainsFunc(searched, same) {
			hits++
		}
	}
	if len(hidden) < 100 || 20*hits > len(hidden) {
		t.Errorf("%d of %d places of hidden shorts are sampled ones", hits, len(hidden))
	}
}

// A low-ohm part opened parts the nets that it joined, and nothing else.
func TestUnitWithoutPart(t *testing.T) {
	u := newUnit(t, madeBench(t), 5)
	open, err := u.Without([]string{"R1"})
	if err != nil {
		t.Fatal(err)
	}
	beyond := twoWire(tip(0, trackMM+7, widthMM/2), tipB(1))
	if v := reads(t, u, beyond); v <= 0 {
		t.Errorf("through the part: %g ohm", v)
	}
	if v, err := open.Reads(beyond); !errors.Is(err, conduct.ErrApart) {
		t.Errorf("with the part opened: %g ohm, %v", v, err)
	}
	here := twoWire(tipA(1), tipB(1))
	check.Approx(
		t, reads(t, open, here), reads(t, u, here), check.Tol{Rel: 1e-9}, "a reading that needs no part",
	)
}

func TestNoPlaceForAFault(t *testing.T) {
	b := madeBench(t)
	b.Kind = suspect.Part.String()
	if u, err := NewUnit(context.Background(), b, seeded(1)); err == nil {
		t.Errorf("a part's short without a part: %+v", u.Fault)
	}
}

// Layers, plating and low-ohm parts spread as stated around the design.
func TestCopperSpread(t *testing.T) {
	const n, layers = 20000, 4
	rng := seeded(1)
	var factor [layers][]float64
	var ties []float64
	links := []conduct.Link{{Ohms: 2e-3}}
	for range n {
		for l, f := range layerFactors(rng, layers) {
			factor[l] = append(factor[l], f)
		}
		ties = append(ties, math.Log(drawLinks(rng, links)[0].Ohms/2e-3))
	}
	for l, want := range [layers]float64{0.10, 0.06, 0.06, 0.10} {
		holdSpread(t, "layer", factor[l], 1, want, 1)
	}
	holdSpread(t, "logarithm of a low-ohm part", ties, 0, 0.5, 1)
	if links[0].Ohms != 2e-3 {
		t.Errorf("the design's part was changed to %g ohm", links[0].Ohms)
	}
	for range n {
		if f := thicknessFactor(rng, 1); f < 0.5 || f > 1.5 {
			t.Fatalf("a factor of %g", f)
		}
	}
}

// Shorts have 0.1 to 100 mohm, one in ten is dry and has up to 5 ohm, those
// within a part have 5 mohm to 2 ohm; each evenly over its decades.
func TestOhmsSpread(t *testing.T) {
	const n = 20000
	rng := seeded(2)
	evenly := math.Sqrt(1.0 / 12)
	var wet, inPart []float64
	dry := 0
	for range n {
		v := drawOhms(rng, suspect.Gap)
		switch {
		case v < 1e-4 || v > 5:
			t.Fatalf("a short of %g ohm", v)
		case v > 0.1:
			dry++
		default:
			wet = append(wet, math.Log(v/1e-4)/math.Log(0.1/1e-4))
		}
		inPart = append(inPart, math.Log(drawOhms(rng, suspect.Part)/5e-3)/math.Log(2/5e-3))
	}
	holdShare(t, "dry ones", dry, n, 0.1)
	holdSpread(t, "share of the decades", wet, 0.5, evenly, 1)
	holdSpread(t, "share of a part's decades", inPart, 0.5, evenly, 1)
	if slices.Min(inPart) < -1e-12 || slices.Max(inPart) > 1+1e-12 {
		t.Errorf("a part's shorts: %g to %g of their decades", slices.Min(inPart), slices.Max(inPart))
	}
}
