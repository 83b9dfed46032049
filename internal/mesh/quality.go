package mesh

import "math"

// rules are the wishes of an Input in the inner units.
type rules struct {
	sin2      float64 // squared sine of the least angle
	lens      float64 // squared cosine of twice the least angle
	offset    float64 // distance of an off-centre from the edge it serves, in edge lengths
	minEdge2  float64 // squared ticks
	maxEdge2  float64 // squared ticks
	sizes     *sizeField
	maxVertex int
	snap      float64 // ticks; lines nearer than this are led together
	minEdge   float64
}

func dist2(a, b point) float64 {
	dx, dy := a.x-b.x, a.y-b.y
	return dx*dx + dy*dy
}

// badness tells whether face t needs splitting and how urgent it is: bucket 0
// is the most urgent. Corner is the one opposite the shortest edge.
//
// The angle test reads sin(a)^2 = l^2 cross^2 / (la lb lc)^2 with l the
// shortest edge, taken as at least minEdge: thin faces on hairline edges are
// refined only down to that size.
func (r *refiner) badness(t int32) (bucket int, bad bool) {
	f := &r.t[t]
	a, b, c := r.p[f.v[0]], r.p[f.v[1]], r.p[f.v[2]]
	l, i, long := r.edgesOf(f)
	if r.tooLong(a, b, c, l[long]) {
		return 0, true
	}
	cross := (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
	have := max(l[i], r.minEdge2) * cross * cross
	want := r.sin2 * l[0] * l[1] * l[2]
	if have >= want {
		return 0, false
	}
	if f.s[next3[i]] != 0 && f.s[prev3[i]] != 0 {
		return 0, false // the small angle is the input's own
	}
	if r.acrossCorner(f.v[next3[i]], f.v[prev3[i]], l[i]) {
		return 0, false
	}
	return 1 + int(have/want*(buckets-1)), true
}

// edgesOf gives the squared lengths of a face's edges, and which is the shortest
// and which the longest, the first of equal ones.
func (m *tin) edgesOf(f *triangle) (l [3]float64, short, long int32) {
	for i := range int32(3) {
		l[i] = dist2(m.p[f.v[next3[i]]], m.p[f.v[prev3[i]]])
		if l[i] < l[short] {
			short = i
		}
		if l[i] > l[long] {
			long = i
		}
	}
	return l, short, long
}

// tooLong tells whether a face with the squared longest edge is above the
// wished size.
func (r *refiner) tooLong(a, b, c point, long2 float64) bool {
	if long2 > r.maxEdge2 {
		return true
	}
	if long2 < 4*r.minEdge2 || len(r.sizes.nodes) == 0 {
		return false
	}
	// Faces come out between 0.5 and 1 of the longest edge allowed; 1.3
	// brings the mean edge near the wish.
	centre := point{(a.x + b.x + c.x) / 3, (a.y + b.y + c.y) / 3}
	return r.sizes.below(centre, math.Sqrt(long2)/1.3)
}

// acrossCorner tells whether vertices p and q were set at equal distance from
// a corner on two lines that meet there at less than 60 degrees. Splitting a
// face for the sake of such an edge would never end (Miller, Pav, Walkington,
// "When and why Delaunay refinement algorithms work", 2003).
func (r *refiner) acrossCorner(p, q int32, d2 float64) bool {
	if r.on[p] == 0 || r.on[q] == 0 || r.on[p] == r.on[q] {
		return false
	}
	s, u := &r.segs[r.on[p]-1], &r.segs[r.on[q]-1]
	var corner int32
	switch {
	case s.a == u.a || s.a == u.b:
		corner = s.a
	case s.b == u.a || s.b == u.b:
		corner = s.b
	default:
		return false
	}
	dp, dq := dist2(r.p[p], r.p[corner]), dist2(r.p[q], r.p[corner])
	return abs(dp-dq) < 0.002*dp && d2 < dp
}

// centre gives the point to be added for bad face t and the corner with the
// largest angle, from which it is in sight. It is the circumcentre, or for a
// thin face the nearer off-centre (Üngör, "Off-centers", 2004).
func (r *refiner) centre(t int32) (p point, corner int32) {
	f := &r.t[t]
	l, short, long := r.edgesOf(f)
	// Origin at the end b of the shortest edge b-c, a the third corner.
	a, b, c := r.p[f.v[short]], r.p[f.v[next3[short]]], r.p[f.v[prev3[short]]]
	cx, cy := c.x-b.x, c.y-b.y
	ax, ay := a.x-b.x, a.y-b.y
	lc, la := cx*cx+cy*cy, ax*ax+ay*ay
	d := 2 * (cx*ay - cy*ax)
	ux, uy := (ay*lc-cy*la)/d, (cx*la-ax*lc)/d
	edge := math.Sqrt(lc)
	mx, my := cx/2, cy/2
	reach := r.offset * max(edge, r.minEdge)
	if h := math.Hypot(ux-mx, uy-my); h > reach && r.thin(l, d/2) {
		ux, uy = mx+(ux-mx)*reach/h, my+(uy-my)*reach/h
	}
	return point{math.Round(b.x + ux), math.Round(b.y + uy)}, long
}

// thin tells whether the least angle of a face is too small.
func (r *refiner) thin(l [3]float64, cross float64) bool {
	return max(min(l[0], l[1], l[2]), r.minEdge2)*cross*cross < r.sin2*l[0]*l[1]*l[2]
}

// inLens tells whether a point at c looks at the edge a-b under an angle
// so wide that the edge must be split before c can stay.
func (r *refiner) inLens(a, b, c point) bool {
	ax, ay, bx, by := a.x-c.x, a.y-c.y, b.x-c.x, b.y-c.y
	d := ax*bx + ay*by
	return d < 0 && d*d >= r.lens*(ax*ax+ay*ay)*(bx*bx+by*by)
}
