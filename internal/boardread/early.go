package boardread

import (
	"slices"
	"sync"

	"ohmward/geom"
	"ohmward/internal/board"
)

// early hands out what can be drawn of a board that is still read: its outline at
// first, then the copper of its outer layers as each is painted. Nil hands out nothing.
type early struct {
	tell func(*board.Board)
	mu   sync.Mutex
	b    board.Board
	top  bool // is painted
}

// newEarly hands out the outline; nil where nobody listens.
func newEarly(tell func(*board.Board), b *board.Board, layers []*source) *early {
	if tell == nil {
		return nil
	}
	e := &early{tell: tell, b: board.Board{Name: b.Name, Outline: b.Outline}}
	for i, s := range layers {
		e.b.Layers = append(e.b.Layers, board.Layer{Name: layerName(i), File: s.path})
	}
	e.hand()
	return e
}

// painted takes a layer's copper, before it is drilled. The top is waited for: it is
// what a person looks at.
func (e *early) painted(layer int, copper geom.Region) {
	if e == nil || layer > 0 && layer < len(e.b.Layers)-1 {
		return
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	e.b.Layers[layer].Copper = copper
	if e.top = e.top || layer == 0; e.top {
		e.hand()
	}
}

// hand hands out a board of its own, which nothing changes later.
func (e *early) hand() {
	b := e.b
	b.Layers = slices.Clone(b.Layers)
	e.tell(&b)
}

// outerFirst gives the numbers of n layers in the order of painting: what is drawn
// early comes first.
func outerFirst(n int) []int {
	out := make([]int, 0, n)
	for i := range n {
		if i == 0 || i == n-1 {
			out = append(out, i)
		}
	}
	for i := 1; i < n-1; i++ {
		out = append(out, i)
	}
	return out
}
