package practice

import (
	"context"
	"math"
	"sync"
	"testing"

	"ohmward/internal/check"
	"ohmward/internal/suspect"
)

func newBatch(t testing.TB, b Bench, d Draw, n int) *Batch {
	t.Helper()
	c, err := NewBatch(context.Background(), b, d, n, seeded(5))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// even is copper just as designed.
func even() Copper { return Copper{Layer: []float64{1, 1}, Plating: 1, Ties: [2][]float64{{1}, nil}} }

func ohms(t testing.TB, v float64, err error) float64 {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// A unit of the batch reads what the same unit reads that is solved by itself
// with its own copper. The batch's mesh does not follow the short's contacts:
// they may be a quarter of a square low each, an eighth of a milliohm.
func TestBatchAgainstAUnit(t *testing.T) {
	b := madeBench(t)
	c := newBatch(t, b, Draw{}, 3)
	for i, f := range c.Faults {
		one := b
		one.Fault, one.Ohms = &f.Site, f.Ohms
		u := newUnit(t, one, uint64(i))
		cu := c.DrawCopper(seeded(uint64(i))) // the same factors
		far := tip(0, trackMM+7, widthMM/2)
		for _, p := range c.bench.Probes[:2] {
			for _, from := range []struct {
				name string
				want float64
				got  float64
			}{
				{"through copper", reads(t, u, twoWire(p, tipB(1))), both(t, c, i, cu, 0, p.At.X)},
				{"through the part", reads(t, u, twoWire(far, tipB(1))), both(t, c, i, cu, 0, far.At.X)},
			} {
				check.Approx(t, from.got+f.Ohms, from.want, check.Tol{Rel: 0.002, Abs: 0.25e-3}, from.name)
			}
		}
	}
}

// both is a two-wire reading of a unit from a place on A or C to B's left end,
// without the short's own ohms.
func both(t testing.TB, c *Batch, i int, cu Copper, group int, x int64) float64 {
	t.Helper()
	a, errA := c.TwoWire(i, cu, tip(group, float64(x)*1e-6, widthMM/2))
	b, errB := c.TwoWire(i, cu, tipB(1))
	return ohms(t, a, errA) + ohms(t, b, errB)
}

// Copper in series: twice the thickness halves a reading, whatever the other
// layer and the plating are; a low-ohm part adds by its own factor.
func TestBatchCopper(t *testing.T) {
	c := newBatch(t, madeBench(t), Draw{}, 2)
	thick, rest, tied := even(), even(), even()
	thick.Layer[0], rest.Layer[1], rest.Plating, tied.Ties[0][0] = 2, 1.7, 0.6, 3
	far := tip(0, trackMM+7, widthMM/2)
	for i := range c.Faults {
		read := func(cu Copper, x float64) float64 {
			v, err := c.TwoWire(i, cu, tipA(x))
			return ohms(t, v, err)
		}
		plain := read(even(), 1)
		check.Approx(t, read(thick, 1), plain/2, check.Tol{Rel: 1e-6}, "twice as thick")
		check.Approx(t, read(rest, 1), plain, check.Tol{Rel: 1e-6}, "what the current does not pass")
		a, errA := c.TwoWire(i, even(), far)
		b, errB := c.TwoWire(i, tied, far)
		check.Approx(
			t, ohms(t, b, errB)-ohms(t, a, errA), 2*linkOhms, check.Tol{Abs: 1e-9}, "the part at thrice its ohms",
		)
	}
}

// Four-wire: three millimetres more between the volt probes add the ohms of that
// much track, with the sign of the current's direction, and nothing beyond the
// short. The tips' own metal cancels in the difference.
func TestBatchFourWire(t *testing.T) {
	keep := func(s suspect.Site) bool { return s.A.X > 12e6 && s.A.X < 15e6 }
	c := newBatch(t, madeBench(t), Draw{Keep: keep}, 2)
	perMM := 1 / (c.bridge.Models[0].Group.Sheets[0].Conductance * widthMM)
	for i := range c.Faults {
		read := func(high, low float64) float64 {
			v, err := c.FourWire(i, even(), tipA(1), tipA(high), tipA(low))
			return ohms(t, v, err)
		}
		check.Approx(t, read(3, 9)-read(3, 6), 3*perMM, check.Tol{Rel: 0.002}, "toward the short")
		check.Approx(t, read(9, 3)-read(6, 3), -3*perMM, check.Tol{Rel: 0.002}, "the other way round")
		check.Approx(t, read(17, 19), 0, check.Tol{Abs: 1e-9}, "beyond the short")
	}
}

// A batch may be asked by several goroutines at once, and one seed draws one
// batch.
func TestBatchBySeed(t *testing.T) {
	b := madeBench(t)
	c, again := newBatch(t, b, Draw{}, 3), newBatch(t, b, Draw{}, 3)
	got := make([]float64, 8)
	var wait sync.WaitGroup
	for k := range got {
		wait.Go(func() { got[k], _ = c.TwoWire(k%3, even(), tipA(1)) })
	}
	wait.Wait()
	for k, v := range got {
		want, err := again.TwoWire(k%3, even(), tipA(1))
		if err != nil || v != want || v <= 0 {
			t.Errorf("unit %d reads %g and %g ohm, %v", k%3, v, want, err)
		}
	}
	for i := range c.Faults {
		if c.Faults[i].Ohms != again.Faults[i].Ohms || c.Faults[i].Site.A != again.Faults[i].Site.A {
			t.Errorf("fault %d: %+v, then %+v", i, c.Faults[i], again.Faults[i])
		}
	}
	plating := func(seed uint64) float64 { return c.DrawCopper(seeded(seed)).Plating }
	if plating(1) != plating(1) || plating(1) == plating(2) {
		t.Error("copper does not follow from its seed")
	}
}

// Faults are drawn as often as their prior says, among those kept, and the
// stated share from elsewhere.
func TestDrawnPlaces(t *testing.T) {
	b := madeBench(t)
	left := func(s suspect.Site) bool { return s.A.X < 10e6 }
	right := func(s suspect.Site) bool { return s.A.X >= 10e6 }
	const n = 20000
	count := func(d Draw, is func(suspect.Site) bool) (hits int) {
		drawn, err := b.drawFaults(d, n, seeded(9))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range drawn {
			if is(f.Site) {
				hits++
			}
		}
		return hits
	}
	if got := count(Draw{Keep: left}, right); got > 0 {
		t.Errorf("%d places drawn that were not kept", got)
	}
	holdShare(t, "the other draw", count(Draw{Keep: left, Other: &Draw{Keep: right}, Share: 0.3}, right), n, 0.3)
	all := b.sampler(Draw{})
	var prior, total float64
	for i, s := range all.sites {
		total = all.upTo[i]
		if s.A.X < 5e6 {
			prior += s.Prior
		}
	}
	holdShare(t, "the prior", count(Draw{}, func(s suspect.Site) bool { return s.A.X < 5e6 }), n, prior/total)
	if _, err := b.drawFaults(Draw{Keep: func(suspect.Site) bool { return false }}, 1, seeded(1)); err == nil {
		t.Error("a fault drawn from nowhere")
	}
}

// A tip lands on one of four spots, a standard deviation away along each axis,
// or nearer by halves where that is off the copper.
func TestLanding(t *testing.T) {
	c := newBatch(t, madeBench(t), Draw{}, 1)
	const n = 4000
	rng := seeded(3)
	spots := map[[2]int64]int{}
	at := tipA(8)
	for range n {
		p := c.Landing(at, 0.1e-3, rng)
		spots[[2]int64{p.At.X - at.At.X, p.At.Y - at.At.Y}]++
	}
	for _, spot := range [][2]int64{{1e5, 1e5}, {-1e5, 1e5}, {-1e5, -1e5}, {1e5, -1e5}} {
		holdShare(t, "a spot", spots[spot], n, 0.25)
	}
	for range 100 {
		p := c.Landing(at, 1e-3, rng)
		dx, dy := p.At.X-at.At.X, p.At.Y-at.At.Y
		if !c.bridge.Models[0].Reaches(p.Disc) || dx*dx != dy*dy || math.Abs(float64(dx)) > 0.5e6 || dx == 0 {
			t.Fatalf("landed %d, %d nm away", dx, dy)
		}
	}
	if p := c.Landing(at, 0, rng); p != at {
		t.Errorf("landed at %v, meant %v", p, at)
	}
}
