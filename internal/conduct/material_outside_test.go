package conduct

import (
	"context"
	"math"
	"testing"

	"ohmward/geom"
	"ohmward/unit"
)

// A hole of 0.9 mm with 25 um of plating, filled with SAC305 (REFERENCES A1,
// A12, common practice for the geometry): the core of 0.85 mm in parallel.
func TestFilledBarrel(t *testing.T) {
	const copper, solder, height = 1 / 58e6, 0.132e-6, 1.6e-3
	s := Section{Diameter: 0.9e-3, Plating: 25e-6}
	bare, _ := s.Conductance(copper, solder)
	s.Filled = true
	filled, follows := s.Conductance(copper, solder)
	wall, core := copper*height/(math.Pi*25e-6*0.875e-3), solder*height/(math.Pi*0.425e-3*0.425e-3)
	near(t, "wall", height/bare, wall, 1e-12)
	near(t, "filled", height/filled, 1/(1/wall+1/core), 1e-12)
	for _, s := range []Section{s, {Diameter: 0.3e-3, Plating: 20e-6}, {Diameter: 1e-3, Slot: 2e-3, Plating: 25e-6, Filled: true}, {Diameter: 1e-3, Slot: 2e-3, Plating: 25e-6}} {
		_, want := s.Conductance(copper, solder)
		up, down := s, s
		up.Plating *= 1.001
		down.Plating *= 0.999
		a, _ := up.Conductance(copper, solder)
		b, _ := down.Conductance(copper, solder)
		near(t, "slope", math.Log(a/b)/math.Log(1.001/0.999), want, 1e-6)
	}
	if follows <= 0 || follows >= 1 {
		t.Errorf("a filled barrel follows its plating by %g, want between 0 and 1", follows)
	}
}

// FromNets fills the holes that it is told to.
func TestFilledHoles(t *testing.T) {
	onlyInFull(t)
	nets := demoNets(t)
	ground := netNamed(t, nets, "GND")
	mat := Material{Temp: unit.Celsius(20), Filled: make([]bool, len(nets.Board.Holes))}
	holes := nets.Nets[ground].Holes
	mat.Filled[holes[0]] = true
	bare, filled := FromNets(nets, []int{ground}, nil, Material{Temp: unit.Celsius(20)}), FromNets(nets, []int{ground}, nil, mat)
	for i := range holes {
		lower := filled.Barrels[i].Ohms[0] < bare.Barrels[i].Ohms[0]*(1-1e-9)
		if lower != (i == 0) {
			t.Errorf("barrel %d: %g ohm bare, %g with the first filled", i, bare.Barrels[i].Ohms[0], filled.Barrels[i].Ohms[0])
		}
	}
}

// Copper at 70 C has 1.1965 times its resistance at 20 C (REFERENCES A2), in
// the sheets and in the plated holes.
func TestTemperature(t *testing.T) {
	onlyInFull(t)
	nets := demoNets(t)
	ground := []int{netNamed(t, nets, "GND")}
	discs := []Disc{pinDisc(t, nets, "C3.1"), pinDisc(t, nets, "C14.2")}
	var ohms [2]float64
	for i, celsius := range []float64{20, 70} {
		m, err := Build(context.Background(), FromNets(nets, ground, nil, Material{Temp: unit.Celsius(celsius)}), Options{Discs: discs})
		if err != nil {
			t.Fatal(err)
		}
		ohms[i] = resistanceOf(t, m, discs, 0)
	}
	near(t, "70 C over 20 C", ohms[1]/ohms[0], 1.1965, 1e-6)
}

// A track that loses 20 um at each side by etching: REFERENCES A5 for the
// whole track of 0.25 mm, times 0.25/0.21.
func TestEtchedTrack(t *testing.T) {
	track := geom.Offset(geom.Fill([]geom.Ring{ringOf(rectangle(52, 0.25))}, geom.NonZero), -20_000, 250)
	sheet := Sheet{Conductance: 35e-6 * 58e6, Copper: track}
	discs := []Disc{discAt(1, 0.125), discAt(51, 0.125)}
	m, err := Build(context.Background(), Group{Name: t.Name(), Sheets: []Sheet{sheet}}, Options{Discs: discs, Edge: true})
	if err != nil {
		t.Fatal(err)
	}
	// Between discs wider than the track the current starts at their rims.
	width := 0.21e-3
	reach := 2 * math.Sqrt(0.15e-3*0.15e-3-width*width/4)
	want := 98.522e-3 * 0.25 / 0.21 * (50e-3 - reach) / 50e-3
	if got := resistanceOf(t, m, discs, 0); math.Abs(got/want-1) > 0.002 {
		t.Errorf("etched track: %.5g ohm, want %.5g", got, want)
	}
}
