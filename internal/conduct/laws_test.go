package conduct

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

// star is a random outline around the origin, in millimetres.
func star(rng *rand.Rand, corners int) geom.Ring {
	var ring geom.Ring
	for i := range corners {
		a := 2 * math.Pi * (float64(i) + 0.6*rng.Float64()) / float64(corners)
		r := 5 + 5*rng.Float64()
		ring = append(ring, geom.FromMM(r*math.Cos(a), r*math.Sin(a)))
	}
	return ring
}

func onOutline(ring geom.Ring, i int, t float64, diameter int64) Disc {
	p, q := ring[i%len(ring)], ring[(i+1)%len(ring)]
	at := geom.Point{
		X: p.X + int64(t*float64(q.X-p.X)), Y: p.Y + int64(t*float64(q.Y-p.Y)),
	}
	return Disc{At: at, Diameter: diameter}
}

// REFERENCES B1: van der Pauw's identity holds on any outline for four small
// contacts in order round it. Contacts of 0.02 mm on 10 to 20 mm of sheet
// leave it within a part in a thousand; the mesh's own error stays in R.
func TestVanDerPauw(t *testing.T) {
	for seed := range few[uint64](1, 8) {
		rng := rand.New(rand.NewPCG(seed, 1958))
		ring := star(rng, 9)
		var discs []Disc
		for k := range 4 {
			discs = append(discs, onOutline(ring, 2*k+rng.IntN(2), 0.3+0.4*rng.Float64(), 20_000))
		}
		g := Group{Sheets: []Sheet{{Conductance: 1, Copper: geom.Fill([]geom.Ring{ring}, geom.NonZero)}}}
		m, err := Build(context.Background(), g, Options{Discs: discs, MaxEdge: 250_000, Edge: true})
		if err != nil {
			t.Fatal(err)
		}
		c, err := m.Prepare(discs, 0)
		if err != nil {
			t.Fatal(err)
		}
		z, err := c.Impedance([]int{0, 1, 2, 3})
		if err != nil {
			t.Fatal(err)
		}
		transfer := func(i, j, m, n int) float64 { return z[m][i] - z[m][j] - z[n][i] + z[n][j] }
		a, b := transfer(0, 1, 3, 2), transfer(1, 2, 0, 3)
		sum := math.Exp(-math.Pi*a) + math.Exp(-math.Pi*b)
		if math.Abs(sum-1) > 2e-3 {
			t.Errorf("seed %d: R_A %.5f, R_B %.5f: the exponentials make %.5f, not 1", seed, a, b, sum)
		}
	}
}

// REFERENCES B17: a ring from a to b is ln(b/a)/2pi. The inner rim is a hole;
// the outer one is a barrel that the copper fills, told apart by a layer of
// its own.
func TestAnnulus(t *testing.T) {
	for _, ratio := range []float64{2, 10} {
		const inner = 500_000
		outer := int64(ratio * inner)
		sheet := geom.Difference(
			geom.Fill([]geom.Ring{geom.Circle(geom.Point{}, outer, 250)}, geom.NonZero),
			geom.Fill([]geom.Ring{geom.Circle(geom.Point{}, inner, 250)}, geom.NonZero))
		g := Group{
			Sheets: []Sheet{{Layer: 1, Conductance: 1, Copper: sheet}},
			Barrels: []Barrel{
				{Diameter: 2 * inner, FirstLayer: 0, LastLayer: 1, Ohms: []float64{1e-9}},
				{Diameter: 2 * outer, FirstLayer: 1, LastLayer: 2, Ohms: []float64{1e-9}},
			},
		}
		discs := []Disc{{Layer: 0}, {Layer: 2}}
		c, err := Solve(context.Background(), g, Options{Discs: discs}, [][2]int{{0, 1}}, 0.003)
		if err != nil {
			t.Fatal(err)
		}
		r, err := c.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		want := math.Log(ratio) / (2 * math.Pi)
		t.Logf("b/a %g: %.6f squares, want %.6f, bounds %.6f to %.6f", ratio, r.Ohms, want, r.Low, r.High)
		if math.Abs(r.Ohms/want-1) > 0.002 {
			t.Errorf("b/a %g: got %.6f squares, want %.6f", ratio, r.Ohms, want)
		}
	}
}

// REFERENCES B18: two discs on an infinite sheet, acosh(D/2r)/pi. A sheet of
// 200 mm instead of an infinite one adds less than 0.1 %.
func TestDiscsOnSheet(t *testing.T) {
	onlyInFull(t)
	for _, ratio := range []float64{4, 10, 20} {
		d := ratio * 0.15
		discs := []Disc{discAt(100-d/2, 100), discAt(100+d/2, 100)}
		box := geom.Ring{geom.FromMM(0, 0), geom.FromMM(200, 0), geom.FromMM(200, 200), geom.FromMM(0, 200)}
		g := Group{Sheets: []Sheet{{Conductance: 1, Copper: geom.Fill([]geom.Ring{box}, geom.NonZero)}}}
		c, err := Solve(context.Background(), g, Options{Discs: discs, MaxEdge: 40_000_000}, [][2]int{{0, 1}}, 0)
		if err != nil {
			t.Fatal(err)
		}
		r, err := c.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		want := math.Acosh(ratio/2) / math.Pi
		t.Logf("D/r %g: %.6f squares, want %.6f, bounds %.6f to %.6f", ratio, r.Ohms, want, r.Low, r.High)
		if math.Abs(r.Ohms/want-1) > 0.003 {
			t.Errorf("D/r %g: got %.6f squares, want %.6f", ratio, r.Ohms, want)
		}
	}
}

// barrelOhms is the resistance of a round plated hole, all in metres.
func barrelOhms(resistivity, diameter, plating, height float64) float64 {
	g, _ := Section{Diameter: diameter, Plating: plating}.Conductance(resistivity, SolderResistivity)
	return height / g
}

// REFERENCES A9: a 0.30 mm hole, 1.6 mm long.
func TestBarrel(t *testing.T) {
	for plating, want := range map[float64]float64{25e-6: 1.27723e-3, 20e-6: 1.56803e-3} {
		if got := barrelOhms(1/58e6, 0.3e-3, plating, 1.6e-3); math.Abs(got/want-1) > 1e-5 {
			t.Errorf("plating %g m: got %.6g ohm, want %.6g", plating, got, want)
		}
	}
	solid := barrelOhms(1, 1e-3, 0.6e-3, 1)
	if want := 1 / (math.Pi * 0.25e-6); math.Abs(solid/want-1) > 1e-12 {
		t.Errorf("solid: got %g ohm, want %g", solid, want)
	}
}

// Laws of resistances on random copper of two layers joined by barrels:
// reciprocity, the triangle inequality (REFERENCES B28), and Rayleigh's: a
// hole drilled out of the copper never lowers one.
func TestLaws(t *testing.T) {
	for seed := range few[uint64](1, 6) {
		rng := rand.New(rand.NewPCG(seed, 28))
		g, discs := twoLayers(rng)
		r := allResistances(t, g, discs)
		for i := range discs {
			for j := range i {
				for k := range discs {
					if r[i][j] > r[i][k]+r[k][j]+1e-9 {
						t.Errorf("seed %d: R(%d,%d) %.6f exceeds the way by %d, %.6f", seed, i, j, r[i][j], k, r[i][k]+r[k][j])
					}
				}
			}
		}
		hole := geom.Fill([]geom.Ring{geom.Circle(geom.FromMM(0.7, -0.4), 1_500_000, 1000)}, geom.NonZero)
		g.Sheets[0].Copper = geom.Difference(g.Sheets[0].Copper, hole)
		after := allResistances(t, g, discs)
		for i := range discs {
			for j := range i {
				if after[i][j] < r[i][j]*(1-0.004) {
					t.Errorf("seed %d: a hole lowered R(%d,%d) from %.6f to %.6f", seed, i, j, r[i][j], after[i][j])
				}
			}
		}
	}
}

func twoLayers(rng *rand.Rand) (Group, []Disc) {
	var g Group
	for l := range 2 {
		g.Sheets = append(g.Sheets, Sheet{Layer: l, Conductance: 1 + rng.Float64(),
			Copper: geom.Fill([]geom.Ring{star(rng, 11)}, geom.NonZero)})
	}
	var discs []Disc
	for k := range 3 {
		at := geom.FromMM(3.2*math.Cos(float64(k)*2.1), 3.2*math.Sin(float64(k)*2.1))
		g.Barrels = append(
			g.Barrels, Barrel{At: at, To: at, Diameter: 300_000, LastLayer: 1, Ohms: []float64{0.01 + rng.Float64()}},
		)
		for l := range g.Sheets {
			drilled := geom.Fill([]geom.Ring{geom.Circle(at, 150_000, 250)}, geom.NonZero)
			g.Sheets[l].Copper = geom.Difference(g.Sheets[l].Copper, drilled)
			discs = append(
				discs,
				Disc{
					Layer:    l,
					At:       geom.FromMM(4*math.Cos(float64(2*k+l)), 4*math.Sin(float64(2*k+l))),
					Diameter: 300_000,
				},
			)
		}
	}
	return g, discs
}

func allResistances(t *testing.T, g Group, discs []Disc) [][]float64 {
	t.Helper()
	m, err := Build(context.Background(), g, Options{Discs: discs, MaxEdge: 300_000, Edge: true})
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Prepare(discs, 0)
	if err != nil {
		t.Fatal(err)
	}
	r := make([][]float64, len(discs))
	for i := range discs {
		r[i] = make([]float64, len(discs))
		for j := range discs {
			b, err := c.Resistance(i, j)
			if err != nil {
				t.Fatal(err)
			}
			r[i][j] = b.Ohms
			if j < i && math.Abs(r[i][j]-r[j][i]) > 0 && math.Abs(r[j][i]/r[i][j]-1) > 1e-9 && r[j][i] != 0 {
				t.Errorf("R(%d,%d) is %.9f one way and %.9f the other", i, j, r[i][j], r[j][i])
			}
		}
	}
	return r
}
