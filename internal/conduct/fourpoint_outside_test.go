package conduct

import (
	"context"
	"fmt"
	"math"
	"testing"

	"ohmward/geom"
)

// inLine reads an in-line probe of four points a spacing apart, in the middle
// of a sheet of one ohm per square: volts between the inner two for current
// through the outer two. Contacts of a hundredth of the spacing stand for
// points; they move the reading by less than their size squared, some 1e-4.
func inLine(t *testing.T, sheet geom.Region, at geom.Point, spacing float64) Bounds {
	t.Helper()
	const size = 20_000 // nanometres across; the spacing is in millimetres
	var discs []Disc
	for k := range 4 {
		x := at.X + int64((float64(k)-1.5)*spacing*1e6)
		discs = append(discs, Disc{At: geom.Point{X: x, Y: at.Y}, Diameter: size})
	}
	g := Group{Name: t.Name(), Sheets: []Sheet{{Conductance: 1, Copper: sheet}}}
	m, err := Build(
		context.Background(), g, Options{Discs: discs, MaxEdge: int64(spacing * 0.4e6), Grading: 0.12, Edge: true},
	)
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Prepare(discs, 0)
	if err != nil {
		t.Fatal(err)
	}
	r, err := c.Transfer(0, 3, 1, 2)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// REFERENCES B7 and B6: Smits (1958), the centre of a circle of diameter d.
func TestInLineOnCircle(t *testing.T) {
	for _, ratio := range first(1, []float64{3, 4, 5, 7.5, 10, 15}) {
		q := ratio * ratio
		factor := math.Pi / (math.Ln2 + math.Log((q+3)/(q-3)))
		disc := geom.Fill([]geom.Ring{geom.Circle(geom.Point{}, int64(ratio*1e6), 1000)}, geom.NonZero)
		heldFour(t, fmt.Sprintf("B7 circle, d/s = %g", ratio), 1/factor, inLine(t, disc, geom.Point{}, 2))
	}
}

// REFERENCES B8 and B9: a square and a rectangle twice as long, to the digits
// that the series there give.
func TestInLineOnRectangle(t *testing.T) {
	onlyInFull(t)
	for _, c := range []struct{ length, ratio, factor float64 }{
		{1, 3, 2.4562}, {1, 4, 3.1134}, {1, 5, 3.5098}, {1, 7.5, 4.0089}, {1, 10, 4.2208}, {1, 15, 4.3878},
		{2, 2, 1.9454}, {2, 3, 2.7000}, {2, 4, 3.2244}, {2, 5, 3.5749}, {2, 10, 4.2356},
	} {
		w, h := c.length*c.ratio*2, c.ratio*2
		sheet := geom.Fill([]geom.Ring{ringOf(rectangle(w, h))}, geom.NonZero)
		name := fmt.Sprintf("B8 square, d/s = %g", c.ratio)
		if c.length != 1 {
			name = fmt.Sprintf("B9 a/d = %g, d/s = %g", c.length, c.ratio)
		}
		heldFour(t, name, 1/c.factor, inLine(t, sheet, geom.FromMM(w/2, h/2), 2))
	}
}

func heldFour(t *testing.T, name string, want float64, r Bounds) {
	t.Helper()
	held(t, "fourwire", name, want, 2e-4*want, r)
	if r.High-r.Low > 0.02*want {
		t.Errorf("%s: a bracket of %.2g is too wide to tell anything", name, (r.High-r.Low)/want)
	}
}

// A transfer from a pair to itself is its resistance, swapping volts turns its
// sign, and swapping the pairs changes nothing.
func TestTransferLaws(t *testing.T) {
	discs := []Disc{discAt(1, 1), discAt(9, 4), discAt(3, 4.2), discAt(7.5, 0.8)}
	m := plate(t, 10, 5, Options{Discs: discs, Edge: true})
	c, err := m.Prepare(discs, 0)
	if err != nil {
		t.Fatal(err)
	}
	transfer := func(i, j, k, l int) Bounds {
		b, err := c.Transfer(i, j, k, l)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	r, err := c.Resistance(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	two := transfer(0, 1, 0, 1)
	near(t, "two-wire", two.Ohms, r.Ohms, 1e-9)
	near(t, "its lower bound", two.Lower, r.Lower, 1e-9)
	near(t, "its upper bound", two.Upper, r.Upper, 1e-9)
	near(t, "its bracket", two.High-two.Low, r.High-r.Low, 1e-6)
	four := transfer(0, 1, 2, 3)
	near(t, "volts swapped", transfer(0, 1, 3, 2).Ohms, -four.Ohms, 1e-9)
	near(t, "pairs swapped", transfer(2, 3, 0, 1).Ohms, four.Ohms, 1e-9)
	z, err := c.Impedance([]int{0, 1, 2, 3})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "from impedances", four.Ohms, z[2][0]-z[2][1]-z[3][0]+z[3][1], 1e-9)
}
