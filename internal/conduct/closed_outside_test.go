package conduct

import (
	"context"
	"fmt"
	"math"
	"testing"

	"ohmward/geom"
)

// held fails unless the bracket holds the truth, give or take the source's own
// slack, and is neither far off nor wide.
func held(t *testing.T, section, name string, want, slack float64, r Bounds) {
	t.Helper()
	Row(t, section, name, want, r)
	if r.Low > want+slack || r.High < want-slack {
		t.Errorf("%s: %.7g is outside the bracket %.7g to %.7g", name, want, r.Low, r.High)
	}
	if r.Lower > want+slack || r.Upper < want-slack {
		t.Errorf("%s: %.7g is outside the bounds %.7g to %.7g", name, want, r.Lower, r.Upper)
	}
	if off := math.Abs(r.Ohms - want); off > 0.003*math.Abs(want)+slack {
		t.Errorf("%s: got %.7g, want %.7g", name, r.Ohms, want)
	}
}

// arm is the length of the strips that lead to a junction, in widths: what the
// junction does to the flow falls off as exp(-pi x), to 3e-6 here.
const arm = 4

// tee is three strips of unit width that meet: electrodes at the left end, the
// right end and the stub's.
var tee = [][2]float64{
	{0, 0},
	{2*arm + 1, 0},
	{2*arm + 1, 1},
	{arm + 1, 1},
	{arm + 1, arm + 1},
	{arm, arm + 1},
	{arm, 1},
	{0, 1},
}

var teeEnds = [][4]float64{{0, 0, 0, 1}, {2*arm + 1, 0, 2*arm + 1, 1}, {arm, arm + 1, arm + 1, arm + 1}}

var cross = [][2]float64{
	{arm, 0}, {arm + 1, 0}, {arm + 1, arm}, {2*arm + 1, arm}, {2*arm + 1, arm + 1}, {arm + 1, arm + 1},
	{arm + 1, 2*arm + 1}, {arm, 2*arm + 1}, {arm, arm + 1}, {0, arm + 1}, {0, arm}, {arm, arm},
}

// stepped is a strip of width 1 that narrows to a, in the middle or at one side.
func stepped(a float64, centred bool) strip {
	y := 0.0
	outline := [][2]float64{{0, 0}, {2 * arm, 0}, {2 * arm, a}, {arm, a}, {arm, 1}, {0, 1}}
	if centred {
		y = (1 - a) / 2
		outline = [][2]float64{
			{0, 0},
			{arm, 0},
			{arm, y},
			{2 * arm, y},
			{2 * arm, y + a},
			{arm, y + a},
			{arm, 1},
			{0, 1},
		}
	}
	return strip{outline, [][4]float64{{0, 0, 0, 1}, {2 * arm, y, 2 * arm, y + a}}}
}

// slitted is a strip of width 1 with a slit across that leaves the middle open.
func slitted(a float64) strip {
	y := (1 - a) / 2
	return strip{
		[][2]float64{
			{0, 0},
			{arm, 0},
			{arm, y},
			{arm + slitWidth, 0},
			{2 * arm, 0},
			{2 * arm, 1},
			{arm + slitWidth, 1},
			{arm, 1 - y},
			{arm, 1},
			{0, 1},
		},
		[][4]float64{{0, 0, 0, 1}, {2 * arm, 0, 2 * arm, 1}},
	}
}

const slitWidth = 2e-5

// extraStep is B13: the squares that a symmetric step of widths a to 1 adds.
func extraStep(a float64) float64 {
	return (math.Log((1-a*a)/(4*a)) + 0.5*(a+1/a)*math.Log((1+a)/(1-a))) / math.Pi
}

// extraSlit is B14.
func extraSlit(a float64) float64 { return 2 / math.Pi * math.Log(1/math.Sin(math.Pi*a/2)) }

// Closed forms, in squares, refined until the bracket says 0.1 %. Sources:
// REFERENCES B11 (P. M. Hall 1967), B13 and B14 (duals of Marcuvitz's
// waveguide step and diaphragm), B15 and B16 (finite elements, +-0.0003).
func TestClosedStrips(t *testing.T) {
	bend := strip{
		[][2]float64{{0, 0}, {arm + 1, 0}, {arm + 1, 1}, {1, 1}, {1, arm + 1}, {0, arm + 1}},
		[][4]float64{{arm + 1, 0, arm + 1, 1}, {0, arm + 1, 1, arm + 1}},
	}
	for _, c := range []struct {
		name        string
		strip       strip
		want, slack float64
	}{
		{"bar, 5 by 1", strip{rectangle(5, 1), [][4]float64{{0, 0, 0, 1}, {5, 0, 5, 1}}}, 5, 1e-9},
		{"B11 bend", bend, 2*arm + 1 - 2/math.Pi*math.Ln2, 1e-5},
		{"B13 step to 1/2, centred", stepped(0.5, true), arm + 2*arm + extraStep(0.5), 1e-5},
		{"B13 step to 1/4, centred", stepped(0.25, true), arm + 4*arm + extraStep(0.25), 1e-5},
		{"B13 step to 1/2, one side", stepped(0.5, false), arm + 2*arm + 2*extraStep(0.5), 1e-5},
		{"B13 step to 1/4, one side", stepped(0.25, false), arm + 4*arm + 2*extraStep(0.25), 1e-5},
		{"B14 slit, 1/2 open", slitted(0.5), 2*arm + extraSlit(0.5), 1e-4},
		{"B14 slit, 1/4 open", slitted(0.25), 2*arm + extraSlit(0.25), 1e-4},
		{"B15 T, through", strip{tee, teeEnds[:2]}, 2*arm + 0.8469, 3e-4},
		{"B15 T, into the stub", strip{tee, [][4]float64{teeEnds[0], teeEnds[2]}}, 2*arm + 0.5335, 3e-4},
		{"B16 cross, through", strip{cross, [][4]float64{{0, arm, 0, arm + 1}, {2*arm + 1, arm, 2*arm + 1, arm + 1}}}, 2*arm + 0.7206, 3e-4},
	} {
		t.Run(c.name, func(t *testing.T) {
			g, discs := c.strip.group(c.name)
			held(t, "closed", c.name, c.want, c.slack, solved(t, g, discs, 0.001))
		})
	}
}

// solved is the resistance between the first two contacts, refined to a
// bracket of the given half-width.
func solved(t *testing.T, g Group, discs []Disc, within float64) Bounds {
	t.Helper()
	c, err := Solve(context.Background(), g, Options{Discs: discs}, [][2]int{{0, 1}}, within)
	if err != nil {
		t.Fatal(err)
	}
	r, err := c.Resistance(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	if r.High-r.Low > 2*within*r.Ohms {
		t.Errorf("asked for %.2g, the bracket is %.7g to %.7g", within, r.Low, r.High)
	}
	return r
}

// REFERENCES B15: both ends joined to the stub. A tie of next to no resistance
// would touch the ends in spots; a barrel on a second layer joins all of them.
func TestClosedTeeBothEnds(t *testing.T) {
	g, discs := strip{tee, teeEnds}.group("B15 T, both ends to the stub")
	// The two ends' slots reach a layer of their own, where a bar of next to no
	// resistance joins them.
	const good = 1e6
	for i := range 2 {
		g.Barrels[i].LastLayer, g.Barrels[i].Ohms = 1, []float64{1 / good}
	}
	bar := geom.Ring{geom.FromMM(0, 0), geom.FromMM(2*arm+1, 0), geom.FromMM(2*arm+1, 1), geom.FromMM(0, 1)}
	g.Sheets = append(
		g.Sheets, Sheet{Layer: 1, Conductance: good, Copper: geom.Fill([]geom.Ring{bar}, geom.NonZero)},
	)
	r := solved(t, g, []Disc{discs[0], discs[2]}, 0.001)
	held(t, "closed", g.Name, arm/2.0+arm+0.3218, 3e-4, r)
}

// REFERENCES B17: rings, in squares; the rims of two barrels.
func TestClosedRings(t *testing.T) {
	for _, ratio := range []float64{2, 10} {
		const inner = 500_000
		outer := int64(ratio * inner)
		g := Group{
			Name: t.Name(),
			Sheets: []Sheet{{Layer: 1, Conductance: 1, Copper: geom.Difference(
				geom.Fill([]geom.Ring{geom.Circle(geom.Point{}, outer, 250)}, geom.NonZero),
				geom.Fill([]geom.Ring{geom.Circle(geom.Point{}, inner, 250)}, geom.NonZero))}},
			Barrels: []Barrel{
				{Diameter: 2 * inner, FirstLayer: 0, LastLayer: 1, Ohms: []float64{1e-9}},
				{Diameter: 2 * outer, FirstLayer: 1, LastLayer: 2, Ohms: []float64{1e-9}},
			},
		}
		// The chords and the outline's simplification by 1 um leave 1e-4.
		held(
			t, "closed", fmt.Sprintf("B17 ring, b/a = %g", ratio), math.Log(ratio)/(2*math.Pi),
			1.5e-4*math.Log(ratio)/(2*math.Pi), solved(t, g, []Disc{{Layer: 0}, {Layer: 2}}, 0.001),
		)
	}
}

// REFERENCES B18: two discs on a wide sheet, acosh(D/2r)/pi. A square of side
// L instead of an infinite sheet adds about (D/L)^2/2.
func TestClosedDiscs(t *testing.T) {
	onlyInFull(t)
	for _, ratio := range []float64{4, 10, 20, 100} {
		const diameter, side = 300_000, 1000.0
		d := ratio * diameter / 2e6
		g := Group{
			Name: t.Name(),
			Sheets: []Sheet{
				{Conductance: 1, Copper: geom.Fill([]geom.Ring{ringOf(rectangle(side, side))}, geom.NonZero)},
			},
		}
		discs := []Disc{discAt(side/2-d/2, side/2), discAt(side/2+d/2, side/2)}
		c, err := Solve(context.Background(), g, Options{Discs: discs, MaxEdge: 1e9}, [][2]int{{0, 1}}, 0.001)
		if err != nil {
			t.Fatal(err)
		}
		r, err := c.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		// The contact is a polygon of 24 sides: see Disc.rim.
		want := math.Acosh(ratio/2) / math.Pi
		held(t, "closed", fmt.Sprintf("B18 discs, D/r = %g", ratio), want, 1e-4+(d/side)*(d/side)/2, r)
	}
}
