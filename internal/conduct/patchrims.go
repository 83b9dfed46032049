package conduct

import (
	"cmp"
	"slices"

	"ohmward/internal/sparse"
)

// rimGreen is what a patch knows of a contact that is plain copper in it, its
// rim followed by the patch's mesh: the points of the rim, and the plated holes
// that the contact takes along. With the ports at zero, green is the potential
// at one for unit current into another, for one siemens per square; toward says
// by how much each port sets a point's potential.
type rimGreen struct {
	green  []float64 // point by point
	toward []float64 // point by port
	points int       // 0: the mesh has no rim of it, or it reaches the patch's end
	piece  []int     // of each point: which piece of the rim it is on, from 0 on
	pieces int
}

// newPlainPatch makes one patch for several contacts, of which only one is used
// at a time: all are plain copper in it, and the patch tells of each rim.
func (m *Model) newPlainPatch(sheet int, discs []Disc) *patch {
	p := &patch{sheet: sheet, discs: discs, taken: map[int]bool{}, plain: true}
	m.takeOutNear(sheet, p.taken, discs...)
	if p = m.build(p); p == nil {
		return nil
	}
	for _, d := range discs {
		p.rims = append(p.rims, p.rimOf(m, d))
	}
	p.fine = nil // by far the largest part
	return p
}

// rimOf works out what the patch knows of a contact.
func (p *patch) rimOf(m *Model, d Disc) rimGreen {
	f, n := p.fine, len(p.ports)
	var units []sparse.Vector
	var out rimGreen
	known := map[int]bool{}
	port := func(c int) {
		if !known[c] {
			known[c] = true
			row := make([]float64, n)
			row[c] = 1
			out.toward = append(out.toward, row...)
			out.points++
		}
	}
	nodes := f.rimNodes(d)
	slices.SortFunc(nodes, func(a, b int32) int { return cmp.Compare(d.angle(f.x[a], f.y[a]), d.angle(f.x[b], f.y[b])) })
	for _, v := range nodes {
		if i := f.number[v]; i >= 0 {
			units = append(units, sparse.Vector{Index: []int32{i}, Value: []float64{1}})
			for c := range n {
				out.toward = append(out.toward, f.toward[c][i])
			}
		}
	}
	free := len(units)
	for i := range free {
		scale(out.toward[i*n : (i+1)*n])
	}
	out.points = free
	for _, v := range nodes {
		switch tie := f.tie[v]; len(tie) {
		case 0:
		case 1:
			port(tie[0].column)
		default:
			return rimGreen{}
		}
	}
	for _, b := range m.rims.touched(d) {
		if c, ok := p.port(m.nodal.rim[b][d.Layer-m.Group.Barrels[b].From]); ok {
			port(c)
		}
	}
	out.cut(free)
	out.green = make([]float64, out.points*out.points)
	if free > 0 {
		paths := f.factor.ForwardMany(units)
		for i, v := range sparse.Gram(paths, paths) {
			out.green[i/free*out.points+i%free] = v
		}
	}
	return out
}

// sharpPieces is how many pieces the rim of a suspect's contact is cut into.
const sharpPieces = 12

// cut puts the first points, sorted by angle, into pieces, and every other one
// into a piece of its own.
func (r *rimGreen) cut(free int) {
	n := min(free, sharpPieces)
	for i := range r.points {
		if i < free {
			r.piece = append(r.piece, i*n/free)
		} else {
			r.piece = append(r.piece, n+i-free)
		}
	}
	r.pieces = n + r.points - free
}

// rimNodes lists the nodes that the copper under a contact shares with the
// copper around it; all under it where that is all there is.
func (f *finePatch) rimNodes(d Disc) []int32 {
	rim := d.rim()
	under, beside := map[int32]bool{}, map[int32]bool{}
	for _, tri := range f.mesh.Triangle {
		x := (f.x[tri[0]] + f.x[tri[1]] + f.x[tri[2]]) / 3
		y := (f.y[tri[0]] + f.y[tri[1]] + f.y[tri[2]]) / 3
		to := beside
		if within(rim, x*1e9, y*1e9) {
			to = under
		}
		for k := range 3 {
			to[tri[k]] = true
			to[f.between(tri[k], tri[(k+1)%3])] = true
		}
	}
	var shared, all []int32
	for v := range under {
		all = append(all, v)
		if beside[v] {
			shared = append(shared, v)
		}
	}
	if len(shared) == 0 {
		shared = all
	}
	slices.Sort(shared)
	return shared
}

// portView is the Green's function of a mended mesh at its ports: green = G - G W G,
// bent = W G.
type portView struct {
	ports       int
	green, bent []float64
}

func (md *mending) portView() portView {
	n := len(md.ports)
	v := portView{ports: n, bent: multiply(md.w, md.g, n, n, n)}
	v.green = multiply(md.g, v.bent, n, n, n)
	for i, g := range md.g {
		v.green[i] = g - v.green[i]
	}
	return v
}

// contact is a contact in a mended mesh, by pieces of its rim: the currents on
// the mesh as it is that do outside of the patch what unit current into each
// piece does (piece by port), the pieces' Green's function, and the contact's own
// potential for unit current.
//
// With T the ports' hold on the rim's points, F their green and G the mended
// Green's function of the ports, the points have F + T G T'; a piece is the mean
// of its points, and w over the points, seen from outside, is (1 - W G) T'w.
func (v portView) contact(r rimGreen, sigma float64) (loads, green []float64, self float64) {
	n, k := v.ports, r.points
	held := transposed(r.toward, k, n)
	points := multiply(multiply(r.toward, v.green, k, n, n), held, k, n, k)
	for i, f := range r.green {
		points[i] += f / sigma
	}
	size := make([]float64, r.pieces)
	for _, a := range r.piece {
		size[a]++
	}
	mean := make([]float64, r.pieces*k)
	for i, a := range r.piece {
		mean[a*k+i] = 1 / size[a]
	}
	across := transposed(mean, r.pieces, k)
	green = multiply(multiply(mean, points, r.pieces, k, k), across, r.pieces, k, r.pieces)
	symmetrise(points, k)
	symmetrise(green, r.pieces)
	w := equilibrium(points, k)
	for a := range k {
		for b := range k {
			self += w[a] * w[b] * points[a*k+b]
		}
	}
	t := multiply(held, across, n, k, r.pieces)
	bent := multiply(v.bent, t, n, n, r.pieces)
	for i, x := range bent {
		t[i] -= x
	}
	return transposed(t, n, r.pieces), green, self
}

func symmetrise(g []float64, n int) {
	for a := range n {
		for b := range a {
			mean := (g[a*n+b] + g[b*n+a]) / 2
			g[a*n+b], g[b*n+a] = mean, mean
		}
	}
}
