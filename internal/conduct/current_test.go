package conduct

import (
	"context"
	"math"
	"testing"

	"ohmward/geom"
	"ohmward/unit"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

// one is a limit of one ampere per metre of width, whatever the layer: the
// spot that comes to it first is the densest.
func one(_ int, width float64) float64 { return width }

func flowOf(t *testing.T, c *Contacts) *Flow {
	t.Helper()
	f, err := c.Flow([2]int{0, 1})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestStripFlow: a straight strip carries I/w everywhere, in the width w.
func TestStripFlow(t *testing.T) {
	f := flowOf(t, strip{rectangle(5, 0.8), [][4]float64{{0, 0, 0, 0.8}, {5, 0, 5, 0.8}}}.model(t, 0.3, true))
	for _, d := range f.Sheets[0].density {
		near(t, "density", math.Hypot(d[0], d[1]), 1/0.8e-3, 1e-6)
	}
	spot, amps := f.Weakest(one)
	near(t, "width", spot.Width, 0.8e-3, 1e-6)
	near(t, "current", spot.Current, 1, 1e-6)
	near(t, "limit", amps, 0.8e-3, 1e-6)
}

// TestNeckFlow: a neck of a third of the width carries three times the
// density, and is the weakest place.
func TestNeckFlow(t *testing.T) {
	outline := [][2]float64{
		{0, 0},
		{4, 0},
		{4, 0.6},
		{9, 0.6},
		{9, 0},
		{13, 0},
		{13, 1.2},
		{9, 1.2},
		{9, 1},
		{4, 1},
		{4, 1.2},
		{0, 1.2},
	}
	f := flowOf(t, strip{outline, [][4]float64{{0, 0, 0, 1.2}, {13, 0, 13, 1.2}}}.model(t, 0.2, true))
	at := func(x, y float64) float64 {
		tri, _, ok := f.model.meshes[0].Find(x*1e-3, y*1e-3)
		if !ok {
			t.Fatalf("no copper at %g, %g", x, y)
		}
		return math.Hypot(f.Sheets[0].density[tri][0], f.Sheets[0].density[tri][1])
	}
	near(t, "neck over strip", at(6.5, 0.8)/at(1, 0.6), 3, 0.005)
	spot, amps := f.Weakest(func(_ int, w float64) float64 { return float64(TrackCurrent(w*35e-6, 2, true)) })
	if x, y := spot.At.MM(); x < 3.8 || x > 9.2 || y < 0.55 || y > 1.05 {
		t.Errorf("weakest at %g, %g, not in the neck", x, y)
	}
	// The corners at the neck's ends crowd a little more than the neck.
	want := float64(TrackCurrent(0.4e-3*35e-6, 2, true))
	if amps > want || amps < 0.9*want {
		t.Errorf("weakest at %g A, the neck alone at %g A", amps, want)
	}
}

// TestAnnulusFlow: radial current is I/(2 pi r) at every radius.
func TestAnnulusFlow(t *testing.T) {
	outer := geom.Circle(geom.Point{}, 10_000_000, 1000)
	g := Group{
		Name:   t.Name(),
		Sheets: []Sheet{{Conductance: 2000, Copper: geom.Fill([]geom.Ring{outer}, geom.NonZero)}},
	}
	g.Sheets[0].Copper = geom.Difference(
		g.Sheets[0].Copper, geom.Fill([]geom.Ring{geom.Circle(geom.Point{}, 1_000_000, 500)}, geom.NonZero),
	)
	g.Barrels = []Barrel{{Diameter: 2_000_000}}
	m, err := Build(context.Background(), g, Options{MaxEdge: 400_000, Edge: true,
		Discs: []Disc{{At: geom.FromMM(9.9, 0), Diameter: 100_000}}})
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Prepare([]Disc{{}, {At: geom.FromMM(9.9, 0), Diameter: 100_000}}, 0)
	if err != nil {
		t.Fatal(err)
	}
	f := flowOf(t, c)
	// The sink is a small disc at one side, so look at the total through
	// circles: the mean of the radial density is I/(2 pi r).
	for _, r := range []float64{1.5e-3, 3e-3, 6e-3} {
		const n = 720
		sum := 0.0
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.5) / n
			x, y := math.Cos(a), math.Sin(a)
			tri, _, ok := m.meshes[0].Find(r*x, r*y)
			if !ok {
				t.Fatalf("no copper at radius %g", r)
			}
			sum += (f.Sheets[0].density[tri][0]*x + f.Sheets[0].density[tri][1]*y) / n
		}
		near(t, "mean radial density", sum, 1/(2*math.Pi*r), 0.01)
	}
	near(t, "ohms", f.Sheets[0].Ohms+f.InHoles, f.Ohms, 1e-9)
}

// TestFlowPower: on two layers joined by plated holes, what is dissipated in
// all parts is the resistance that Resistance gives, and what goes down
// through the holes comes up again.
func TestFlowPower(t *testing.T) {
	square := geom.Fill(
		[]geom.Ring{{geom.FromMM(0, 0), geom.FromMM(20, 0), geom.FromMM(20, 5), geom.FromMM(0, 5)}}, geom.NonZero,
	)
	g := Group{Name: t.Name()}
	for _, x := range []float64{4, 10, 16} {
		hole := geom.Circle(geom.FromMM(x, 2), 300_000, 500)
		square = geom.Difference(square, geom.Fill([]geom.Ring{hole}, geom.NonZero))
		g.Barrels = append(
			g.Barrels,
			Barrel{At: geom.FromMM(x, 2), To: geom.FromMM(x, 2), Diameter: 600_000, LastLayer: 1, Ohms: []float64{0.0004}},
		)
	}
	g.Sheets = []Sheet{
		{Layer: 0, Copper: square, Conductance: 2000},
		{Layer: 1, Copper: square, Conductance: 1000},
	}
	discs := []Disc{{At: geom.FromMM(1, 2.5), Diameter: 300_000}, {At: geom.FromMM(19, 2.5), Diameter: 300_000}}
	for _, both := range []bool{false, true} {
		m, err := Build(context.Background(), g, Options{Discs: discs, Edge: both})
		if err != nil {
			t.Fatal(err)
		}
		c, err := m.Prepare(discs, 0)
		if err != nil {
			t.Fatal(err)
		}
		f := flowOf(t, c)
		r, err := c.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "resistance", f.Ohms, r.Ohms, 1e-9)
		near(t, "sum of parts", f.Sheets[0].Ohms+f.Sheets[1].Ohms+f.InHoles, r.Ohms, 1e-9)
		sum, down := 0.0, 0.0
		for _, b := range f.Barrels {
			sum += b[0]
			down += math.Abs(b[0])
		}
		if down < 0.1 || math.Abs(sum) > 1e-9 {
			t.Errorf("%g A through the holes, %g A of it never comes back", down, sum)
		}
	}
}

// TestFlowRefused: places that touch, and places that copper does not join.
func TestFlowRefused(t *testing.T) {
	g := Group{Name: t.Name(), Sheets: []Sheet{{Conductance: 1, Copper: geom.Fill([]geom.Ring{
		{geom.FromMM(0, 0), geom.FromMM(3, 0), geom.FromMM(3, 3), geom.FromMM(0, 3)},
		{geom.FromMM(5, 0), geom.FromMM(8, 0), geom.FromMM(8, 3), geom.FromMM(5, 3)}}, geom.NonZero)}}}
	m, err := Build(context.Background(), g, Options{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Prepare(
		[]Disc{
			{At: geom.FromMM(1, 1), Diameter: 300_000},
			{At: geom.FromMM(1.2, 1), Diameter: 300_000},
			{At: geom.FromMM(6, 1), Diameter: 300_000},
		},
		0,
	)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Flow([2]int{0, 1}); err != ErrTouching {
		t.Errorf("touching: %v", err)
	}
	if _, err := c.Flow([2]int{0, 2}); err != ErrApart {
		t.Errorf("apart: %v", err)
	}
}

// TestTrackCurrent: the rows of REFERENCES A13 and the two tracks that
// BENCH.md, "Injecting current", gives for a rise of 2 K.
func TestTrackCurrent(t *testing.T) {
	square := float64(mil * mil)
	for _, c := range []struct {
		area, rise float64
		outer      bool
		want       float64
		relative   float64
	}{
		{16.296 * square, 10, true, 1, 1e-4},
		{42.393 * square, 10, false, 1, 1e-4},
		{42.393 * square, 10, true, 2, 1e-4},
		{150.03 * square, 10, true, 5, 1e-4},
		{10 * 1.378 * square, 10, true, 0.88552, 1e-4},
		{0.15e-3 * 35e-6, 2, true, 0.30, 0.02},
		{0.15e-3 * 35e-6, 2, false, 0.15, 0.02},
	} {
		got := TrackCurrent(c.area, c.rise, c.outer)
		near(t, "current", float64(got), c.want, c.relative)
		near(t, "rise", TrackRise(c.area, unit.Current(got), c.outer), c.rise, 1e-9)
	}
}

// TestAbove: on a strip all is above a little less than I/w and nothing above
// a little more; where the copper widens the contour lies between.
func TestAbove(t *testing.T) {
	f := flowOf(t, strip{rectangle(5, 1), [][4]float64{{0, 0, 0, 1}, {5, 0, 5, 1}}}.model(t, 0.3, true))
	d := f.Maps()[0]
	near(t, "most", d.Most, 1000, 1e-6)
	if rings := d.Above(1001); len(rings) != 0 {
		t.Errorf("%d rings above the greatest density", len(rings))
	}
	area := 0.0
	for _, r := range d.Above(999) {
		area += r.Area()
	}
	near(t, "area above", area*1e-12, 5, 1e-6)
}
