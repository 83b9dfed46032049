package mesh

import (
	"fmt"
	"math"
)

const buckets = 48

// faceRef names a face as it was when it was queued.
type faceRef struct {
	t int32
	v [3]int32
}

// edgeRef names a constrained half-edge as it was when it was queued.
type edgeRef struct{ h, a, b int32 }

// refiner improves a carved triangulation by adding vertices (Ruppert,
// "A Delaunay refinement algorithm", 1995; Chew 1993; with the lens test of
// Shewchuk, "Delaunay refinement algorithms", 2002).
type refiner struct {
	*tin
	rules
	acute  []bool // input corners with less than 60 degrees of copper between two lines
	edges  []edgeRef
	faces  [buckets + 1][]faceRef
	lowest int
	walls  []edgeRef // scratch of upset
}

func (r *refiner) run() error {
	r.findAcute()
	for t := range r.t {
		r.queue(int32(t))
	}
	for {
		if len(r.p) > r.maxVertex {
			return fmt.Errorf("more than %d vertices needed; ask for coarser sizes or a larger least edge",
				r.maxVertex)
		}
		if n := len(r.edges); n > 0 {
			e := r.edges[n-1]
			r.edges = r.edges[:n-1]
			if r.stands(e) {
				r.split(e.h)
			}
			continue
		}
		f, ok := r.pop()
		if !ok {
			return nil
		}
		if r.t[f.t].v == f.v {
			r.improve(f.t)
		}
	}
}

// stands tells whether the queued edge still is one.
func (r *refiner) stands(e edgeRef) bool {
	f := &r.t[e.h>>2]
	i := e.h & 3
	return f.s[i] != 0 && f.v[next3[i]] == e.a && f.v[prev3[i]] == e.b
}

// queue queues face t and its edges where they need it.
func (r *refiner) queue(t int32) {
	r.review(t)
	for i := range int32(3) {
		r.watch(t, i)
	}
}

// review queues face t if it is bad.
func (r *refiner) review(t int32) {
	if k, bad := r.badness(t); bad {
		r.faces[k] = append(r.faces[k], faceRef{t, r.t[t].v})
		r.lowest = min(r.lowest, k)
	}
}

func (r *refiner) pop() (faceRef, bool) {
	for ; r.lowest <= buckets; r.lowest++ {
		if q := r.faces[r.lowest]; len(q) > 0 {
			f := q[len(q)-1]
			r.faces[r.lowest] = q[:len(q)-1]
			return f, true
		}
	}
	return faceRef{}, false
}

// watch queues edge i of face t if it is constrained and its own corner
// stands in its lens.
func (r *refiner) watch(t, i int32) {
	f := &r.t[t]
	if f.s[i] == 0 {
		return
	}
	a, b := f.v[next3[i]], f.v[prev3[i]]
	if r.inLens(r.p[a], r.p[b], r.p[f.v[i]]) && r.splittable(4*t+i) {
		r.edges = append(r.edges, edgeRef{4*t + i, a, b})
	}
}

// splittable tells whether a constrained half-edge is long enough to be split
// and not one side of a hairline: a neck narrower than minEdge is left alone,
// but not a nick at the end of a long edge.
func (r *refiner) splittable(h int32) bool {
	f := &r.t[h>>2]
	i := h & 3
	a, b := r.p[f.v[next3[i]]], r.p[f.v[prev3[i]]]
	l2 := dist2(a, b)
	if l2 < 4*r.minEdge2 {
		return false
	}
	if l2 > r.maxEdge2 {
		return true
	}
	c := r.p[f.v[i]]
	cross := (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
	if cross*cross >= r.minEdge2*l2 {
		return true
	}
	end2 := min(dist2(c, a), dist2(c, b))
	return end2 >= r.minEdge2 && nickShare*nickShare*end2 < l2
}

// nickShare is how many times longer an edge is than the nick at its end.
const nickShare = 16

// split divides a constrained edge and queues what that upsets.
func (r *refiner) split(h int32) bool {
	f := &r.t[h>>2]
	i := h & 3
	a, b := f.v[next3[i]], f.v[prev3[i]]
	if _, ok := r.splitEdge(h, r.splitPoint(a, b)); !ok {
		return false
	}
	for _, t := range r.fresh {
		r.queue(t)
	}
	return true
}

// splitPoint gives the middle, or near an acute corner a distance from it
// that is a power of two, so that the lines of the corner are cut alike.
func (r *refiner) splitPoint(a, b int32) point {
	pa, pb := r.p[a], r.p[b]
	at := 0.5
	nearA, nearB := int(a) < len(r.acute) && r.acute[a], int(b) < len(r.acute) && r.acute[b]
	if nearA || nearB {
		length := math.Sqrt(dist2(pa, pb))
		shell := math.Exp2(math.Floor(math.Log2(length / 1.5)))
		if at = shell / length; !nearA {
			at = 1 - at
		}
	}
	return point{math.Round(pa.x + at*(pb.x-pa.x)), math.Round(pa.y + at*(pb.y-pa.y))}
}

// improve adds a vertex for bad face t, or splits the constrained edges that
// are in its way.
func (r *refiner) improve(t int32) {
	p, corner := r.centre(t)
	where, wall := r.aim(t, corner, p)
	switch {
	case wall >= 0:
		r.clear(t, r.splittable(wall) && r.split(wall))
	case where >= 0:
		ok := r.digFace(p, where)
		did, walls := false, r.upset(p)
		for _, e := range walls {
			did = r.stands(e) && r.splittable(e.h) && r.split(e.h) || did
		}
		if len(walls) > 0 {
			r.clear(t, did)
		} else if ok {
			r.put(p)
		}
	}
}

// clear goes on with bad face t after what is in the way of a better point was
// split, or could not be.
func (r *refiner) clear(t int32, split bool) {
	if split {
		r.review(t)
	} else {
		r.bisect(t)
	}
}

// put joins a vertex at p to the cavity prepared for it.
func (r *refiner) put(p point) {
	v := r.addVertex(p)
	r.fill(v, true)
	for _, f := range r.fresh {
		r.review(f)
		r.watch(f, 0)
	}
}

// bisect halves the longest edge of a bad face beside a hairline: the edges in
// the way of a better point are not to be split, yet the face is no hairline
// itself, and a long thin one would stay however short edges are wished for.
func (r *refiner) bisect(t int32) {
	f := &r.t[t]
	l, _, long := r.edgesOf(f)
	a, b, c := r.p[f.v[next3[long]]], r.p[f.v[prev3[long]]], r.p[f.v[long]]
	if f.s[long] != 0 || l[long] < 16*r.minEdge2 || r.beside(a, b, c) {
		return
	}
	p := point{math.Round((a.x + b.x) / 2), math.Round((a.y + b.y) / 2)}
	if !r.digFace(p, t) {
		return
	}
	for _, e := range r.rim {
		a, b := r.p[e.a], r.p[e.b]
		if dist2(p, a) < r.minEdge2 || e.s != 0 && r.beside(a, b, p) {
			return
		}
	}
	r.put(p)
}

// beside tells whether p stands nearer to the line a-b than the least edge.
func (r *refiner) beside(a, b, p point) bool {
	cross := (b.x-a.x)*(p.y-a.y) - (b.y-a.y)*(p.x-a.x)
	return cross*cross < r.minEdge2*dist2(a, b)
}

// upset lists the constrained edges round the cavity of p that p would stand
// too close to, each as the half-edge inside the cavity.
func (r *refiner) upset(p point) []edgeRef {
	r.walls = r.walls[:0]
	for _, e := range r.rim {
		if e.s != 0 && r.inLens(r.p[e.a], r.p[e.b], p) {
			r.walls = append(r.walls, edgeRef{r.inCavity(e), e.a, e.b})
		}
	}
	return r.walls
}

// inCavity finds the half-edge of a constrained rim edge among the faces of the
// cavity.
func (r *refiner) inCavity(e rimEdge) (h int32) {
	for _, t := range r.cavity {
		f := &r.t[t]
		for i := range int32(3) {
			if f.s[i] != 0 && f.v[next3[i]] == e.a && f.v[prev3[i]] == e.b {
				h = 4*t + i
			}
		}
	}
	return h
}

// aim walks in a straight line from a corner of face t to p and gives the
// face that holds p, or the constrained half-edge that stands in the way.
func (r *refiner) aim(t, corner int32, p point) (where, wall int32) {
	from := r.p[r.t[t].v[corner]]
	k := corner
	for {
		f := &r.t[t]
		a, b := f.v[next3[k]], f.v[prev3[k]]
		if orient(r.p[a], r.p[b], p) >= 0 {
			break
		}
		if f.s[k] != 0 {
			return none, 4*t + k
		}
		g := f.n[k]
		t = g >> 2
		j := g & 3
		if orient(from, p, r.p[r.t[t].v[j]]) > 0 {
			k = next3[j]
		} else {
			k = prev3[j]
		}
	}
	f := &r.t[t]
	for i := range 3 {
		if orient(r.p[f.v[next3[i]]], r.p[f.v[prev3[i]]], p) < 0 {
			return none, none
		}
	}
	return t, none
}

// findAcute marks the corners where two lines enclose less than 60 degrees of
// copper.
func (r *refiner) findAcute() {
	r.acute = make([]bool, len(r.p))
	for t := range r.t {
		for i := range int32(3) {
			if r.t[t].s[prev3[i]] == 0 {
				continue
			}
			// Edge prev3[i] runs out of corner i; turn to the next such edge.
			v, first := r.t[t].v[i], r.p[r.t[t].v[next3[i]]]
			ft, fi := int32(t), i
			for r.t[ft].s[next3[fi]] == 0 {
				g := r.t[ft].n[next3[fi]]
				ft, fi = g>>2, next3[g&3]
				if ft == int32(t) {
					break
				}
			}
			last := r.p[r.t[ft].v[prev3[fi]]]
			if last == first && ft == int32(t) {
				continue
			}
			p := r.p[v]
			d := dot(p, first, last)
			if d > 0 && 4*d*d > dist2(p, first)*dist2(p, last) && orient(p, first, last) > 0 {
				r.acute[v] = true
			}
		}
	}
}
