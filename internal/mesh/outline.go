package mesh

import (
	"math"
	"slices"

	"ohmward/geom"
)

// newOutline links the rings of a region, without repeated points.
func newOutline(region geom.Region) *outline {
	o := &outline{}
	add := func(r geom.Ring, whole float64) {
		ring, first := int32(len(o.base)), int32(len(o.at))
		o.base = append(o.base, first)
		for i, p := range r {
			if p == r[(i+1)%len(r)] && len(r) > 1 {
				continue
			}
			n := int32(len(o.at))
			o.at = append(o.at, p)
			o.ring = append(o.ring, ring)
			o.lo, o.hi, o.into = append(o.lo, n), append(o.hi, n), append(o.into, n)
			o.prev, o.next = append(o.prev, n-1), append(o.next, n+1)
		}
		if last := int32(len(o.at)) - 1; last >= first {
			o.prev[first], o.next[last] = last, first
		}
		o.left = append(o.left, int32(len(o.at))-first)
		o.owed = append(o.owed, 0)
		o.mayOwe = append(o.mayOwe, 2*areaKept*min(math.Abs(r.Area()), whole))
	}
	for _, poly := range region {
		area := poly.Area()
		add(poly.Outer, area)
		for _, h := range poly.Holes {
			add(h, area)
		}
	}
	o.base = append(o.base, int32(len(o.at)))
	o.original = append([]geom.Point(nil), o.at...)
	o.locked = make([]bool, len(o.at))
	return o
}

// lock keeps the points where parts of the outline touch and those where a
// curve begins, ends or leaves the outline.
func (o *outline) lock(curves [][]geom.Point) {
	node := o.nodes()
	for n, p := range o.at {
		if first := node[p]; first != int32(n) {
			o.locked[n], o.locked[first] = true, true
		}
	}
	for _, c := range curves {
		for i, p := range c {
			n, on := node[p]
			if !on {
				continue
			}
			before, after := i-1, i+1
			if len(c) > 1 && c[0] == c[len(c)-1] { // closed
				before, after = (i+len(c)-2)%(len(c)-1), after%(len(c)-1)
				if i == len(c)-1 {
					after = 1
				}
			}
			if before < 0 || after >= len(c) || !o.beside(n, c[before], c[after]) {
				o.locked[n] = true
			}
		}
	}
}

// beside tells whether p and q are the two neighbours of node n.
func (o *outline) beside(n int32, p, q geom.Point) bool {
	a, b := o.original[o.prev[n]], o.original[o.next[n]]
	return p == a && q == b || p == b && q == a
}

// nodes finds the first node at each original point.
func (o *outline) nodes() map[geom.Point]int32 {
	node := make(map[geom.Point]int32, len(o.original))
	for n, p := range o.original {
		if _, known := node[p]; !known {
			node[p] = int32(n)
		}
	}
	return node
}

// follow moves the points of curves along with the outline they run on.
func (o *outline) follow(curves [][]geom.Point) [][]geom.Point {
	if len(curves) == 0 {
		return nil
	}
	node := o.nodes()
	out := make([][]geom.Point, len(curves))
	for k, c := range curves {
		for _, p := range c {
			if n, on := node[p]; on {
				for o.into[n] != n {
					n = o.into[n]
				}
				p = o.at[n]
			}
			if m := len(out[k]); m == 0 || out[k][m-1] != p || len(c) == 1 {
				out[k] = append(out[k], p)
			}
		}
	}
	return out
}

// region writes the rings in the shape of the original.
func (o *outline) region(like geom.Region) geom.Region {
	ring := 0
	take := func() geom.Ring {
		var r geom.Ring
		for n := o.base[ring]; n < o.base[ring+1]; n++ {
			if o.next[n] != none {
				r = append(r, o.at[n])
			}
		}
		ring++
		return r
	}
	out := make(geom.Region, len(like))
	for i, poly := range like {
		out[i].Outer = take()
		for range poly.Holes {
			out[i].Holes = append(out[i].Holes, take())
		}
	}
	return out
}

// index enters all edges in the grid.
func (o *outline) index() {
	box := geom.EmptyBox()
	for _, p := range o.at {
		box = box.Extend(p)
	}
	if box.Empty() {
		return
	}
	o.edges.open(box, len(o.at))
	for n, p := range o.at {
		o.edges.add(int32(n), p, o.at[o.next[n]])
	}
}

// edgeGrid lists edges by the square cells they pass.
type edgeGrid struct {
	box    geom.Box
	cell   float64
	nx, ny int64
	head   []int32
	items  []gridItem
}

type gridItem struct{ n, next int32 }

func (g *edgeGrid) open(box geom.Box, count int) {
	w, h := float64(box.Max.X-box.Min.X)+1, float64(box.Max.Y-box.Min.Y)+1
	g.box = box
	g.cell = max(math.Sqrt(w*h/float64(2*count+16)), w/4000, h/4000, 1)
	g.nx, g.ny = int64(w/g.cell)+1, int64(h/g.cell)+1
	g.head = slices.Repeat([]int32{none}, int(g.nx*g.ny))
}

func (g *edgeGrid) column(x int64) int64 {
	return min(max(int64(float64(x-g.box.Min.X)/g.cell), 0), g.nx-1)
}

func (g *edgeGrid) row(y float64) int64 {
	return min(max(int64((y-float64(g.box.Min.Y))/g.cell), 0), g.ny-1)
}

// add enters the edge n from p to q, column by column.
func (g *edgeGrid) add(n int32, p, q geom.Point) {
	if p.X > q.X {
		p, q = q, p
	}
	lo, hi := g.column(p.X), g.column(q.X)
	slope := 0.0
	if q.X > p.X {
		slope = float64(q.Y-p.Y) / float64(q.X-p.X)
	}
	for c := lo; c <= hi; c++ {
		y0, y1 := float64(p.Y), float64(q.Y)
		if c > lo {
			y0 = float64(p.Y) + slope*(float64(g.box.Min.X-p.X)+float64(c)*g.cell)
		}
		if c < hi {
			y1 = float64(p.Y) + slope*(float64(g.box.Min.X-p.X)+float64(c+1)*g.cell)
		}
		// One nanometre of slack covers the rounding of y0 and y1.
		for r := g.row(min(y0, y1) - 1); r <= g.row(max(y0, y1)+1); r++ {
			k := c*g.ny + r
			g.items = append(g.items, gridItem{n, g.head[k]})
			g.head[k] = int32(len(g.items) - 1)
		}
	}
}

// each calls f for the edges entered in the cells of the box, some of them
// more than once, until f says no.
func (g *edgeGrid) each(b geom.Box, f func(n int32) bool) bool {
	for c := g.column(b.Min.X); c <= g.column(b.Max.X); c++ {
		for r := g.row(float64(b.Min.Y)); r <= g.row(float64(b.Max.Y)); r++ {
			for k := g.head[c*g.ny+r]; k != none; k = g.items[k].next {
				if !f(g.items[k].n) {
					return false
				}
			}
		}
	}
	return true
}
