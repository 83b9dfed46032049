package practice

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/unit"
)

// The made board has two copper layers. On the first, two tracks of the same
// length run side by side: net A, which a low-ohm part R1 continues as net C,
// and net B. All lie along x, so that a reading tells where the short is.
const (
	trackMM  = 20.0 // length of A and B
	widthMM  = 0.2
	gapMM    = 0.25
	linkOhms = 1e-3
)

const copperThickness = 35 * unit.Micrometre

func rect(x, y, x2, y2 float64) geom.Region {
	return geom.Region{{Outer: geom.Rectangle(geom.Box{Min: geom.FromMM(x, y), Max: geom.FromMM(x2, y2)})}}
}

// madeBench is the bench of the made board, with tips near both ends of A and B.
func madeBench(t testing.TB) Bench {
	t.Helper()
	b := &board.Board{Name: "made", Layers: []board.Layer{{Name: "L1"}, {Name: "L2"}}}
	b.Stack = board.Stack{
		Copper: []unit.Length{copperThickness, copperThickness}, Gap: []unit.Length{1.5 * unit.Millimetre},
		Plating: 25 * unit.Micrometre,
	}
	draw := func(net string, x, y, x2 float64) {
		b.Layers[0].Copper = append(b.Layers[0].Copper, rect(x, y, x2, y+widthMM)...)
		b.Labels = append(b.Labels, board.Label{
			At: geom.FromMM(x+0.1, y+0.1), Net: net, File: "L1", Line: len(b.Labels) + 1,
		})
	}
	draw("A", 0, 0, trackMM)
	draw("B", 0, widthMM+gapMM, trackMM)
	draw("C", trackMM+2, 0, trackMM+8)
	b.Layers[1].Copper = rect(-10, -10, -9, -9)
	for i, x := range []float64{trackMM - 0.2, trackMM + 2.2} {
		b.Pads = append(b.Pads, board.Pad{
			At: geom.FromMM(x, widthMM/2), Shape: rect(x-0.1, 0, x+0.1, widthMM),
			Ref: "R1", Pin: string(rune('1' + i)), Hole: -1,
		})
	}
	nets, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	index := map[string]int{}
	for i, n := range nets.Nets {
		index[n.Name] = i
	}
	return Bench{
		Nets:     nets,
		Groups:   [2][]int{{index["A"], index["C"]}, {index["B"]}},
		Links:    [2][]conduct.Link{{{Part: "R1", A: 0, B: 1, Ohms: linkOhms}}},
		Material: conduct.Material{Temp: unit.Celsius(20)},
		Probes:   []conduct.Probe{tipA(1), tipA(trackMM - 1), tipB(1), tipB(trackMM - 1)},
	}
}

func tipA(x float64) conduct.Probe { return tip(0, x, widthMM/2) }

func tipB(x float64) conduct.Probe { return tip(1, x, 1.5*widthMM+gapMM) }

func tip(group int, x, y float64) conduct.Probe {
	return conduct.Probe{Group: group, Disc: conduct.Disc{At: geom.FromMM(x, y), Diameter: 300_000}}
}

func twoWire(p, q conduct.Probe) conduct.Reading {
	return conduct.Reading{In: p, Out: q, High: p, Low: q}
}

// reads is a unit's reading that must succeed.
func reads(t testing.TB, u *Unit, r conduct.Reading) float64 {
	t.Helper()
	v, err := u.Reads(r)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 7)) }

func newUnit(t testing.TB, b Bench, seed uint64) *Unit {
	t.Helper()
	u, err := NewUnit(context.Background(), b, seeded(seed))
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// moments are a sample's mean, standard deviation and skewness.
func moments(v []float64) (mean, sd, skew float64) {
	n := float64(len(v))
	for _, x := range v {
		mean += x / n
	}
	var square, cube float64
	for _, x := range v {
		square += (x - mean) * (x - mean) / n
		cube += math.Pow(x-mean, 3) / n
	}
	sd = math.Sqrt(square)
	return mean, sd, cube / math.Pow(sd, 3)
}

// chance is how many standard errors a sample may be off: one sound test in
// fifteen thousand fails at it, and the seeds are fixed.
const chance = 4

// holdSpread checks a sample's mean and standard deviation. The standard errors
// are those of a Gaussian; heavy is by how much more the law's tails make of the
// deviation's.
func holdSpread(t testing.TB, what string, v []float64, mean, sd, heavy float64) {
	t.Helper()
	n := float64(len(v))
	m, s, _ := moments(v)
	if slack := chance * sd / math.Sqrt(n); math.Abs(m-mean) > slack {
		t.Errorf("%s: mean %.6g, want %.6g +- %.2g", what, m, mean, slack)
	}
	if slack := chance * heavy * sd / math.Sqrt(2*n); math.Abs(s-sd) > slack {
		t.Errorf("%s: deviation %.6g, want %.6g +- %.2g", what, s, sd, slack)
	}
}

// holdShare checks how many of n draws came out, against a probability.
func holdShare(t testing.TB, what string, got, n int, p float64) {
	t.Helper()
	if slack := chance * math.Sqrt(p*(1-p)*float64(n)); math.Abs(float64(got)-p*float64(n)) > slack {
		t.Errorf("%s: %d of %d, want %.4g +- %.2g", what, got, n, p*float64(n), slack)
	}
}
