package conduct

import (
	"context"
	"math"
	"testing"

	"ohmward/geom"
	"ohmward/internal/mesh"
	"ohmward/internal/sparse"
	"ohmward/internal/unionfind"
)

// TestWarmedStrip: on a straight strip every bit of area counts alike:
// the rise is fraction * (area of the disc on the strip) / w^2 squares.
func TestWarmedStrip(t *testing.T) {
	f := flowOf(t, strip{rectangle(20, 1), [][4]float64{{0, 0, 0, 1}, {20, 0, 20, 1}}}.model(t, 0.3, true))
	const r = 2.5 // mm: a disc of 5 mm, its middle on the strip's
	area := 2 * (0.5*math.Sqrt(r*r-0.25) + r*r*math.Asin(0.5/r))
	near(t, "rise", Warmed(f, f, geom.FromMM(10, 0.5), 2_500_000, 0.02), 0.02*area, 1e-3)
	if off := Warmed(f, f, geom.FromMM(10, 9), 2_500_000, 0.02); off != 0 {
		t.Errorf("a disc off the copper makes %g", off)
	}
}

// TestWarmedSolved: warming all copper, and a disc of it, against solving
// anew; and a four-wire reading either way round.
func TestWarmedSolved(t *testing.T) {
	g := Group{Name: t.Name(), Sheets: []Sheet{{Conductance: 2000, Copper: geom.Fill([]geom.Ring{
		{
			geom.FromMM(0, 0),
			geom.FromMM(20, 0),
			geom.FromMM(20, 4),
			geom.FromMM(5, 4),
			geom.FromMM(5, 12),
			geom.FromMM(0, 12),
		}}, geom.NonZero)}}}
	var discs []Disc
	for _, p := range [][2]float64{{1, 1}, {19, 2}, {3, 6}, {12, 3}} {
		discs = append(discs, Disc{At: geom.FromMM(p[0], p[1]), Diameter: 300_000})
	}
	const fraction = 1e-4
	build := func(g Group) (*Contacts, [][]float64) {
		m, err := Build(context.Background(), g, Options{Discs: discs, MaxEdge: 300_000})
		if err != nil {
			t.Fatal(err)
		}
		c, err := m.Prepare(discs, 0)
		if err != nil {
			t.Fatal(err)
		}
		z, err := c.Impedance([]int{0, 1})
		if err != nil {
			t.Fatal(err)
		}
		return c, z
	}
	c, cold := build(g)
	in := flowOf(t, c)
	out, err := c.Flow([2]int{2, 3})
	if err != nil {
		t.Fatal(err)
	}
	warm := g
	warm.Sheets = []Sheet{g.Sheets[0]}
	warm.Sheets[0].Conductance /= 1 + fraction
	_, hot := build(warm)
	two := func(z [][]float64) float64 { return z[0][0] + z[1][1] - 2*z[0][1] }
	near(t, "two-wire", Warmed(in, in, geom.FromMM(10, 6), 50_000_000, fraction), two(hot)-two(cold), 1e-6)
	whole := Warmed(in, out, geom.FromMM(10, 6), 50_000_000, fraction)
	near(t, "reciprocity", Warmed(out, in, geom.FromMM(10, 6), 50_000_000, fraction), whole, 1e-12)

	// In part: a disc of 5 mm at the inner corner, solved anew with the
	// triangles whose middles lie in it less conducting.
	at := geom.FromMM(5, 4)
	m := c.model
	s := &space{dof: m.nodal.dof, rim: m.nodal.rim, x: m.nodal.x, y: m.nodal.y}
	b, sets := sparse.NewBuilder(len(s.x)), unionfind.New(len(s.x))
	for t, tri := range m.meshes[0].Triangle {
		one := mesh.Mesh{X: m.meshes[0].X, Y: m.meshes[0].Y, Triangle: [][3]int32{tri}}
		var x, y float64
		for _, v := range tri {
			x, y = x+one.X[v]/3, y+one.Y[v]/3
		}
		sigma := g.Sheets[0].Conductance
		if math.Hypot(x-0.005, y-0.004) < 0.0025 {
			sigma /= 1 + fraction
		}
		s.addSheet(b, sets, &one, s.dof[0][t:t+1], sigma, nil)
	}
	s.scale = g.Sheets[0].Conductance
	s.ground(b, sets)
	if s.factor, err = sparse.Factorise(b.Build(), s.x, s.y); err != nil {
		t.Fatal(err)
	}
	m.nodal = s
	spot, err := m.Prepare(discs, 0)
	if err != nil {
		t.Fatal(err)
	}
	z, err := spot.Impedance([]int{0, 1})
	if err != nil {
		t.Fatal(err)
	}
	// Triangles that the rim crosses count whole in one, in part in the other.
	near(t, "a spot", Warmed(in, in, at, 2_500_000, fraction), two(z)-two(cold), 0.02)
}
