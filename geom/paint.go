package geom

import "math/bits"

// Coat is one step of painting: the non-zero filling of its rings, dark or
// clear.
type Coat struct {
	Dark  bool   // adds; else it removes what lies under it
	Rings []Ring // for non-zero filling
}

// Paint gives the dark area after painting the coats in order: a dark coat
// adds, a clear one removes what lies under it. Each coat is filled by
// itself: rings of different coats never cancel.
//
// Coordinates are clamped as by Fill, and the time grows with the number of
// crossings, which hostile data can make the square of the number of edges:
// paint data from strangers by PaintBounded.
func Paint(coats []Coat) Region { return paint(coats, nil) }

func paint(coats []Coat, b *budget) Region {
	in := intake{budget: b}
	dark := []bool{false} // channel 0 is the bare ground
	alone, ended := 0, false
	for _, c := range coats {
		if len(dark) == 1 && !c.Dark {
			continue
		}
		rings, heavy := c.Rings, c.Dark && alone < mostAlone && heavyCoat(c.Rings)
		if !heavy {
			rings = coatRings(rings, b)
		}
		if heavy || ended || dark[len(dark)-1] != c.Dark {
			dark = append(dark, c.Dark)
		}
		if ended = heavy; heavy {
			alone++
		}
		ch := int32(len(dark) - 1)
		for _, r := range rings {
			in.ring(r, ch)
		}
	}
	if len(dark) == 2 {
		return in.solve(&oneWinding{})
	}
	return in.solve(newTopmost(dark))
}

// A dark coat of at least heavyCorners corners that may cross itself is a run of its
// own, whatever its winding numbers: filling it by itself first would double the
// work on a plane. Of such coats there are mostAlone at most.
const (
	heavyCorners = 2_000
	mostAlone    = 50
)

func heavyCoat(rings []Ring) bool {
	corners := 0
	for _, r := range rings {
		corners += len(r)
	}
	return corners >= heavyCorners && !plainRings(rings)
}

// coatRings gives rings of which the non-zero filling is the coat's and whose
// winding numbers are nowhere negative, so that coats of one run add up.
func coatRings(rings []Ring, b *budget) []Ring {
	if plainRings(rings) {
		if rings[0].Area() < 0 {
			out := make([]Ring, len(rings))
			for i, r := range rings {
				out[i] = r.Reverse()
			}
			return out
		}
		return rings
	}
	return fill(rings, NonZero, b).AllRings()
}

// plainRings tells whether rings are surely convex and turn the same way.
func plainRings(rings []Ring) bool {
	for i, r := range rings {
		if !r.Convex() || i > 0 && (r.Area() < 0) != (rings[0].Area() < 0) {
			return false
		}
	}
	return len(rings) > 0
}

// Convex tells whether a ring is surely convex: it turns to one side only and
// goes round once.
func (r Ring) Convex() bool {
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
// last run that covers the face. The runs with a winding number other than 0
// stand in a tree of bit sets: level[0] has a bit for each run, every further
// level one for each word of the level below that is not 0.
type topmost struct {
	n     []int32
	dark  []bool
	level [][]uint64
}

func newTopmost(dark []bool) *topmost {
	t := &topmost{n: make([]int32, len(dark)), dark: dark}
	for words := len(dark)/64 + 1; ; words = (words + 63) / 64 {
		t.level = append(t.level, make([]uint64, words))
		if words == 1 {
			return t
		}
	}
}

func (t *topmost) step(ch, w int32) {
	was := t.n[ch] != 0
	t.n[ch] += w
	if is := t.n[ch] != 0; is != was {
		t.mark(int(ch), is)
	}
}

// mark sets or clears a run's bit, and those above it that change with it.
func (t *topmost) mark(i int, on bool) {
	for _, words := range t.level {
		w := &words[i>>6]
		before := *w
		if on {
			*w |= 1 << (i & 63)
		} else {
			*w &^= 1 << (i & 63)
		}
		if (before != 0) == (*w != 0) {
			return
		}
		i >>= 6
	}
}

func (t *topmost) inside() bool {
	i := 0
	for k := len(t.level) - 1; k >= 0; k-- {
		w := t.level[k][i]
		if w == 0 {
			return false // only at the top: no run covers the face
		}
		i = i*64 + bits.Len64(w) - 1
	}
	return t.dark[i]
}
