package geom

import "fmt"

// PaintBounded is Paint for data from strangers: it gives up with an error
// where lines cross each other so often that painting would take minutes
// (thousands of long lines that all cross, or that run side by side within
// nanometres), and where a coordinate lies beyond MaxCoord, which Paint would
// clamp. The work allowed grows with the number of edges, less steeply for
// huge layers, since it is memory too: real layers of up to half a million
// edges need about 60 an edge. Giving up takes some ten seconds at most.
func PaintBounded(coats []Coat) (Region, error) {
	t := &tally{}
	for _, c := range coats {
		for _, r := range c.Rings {
			t.ring(r)
		}
	}
	return t.bounded(func(b *budget) Region { return paint(coats, b) })
}

// CutBounded gives the area of a clean region outside the non-zero filling of
// rings, bounded as PaintBounded is.
func CutBounded(from Region, rings []Ring) (Region, error) {
	t := &tally{}
	from.Rings(t.ring)
	for _, r := range rings {
		t.ring(r)
	}
	return t.bounded(func(b *budget) Region {
		cut := coatRings(rings, b)
		if b.over {
			return nil
		}
		in := intake{budget: b}
		in.region(from, 0)
		for _, r := range cut {
			in.ring(r, 1)
		}
		return in.solve(&twoWindings{keep: func(a, b bool) bool { return a && !b }})
	})
}

// tally looks over the rings that are to be worked on.
type tally struct {
	edges int
	far   *Point // a corner beyond MaxCoord
}

func (t *tally) ring(r Ring) {
	t.edges += len(r)
	for _, p := range r {
		if clampPoint(p) != p {
			at := p
			t.far = &at
		}
	}
}

// bounded does work on as many edges as were counted, within bounds.
func (t *tally) bounded(work func(*budget) Region) (Region, error) {
	if t.far != nil {
		x, y := t.far.MM()
		return nil, fmt.Errorf("a corner at (%.0f, %.0f) mm lies beyond a metre", x, y)
	}
	some := min(t.edges, manyEdges)
	b := &budget{left: baseWork + workPerEdge*int64(some) + workPerMore*int64(t.edges-some)}
	r := work(b)
	if b.over {
		x, y := b.at.MM()
		return nil, fmt.Errorf("near (%.3f, %.3f) mm: too many lines cross each other (%d edges in all)",
			x, y, t.edges)
	}
	return r, nil
}

// Work is counted in comparisons of an edge with an edge or a pixel, of a few
// nanoseconds each; noting a pixel on an edge's way counts as much as noteWork
// of them, which also bounds the memory for notes.
const (
	baseWork    = 100_000_000
	workPerEdge = 1_000
	manyEdges   = 500_000 // above them each allows less
	workPerMore = 150
	noteWork    = 32
)

// budget bounds the work of one painting; nil bounds nothing.
type budget struct {
	left int64
	over bool
	at   Point // where it ran out
}

// spend takes work done about a place off the budget and tells whether any is
// left.
func (b *budget) spend(work int64, at Point) bool {
	if b == nil {
		return true
	}
	if b.left -= work; b.left < 0 && !b.over {
		b.over, b.at = true, at
	}
	return !b.over
}

func (b *budget) spent() bool { return b != nil && b.over }
