package conduct

import (
	"context"
	"errors"
	"math"
	"testing"

	"ohmward/geom"
)

func rect(x0, y0, x1, y1 float64) geom.Region {
	return geom.Fill(
		[]geom.Ring{{geom.FromMM(x0, y0), geom.FromMM(x1, y0), geom.FromMM(x1, y1), geom.FromMM(x0, y1)}},
		geom.NonZero,
	)
}

// twoBars is two bars of copper on one layer, 20 mm by 1 mm, joined by two
// parts, and a third bar on another layer as the other net.
func twoBars(ties ...Tie) (Group, Group) {
	a := Group{
		Name:   "A",
		Ties:   ties,
		Sheets: []Sheet{{Conductance: 1000, Copper: append(rect(0, 0, 20, 1), rect(0, 5, 20, 6)...)}},
	}
	b := Group{Name: "B", Sheets: []Sheet{{Layer: 1, Conductance: 1000, Copper: rect(0, 0, 20, 6)}}}
	return a, b
}

func tie(part string, x, ohms float64) Tie {
	return Tie{
		Part: part,
		Ohms: ohms,
		A:    Terminal{At: geom.FromMM(x, 0.5)},
		B:    Terminal{At: geom.FromMM(x, 5.5)},
	}
}

func bridgeOf(t *testing.T, a, b Group, sites [][2]float64) *Bridge {
	t.Helper()
	var models [2]*Model
	var discs [2][]Disc
	for _, s := range sites {
		discs[0] = append(discs[0], Disc{At: geom.FromMM(s[0], s[1]), Diameter: 300_000})
		discs[1] = append(discs[1], Disc{Layer: 1, At: geom.FromMM(s[0], s[1]), Diameter: 300_000})
	}
	for g, group := range []Group{a, b} {
		m, err := Build(context.Background(), group, Options{MaxEdge: 300_000})
		if err != nil {
			t.Fatal(err)
		}
		models[g] = m
	}
	out, err := NewBridge(context.Background(), models, discs)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestWithout: opening a tie gives what a group built without it gives, and
// opening the last one leaves the far bar unreached.
func TestWithout(t *testing.T) {
	fb, l := tie("FB1", 2, 0.05), tie("L1", 18, 0.2)
	sites := [][2]float64{{10, 0.5}, {15, 5.5}}
	a, b := twoBars(fb, l)
	whole := bridgeOf(t, a, b, sites)
	opened, err := whole.Without([]string{"FB1"})
	if err != nil {
		t.Fatal(err)
	}
	a2, b2 := twoBars(l)
	want := bridgeOf(t, a2, b2, sites)
	reading := func(at *Bridge) []float64 {
		in := Probe{0, Disc{At: geom.FromMM(5, 0.5), Diameter: 300_000}}
		out := Probe{1, Disc{Layer: 1, At: geom.FromMM(1, 3), Diameter: 300_000}}
		p, err := at.Predict(Reading{In: in, Out: out, High: in, Low: out})
		if err != nil {
			t.Fatal(err)
		}
		sum := p.sum()
		for _, row := range p.Ties {
			for s, v := range row {
				sum[s] += v
			}
		}
		return sum
	}
	got, exp, before := reading(opened), reading(want), reading(whole)
	for s := range got {
		if math.Abs(got[s]-exp[s]) > 1e-9 {
			t.Errorf("site %d: %.9g ohm with FB1 opened, %.9g built without it", s, got[s], exp[s])
		}
	}
	if !(got[1] > before[1]+0.1) {
		t.Errorf("opening FB1 takes the far bar from %.4g to %.4g ohm; L1 alone has 0.2", before[1], got[1])
	}
	apart, err := whole.Without([]string{"FB1", "L1"})
	if err != nil {
		t.Fatal(err)
	}
	if far := reading(apart); Unreached(far[0]) || !Unreached(far[1]) {
		t.Errorf("both ties opened: %v; want the first site reached and the second not", far)
	}
	joined, err := apart.Joined(Probe{0, Disc{At: geom.FromMM(5, 0.5), Diameter: 300_000}})
	if err != nil || !joined[0] || joined[1] {
		t.Errorf("joined %v, %v; want true, false", joined, err)
	}
	c, err := apart.Models[0].Prepare(
		[]Disc{{At: geom.FromMM(5, 0.5), Diameter: 300_000}, {At: geom.FromMM(5, 5.5), Diameter: 300_000}}, 8,
	)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Resistance(0, 1); !errors.Is(err, ErrApart) {
		t.Errorf("across the gap: %v, want ErrApart", err)
	}
	if whole.Models[1] != apart.Models[1] {
		t.Error("the other net was solved again")
	}
}

// TestWithin: a spot that takes in 4 mm of a bar of 1 mm and 1 mS/square holds
// 4 mohm of a reading whose current runs through it, whatever lies beyond, and
// nothing of one whose current does not.
func TestWithin(t *testing.T) {
	a, b := twoBars(tie("FB1", 2, 0.05), tie("L1", 18, 0.2))
	bridge := bridgeOf(t, a, b, [][2]float64{{14, 0.5}, {3, 0.5}})
	opened, err := bridge.Without([]string{"L1"})
	if err != nil {
		t.Fatal(err)
	}
	in := Probe{0, Disc{At: geom.FromMM(5, 0.5), Diameter: 300_000}}
	out := Probe{1, Disc{Layer: 1, At: geom.FromMM(1, 3), Diameter: 300_000}}
	got, err := opened.Within(Reading{In: in, Out: out, High: in, Low: out}, 0, geom.FromMM(10, 0.5), 2e-3, nil)
	if err != nil {
		t.Fatal(err)
	}
	// The disc's ends are round and cut by whole triangles of 0.3 mm.
	if math.Abs(got[0]-4e-3) > 0.25e-3 || math.Abs(got[1]) > 1e-6 {
		t.Errorf("%.4g and %.4g ohm in the spot, want 4 mohm and none", got[0], got[1])
	}
	all, err := opened.Within(Reading{In: in, Out: out, High: in, Low: out}, 0, geom.FromMM(10, 0.5), 30e-3, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := opened.Predict(Reading{In: in, Out: out, High: in, Low: out})
	if err != nil {
		t.Fatal(err)
	}
	// Both contacts count here as equipotential by themselves, not on the copper
	// as they find it: 0.1 mohm each on tracks near their size.
	if math.Abs(all[0]-p.Copper[0][0]) > 0.25e-3 {
		t.Errorf("all of the bar: %.5g ohm, its part of the reading is %.5g", all[0], p.Copper[0][0])
	}
}

// TestSever: a cut through a bar leaves what a bar with the same gap leaves: a
// site beyond it out of reach, and one before it as it was.
func TestSever(t *testing.T) {
	a, b := twoBars(tie("FB1", 2, 0.05), tie("L1", 18, 0.2))
	whole := bridgeOf(t, a, b, [][2]float64{{5, 0.5}, {15, 0.5}})
	in := Probe{0, Disc{At: geom.FromMM(3, 0.5), Diameter: 300_000}}
	out := Probe{1, Disc{Layer: 1, At: geom.FromMM(1, 3), Diameter: 300_000}}
	read := func(at *Bridge) []float64 {
		p, err := at.Predict(Reading{In: in, Out: out, High: in, Low: out})
		if err != nil {
			t.Fatal(err)
		}
		sum := p.sum()
		for _, row := range p.Ties {
			for s, v := range row {
				sum[s] += v
			}
		}
		return sum
	}
	cut, err := whole.Sever(Cut{At: geom.FromMM(10, 0.5)})
	if err != nil {
		t.Fatal(err)
	}
	before, after := read(whole), read(cut)
	if r := after[0] / before[0]; !(r > 1 && r < 1.02) {
		t.Errorf("before the cut the reading changes by a factor %g", r) // the way round by FB1 and L1 is gone
	}
	// Beyond it the current must take the way round: FB1, the other bar, L1.
	gap := bridgeOf(t, Group{Name: "A", Ties: a.Ties, Sheets: []Sheet{{Conductance: 1000,
		Copper: append(
			append(rect(0, 0, 9.5, 1), rect(10.5, 0, 20, 1)...),
			rect(0, 5, 20, 6)...)}}}, b, [][2]float64{{5, 0.5}, {15, 0.5}})
	if want := read(gap); math.Abs(after[1]/want[1]-1) > 0.005 || math.Abs(after[0]/want[0]-1) > 0.02 {
		t.Errorf("after the cut %v, a board so made %v", after, want)
	}
	if apart, err := cut.Without([]string{"L1"}); err != nil || !Unreached(read(apart)[1]) {
		t.Errorf("with the way round opened the far end reads %v (%v)", read(apart)[1], err)
	}
	if _, err := whole.Severs(Cut{Layer: 1, At: geom.FromMM(10, 3)}); !errors.Is(err, ErrWhole) {
		t.Errorf("a plane of 6 mm is severed: %v", err)
	}
	if found, err := whole.Severs(Cut{At: geom.FromMM(10, 3)}); found || err != nil {
		t.Errorf("bare laminate is cut: %v, %v", found, err)
	}
}
