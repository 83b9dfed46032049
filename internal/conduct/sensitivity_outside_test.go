package conduct

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"ohmward/geom"
	"ohmward/unit"
)

// Every part of a reading is what the reading changes by when the layer, the
// plating or the tie is changed by 1 % and all is solved anew; the quotient
// over +1 % and -1 % leaves 1e-4 of it for the third order.
func TestSensitivity(t *testing.T) {
	onlyInFull(t)
	nets := demoNets(t)
	supply, analogue, ground := netNamed(t, nets, "+3V3"), netNamed(t, nets, "+3V3A"), netNamed(t, nets, "GND")
	pads := [2]int{nets.Pads("FB1", "1")[0], nets.Pads("FB1", "2")[0]}
	site := [2]Disc{discAt(17.25, 28.2), discAt(16.35, 28.2)}
	probe := func(group int, pin string) Probe { return Probe{group, pinDisc(t, nets, pin)} }
	readings := map[string]Reading{
		"two-wire":           {probe(0, "C3.2"), probe(1, "C3.1"), probe(0, "C3.2"), probe(1, "C3.1")},
		"four-wire":          {probe(0, "C3.2"), probe(1, "C14.2"), probe(0, "C29.1"), probe(0, "C16.1")},
		"four-wire, crossed": {probe(0, "C16.1"), probe(1, "C29.2"), probe(1, "C14.2"), probe(0, "C8.1")},
		"on one net":         {probe(0, "C3.2"), probe(0, "C29.1"), probe(0, "C8.1"), probe(0, "C16.1")},
	}
	// The mesh follows the probes, as the program's does; what the arcs of a
	// contact that it does not follow share is regularised, to some 1e-6.
	discs := [2][]Disc{{site[0]}, {site[1]}}
	for _, r := range readings {
		for _, p := range []Probe{r.In, r.Out, r.High, r.Low} {
			discs[p.Group] = append(discs[p.Group], p.Disc)
		}
	}
	for g := range discs {
		slices.SortFunc(discs[g], func(a, b Disc) int {
			return cmp.Or(cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.Layer, b.Layer))
		})
	}
	solve := func(mat Material, bead float64) *Bridge {
		mat.Temp = unit.Celsius(20)
		links := []Link{{Part: "FB1", A: pads[0], B: pads[1], Ohms: bead}}
		var models [2]*Model
		for g, group := range []Group{FromNets(nets, []int{supply, analogue}, links, mat), FromNets(nets, []int{ground}, nil, mat)} {
			m, err := Build(context.Background(), group, Options{Discs: discs[g]})
			if err != nil {
				t.Fatal(err)
			}
			models[g] = m
		}
		b, err := NewBridge(context.Background(), models, [2][]Disc{{site[0]}, {site[1]}})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	ohms := func(b *Bridge, r Reading) float64 {
		p, err := b.Predict(r)
		if err != nil {
			t.Fatal(err)
		}
		sum := p.sum()[0]
		for _, tie := range p.Ties {
			sum += tie[0]
		}
		return sum
	}
	const bead, step = 0.1, 0.01
	layers := func(l int, f float64) Material {
		m := Material{Layer: make([]float64, len(nets.Board.Layers))}
		for i := range m.Layer {
			m.Layer[i] = 1
		}
		m.Layer[l] = f
		return m
	}
	base := solve(Material{}, bead)
	changed := map[string][2]*Bridge{
		"L1":      {solve(layers(0, 1+step), bead), solve(layers(0, 1-step), bead)},
		"L2":      {solve(layers(1, 1+step), bead), solve(layers(1, 1-step), bead)},
		"plating": {solve(Material{Plating: 1 + step}, bead), solve(Material{Plating: 1 - step}, bead)},
		"bead":    {solve(Material{}, bead*(1+step)), solve(Material{}, bead*(1-step))},
	}
	for name, r := range readings {
		s, err := base.Sensitivity(r, 0)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+": the sum of the parts", s.Ohms, ohms(base, r), 1e-7)
		near(t, name+": the parts' sum", s.Layers[0]+s.Layers[1]+s.Holes+s.Ties[0][0], s.Ohms, 1e-9)
		for what, want := range map[string]float64{"L1": -s.Layers[0], "L2": -s.Layers[1], "plating": -s.Plating, "bead": s.Ties[0][0]} {
			b := changed[what]
			got := (ohms(b[0], r) - ohms(b[1], r)) / (2 * step)
			t.Logf("%s, %s: %.7g ohm for each 100 %%, solved anew %.7g", name, what, want, got)
			if math.Abs(got-want) > 3e-4*math.Abs(want)+1e-7*math.Abs(s.Ohms)/step {
				t.Errorf("%s, %s: %.7g ohm for each 100 %%, solved anew %.7g", name, what, want, got)
			}
		}
	}
	if _, err := base.Sensitivity(readings["two-wire"], 1); err == nil {
		t.Error("a site that is not there was taken")
	}
	opened, err := base.Without([]string{"FB1"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := opened.Sensitivity(readings["two-wire"], 0); !errors.Is(err, ErrApart) {
		t.Errorf("across an opened bead: %v, want ErrApart", err)
	}
}

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
