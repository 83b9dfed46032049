package conduct

import (
	"math"
	"testing"
)

// TestMemory solves a plate with next to no memory for factors: by iteration
// its resistance and both bounds are the same to 1e-8.
func TestMemory(t *testing.T) {
	onlyInFull(t)
	discs := []Disc{discAt(1, 0.5), discAt(7, 1.5)}
	var got [2]Bounds
	for i, memory := range []int64{0, 100_000} {
		m := plate(t, 8, 2, Options{Discs: discs, Edge: true, Memory: memory})
		if iterates := m.nodal.factor.Symbolic().Iterates(); iterates != (memory > 0) {
			t.Fatalf("memory %d: iterates %v", memory, iterates)
		}
		c, err := m.Prepare(discs, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got[i], err = c.Resistance(0, 1); err != nil {
			t.Fatal(err)
		}
	}
	for _, v := range [][2]float64{
		{got[1].Ohms, got[0].Ohms}, {got[1].Lower, got[0].Lower}, {got[1].Upper, got[0].Upper},
	} {
		if math.Abs(v[0]-v[1]) > 1e-8*v[1] {
			t.Errorf("%.12g by iteration, %.12g factored", v[0], v[1])
		}
	}
}
