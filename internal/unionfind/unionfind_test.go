package unionfind

import (
	"math/rand/v2"
	"testing"
)

// Random joins, against labels that are rewritten one by one.
func TestSets(t *testing.T) {
	const n = 60
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		sets, label := New(n), make([]int, n)
		for i := range label {
			label[i] = i
		}
		for range rng.IntN(2 * n) {
			i, j := rng.IntN(n), rng.IntN(n)
			sets.Join(i, j)
			from, to := max(label[i], label[j]), min(label[i], label[j])
			for k := range label {
				if label[k] == from {
					label[k] = to
				}
			}
		}
		sets = append(sets, n)
		for i, want := range append(label, n) {
			if got := sets.Find(i); got != want {
				t.Fatalf("least member of %d's class is %d, want %d", i, got, want)
			}
		}
	}
}
