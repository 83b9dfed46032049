package trial

import (
	"cmp"
	"math"
	"slices"

	"ohmward/internal/answer"
)

const (
	shareLots   = 10 // lots of answers at most
	shareFaults = 15 // answers that a lot needs
)

// sharesOf sorts answers by how sure they were into lots of one size.
func sharesOf(runs []Search) []answer.ShareRight {
	sorted := slices.Clone(runs)
	slices.SortStableFunc(sorted, func(a, b Search) int { return cmp.Compare(a.p, b.p) })
	lots := max(1, min(shareLots, len(sorted)/shareFaults))
	out := []answer.ShareRight{}
	for i := range lots {
		lot := sorted[i*len(sorted)/lots : (i+1)*len(sorted)/lots]
		s := answer.ShareRight{Answers: len(lot)}
		right := 0
		for _, r := range lot {
			s.Claimed += r.p / float64(len(lot))
			if r.right {
				right++
			}
		}
		s.Right = float64(right) / float64(len(lot))
		s.Low, s.High = wilson(right, len(lot))
		out = append(out, s)
	}
	return out
}

// wilson is Wilson's 95 % interval of a share (REFERENCES D3).
func wilson(k, n int) (low, high float64) {
	const z = 1.959964
	p, m := float64(k)/float64(n), float64(n)
	mid := (p + z*z/(2*m)) / (1 + z*z/m)
	half := z / (1 + z*z/m) * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	return max(0, mid-half), min(1, mid+half)
}
