package trial

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/internal/check"
	"ohmward/internal/conduct"
	"ohmward/internal/practice"
)

// The batch's first order against a unit solved with its own copper: the same
// random numbers draw the same factors for both.
func TestBatchAgainstUnits(t *testing.T) {
	s := smallSession(t)
	b := s.PracticeBench("")
	n := check.Draws(t, 2, 4, 16)
	batch, err := practice.NewBatch(context.Background(), b, practice.Draw{}, n, rand.New(rand.NewPCG(5, 5)))
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range batch.Faults {
		one := b
		one.Fault, one.Ohms = &f.Site, f.Ohms
		unit, err := practice.NewUnit(context.Background(), one, rand.New(rand.NewPCG(6, uint64(i))))
		if err != nil {
			t.Fatal(err)
		}
		cu := batch.DrawCopper(rand.New(rand.NewPCG(6, uint64(i))))
		for k := range 3 {
			p, q := tip1(s, 0, 5*k), tip1(s, 1, k%len(s.Probes[1]))
			want, err := unit.Reads(conduct.Reading{In: p, Out: q, High: p, Low: q})
			if err != nil {
				t.Fatal(err)
			}
			x, err1 := batch.TwoWire(i, cu, p)
			y, err2 := batch.TwoWire(i, cu, q)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			if got := x + y + f.Ohms; math.Abs(got-want) > 0.01*want+50e-6 {
				t.Errorf("fault %d, reading %d: %g ohm, solved with its own copper %g", i, k, got, want)
			}
		}
	}
}
