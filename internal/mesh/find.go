package mesh

import (
	"iter"
	"math"
	"slices"
)

// FindTolerance is how far outside the mesh a point may lie to be snapped to the
// nearest triangle: 2 micrometres.
const FindTolerance = 2e-6

// finder lists the triangles by the square cells that their boxes touch.
type finder struct {
	x0, y0, cell float64
	nx, ny       int
	start        []int32 // first item of each cell, and one past the last
	item         []int32
}

// Find gives the triangle that holds the point (metres) and the point's
// barycentric coordinates in it. A point up to FindTolerance outside is moved to
// the nearest point of the mesh. The index is built at the first call; any
// number of goroutines may call Find at once.
func (m *Mesh) Find(x, y float64) (tri int, bary [3]float64, ok bool) {
	if len(m.Triangle) == 0 || math.IsNaN(x+y) || math.IsInf(x+y, 0) {
		return 0, bary, false
	}
	const slack = FindTolerance
	f := m.index()
	if x < f.x0-slack || y < f.y0-slack || x > f.x0+f.cell*float64(f.nx)+slack ||
		y > f.y0+f.cell*float64(f.ny)+slack {
		return 0, bary, false
	}
	k := f.column(x)*f.ny + f.row(y)
	for _, t := range f.item[f.start[k]:f.start[k+1]] {
		if b := m.barycentric(int(t), x, y); b[0] >= 0 && b[1] >= 0 && b[2] >= 0 {
			return int(t), b, true
		}
	}
	best := slack * slack
	for t := range f.around(x, y, slack) {
		d2, b := m.closest(int(t), x, y)
		if d2 < best || d2 == best && (!ok || int(t) < tri) {
			best, tri, bary, ok = d2, int(t), b, true
		}
	}
	return tri, bary, ok
}

// index builds the finder, once.
func (m *Mesh) index() *finder {
	m.indexed.Do(func() { m.finder = newFinder(m) })
	return m.finder
}

// around names, some of them more than once, the triangles that may reach into
// the square of half the side radius about a point.
func (f *finder) around(x, y, radius float64) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		for c := f.column(x - radius); c <= f.column(x+radius); c++ {
			lo, hi := c*f.ny+f.row(y-radius), c*f.ny+f.row(y+radius)
			for _, t := range f.item[f.start[lo]:f.start[hi+1]] {
				if !yield(t) {
					return
				}
			}
		}
	}
}

// barycentric gives the point's weights of the triangle's corners.
func (m *Mesh) barycentric(t int, x, y float64) (w [3]float64) {
	v := m.Triangle[t]
	ax, ay := m.X[v[0]]-x, m.Y[v[0]]-y
	bx, by := m.X[v[1]]-x, m.Y[v[1]]-y
	cx, cy := m.X[v[2]]-x, m.Y[v[2]]-y
	w = [3]float64{bx*cy - by*cx, cx*ay - cy*ax, ax*by - ay*bx}
	sum := w[0] + w[1] + w[2]
	for i := range w {
		w[i] /= sum
	}
	return w
}

// closest gives the squared distance from the point to the triangle and the
// weights of the nearest point in it.
func (m *Mesh) closest(t int, x, y float64) (d2 float64, w [3]float64) {
	w = m.barycentric(t, x, y)
	if w[0] >= 0 && w[1] >= 0 && w[2] >= 0 {
		return 0, w
	}
	v := m.Triangle[t]
	d2 = math.Inf(1)
	for i := range 3 {
		j := (i + 1) % 3
		ax, ay := m.X[v[i]], m.Y[v[i]]
		ex, ey := m.X[v[j]]-ax, m.Y[v[j]]-ay
		s := min(max(((x-ax)*ex+(y-ay)*ey)/(ex*ex+ey*ey), 0), 1)
		px, py := ax+s*ex-x, ay+s*ey-y
		if d := px*px + py*py; d < d2 {
			d2 = d
			w = [3]float64{}
			w[i], w[j] = 1-s, s
		}
	}
	return d2, w
}

func newFinder(m *Mesh) *finder {
	inf := math.Inf(1)
	x0, y0, x1, y1 := inf, inf, -inf, -inf
	for i, x := range m.X {
		x0, x1 = min(x0, x), max(x1, x)
		y0, y1 = min(y0, m.Y[i]), max(y1, m.Y[i])
	}
	w, h := x1-x0, y1-y0
	cell := max(math.Sqrt(w*h/float64(len(m.Triangle))), w/2000, h/2000, 1e-9)
	f := &finder{x0: x0, y0: y0, cell: cell, nx: int(w/cell) + 1, ny: int(h/cell) + 1}
	f.start = make([]int32, f.nx*f.ny+1)
	m.eachCell(f, func(t, k int) { f.start[k+1]++ })
	for k := range f.nx * f.ny {
		f.start[k+1] += f.start[k]
	}
	f.item = make([]int32, f.start[f.nx*f.ny])
	at := append([]int32(nil), f.start...)
	m.eachCell(f, func(t, k int) { f.item[at[k]] = int32(t); at[k]++ })
	return f
}

// eachCell names, column by column, the cells that each triangle may touch.
func (m *Mesh) eachCell(f *finder, visit func(t, k int)) {
	for t, v := range m.Triangle {
		x := [3]float64{m.X[v[0]], m.X[v[1]], m.X[v[2]]}
		y := [3]float64{m.Y[v[0]], m.Y[v[1]], m.Y[v[2]]}
		lo, hi := f.column(min(x[0], x[1], x[2])), f.column(max(x[0], x[1], x[2]))
		for c := lo; c <= hi; c++ {
			// The triangle's extent in y within the column, with some slack.
			left, right := f.x0+f.cell*(float64(c)-1e-3), f.x0+f.cell*(float64(c)+1+1e-3)
			y0, y1 := math.Inf(1), math.Inf(-1)
			for i := range 3 {
				j := (i + 1) % 3
				a, b := 0.0, 1.0
				if dx := x[j] - x[i]; dx != 0 {
					a, b = (left-x[i])/dx, (right-x[i])/dx
					a, b = max(min(a, b), 0), min(max(a, b), 1)
				} else if x[i] < left || x[i] > right {
					continue
				}
				if a > b {
					continue
				}
				p, q := y[i]+a*(y[j]-y[i]), y[i]+b*(y[j]-y[i])
				y0, y1 = min(y0, p, q), max(y1, p, q)
			}
			for r := f.row(y0 - 1e-3*f.cell); r <= f.row(y1+1e-3*f.cell) && y0 <= y1; r++ {
				visit(t, c*f.ny+r)
			}
		}
	}
}

func (f *finder) column(x float64) int { return clampCell((x-f.x0)/f.cell, f.nx) }
func (f *finder) row(y float64) int    { return clampCell((y-f.y0)/f.cell, f.ny) }

// clampCell rounds down to a cell number within 0..n-1.
func clampCell(v float64, n int) int {
	return int(min(max(v, 0), float64(n-1)))
}

// Near lists the triangles no further than radius (metres) from a point, in
// ascending order.
func (m *Mesh) Near(x, y, radius float64) []int {
	if len(m.Triangle) == 0 || math.IsNaN(x+y+radius) || math.IsInf(x+y+radius, 0) {
		return nil
	}
	var out []int
	for t := range m.index().around(x, y, radius) {
		if d2, _ := m.closest(int(t), x, y); d2 <= radius*radius {
			out = append(out, int(t))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
