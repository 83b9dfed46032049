package geom

import "math/bits"

// Coat is one step of painting: the non-zero filling of its rings, dark or
// clear.
type Coat struct {
	Dark  bool
	Rings []Ring
}

// Paint gives the dark area after painting the coats in order: a dark coat
// adds, a clear one removes what lies under it. Each coat is filled by
// itself: rings of different coats never cancel.
func Paint(coats []Coat) Region {
	var in intake
	dark := []bool{false} // channel 0 is the bare ground
	for _, c := range coats {
		if len(dark) == 1 && !c.Dark {
			continue
		}
		if dark[len(dark)-1] != c.Dark {
			dark = append(dark, c.Dark)
		}
		ch := int32(len(dark) - 1)
		for _, r := range coatRings(c.Rings) {
			in.ring(r, ch)
		}
	}
	if len(dark) == 2 {
		return in.solve(&oneWinding{})
	}
	return in.solve(newTopmost(dark))
}

// coatRings gives rings of which the non-zero filling is the coat's and whose
// winding numbers are nowhere negative, so that coats of one run add up.
func coatRings(rings []Ring) []Ring {
	if len(rings) == 1 && plainRing(rings[0]) {
		if rings[0].Area() < 0 {
			return []Ring{rings[0].Reverse()}
		}
		return rings
	}
	var out []Ring
	Fill(rings, NonZero).Rings(func(r Ring) { out = append(out, r) })
	return out
}

// plainRing tells whether a ring is surely convex: it turns to one side only
// and goes round once.
func plainRing(r Ring) bool {
	n := len(r)
	if n < 3 {
		return false
	}
	turn, flips, dir := 0, 0, 0
	for i := range n {
		a, b, c := r[i], r[(i+1)%n], r[(i+2)%n]
		if a == b {
			return false
		}
		if t := Orient(a, b, c); t != 0 {
			if turn == -t {
				return false
			}
			turn = t
		} else if (b.X-a.X)*(c.X-b.X) < 0 || (b.Y-a.Y)*(c.Y-b.Y) < 0 {
			return false // runs back on itself
		}
		// A convex ring changes between rising and falling x only twice.
		if s := sign(b.X - a.X); s != 0 && s != dir {
			flips++
			dir = s
		}
	}
	return turn != 0 && flips <= 3
}

// topmost keeps the winding number of every run of coats and judges by the
// last run that covers the face: words and tops are bit sets of the runs with
// a winding number other than 0.
type topmost struct {
	n     []int32
	dark  []bool
	words []uint64
}

func newTopmost(dark []bool) *topmost {
	return &topmost{make([]int32, len(dark)), dark, make([]uint64, len(dark)/64+1)}
}

func (t *topmost) step(ch, w int32) {
	t.n[ch] += w
	if t.n[ch] != 0 {
		t.words[ch>>6] |= 1 << (ch & 63)
	} else {
		t.words[ch>>6] &^= 1 << (ch & 63)
	}
}

func (t *topmost) inside() bool {
	for i := len(t.words) - 1; i >= 0; i-- {
		if t.words[i] != 0 {
			return t.dark[i*64+bits.Len64(t.words[i])-1]
		}
	}
	return false
}
