package ipc2581

import (
	"math"

	"ohmward/geom"
)

// chord is the largest distance between an arc and its chords, nanometres.
const chord = 250

// step is one piece of a path: a line, or an arc about a centre.
type step struct {
	to     geom.Point
	curve  bool
	centre geom.Point
	ccw    bool
}

// path is a chain of lines and arcs.
type path struct {
	start geom.Point
	steps []step
}

func (p *path) end() geom.Point {
	if len(p.steps) == 0 {
		return p.start
	}
	return p.steps[len(p.steps)-1].to
}

// ring gives the closed path as a counter-clockwise ring, arcs as chords; nil if
// it encloses nothing.
func (p *path) ring() geom.Ring {
	out, at := geom.Ring{p.start}, p.start
	for _, s := range p.steps {
		if s.curve {
			out = append(out, geom.ArcPoints(at, s.to, s.centre, s.ccw, chord)...)
		} else {
			out = append(out, s.to)
		}
		at = s.to
	}
	if out = out.Tidy(); len(out) < 3 {
		return nil
	}
	if out.Area() < 0 {
		return out.Reverse()
	}
	return out
}

// closed gives the path with its end joined to its start.
func (p *path) closed() *path {
	if p.end() == p.start {
		return p
	}
	return &path{p.start, append(p.steps[:len(p.steps):len(p.steps)], step{to: p.start})}
}

// ringPath is a ring as a closed path of lines.
func ringPath(ring geom.Ring) *path {
	p := &path{start: ring[0]}
	for _, q := range ring[1:] {
		p.steps = append(p.steps, step{to: q})
	}
	return p.closed()
}

// readPath reads the PolyBegin and PolyStep elements inside the open element;
// others go to the visitor.
func (r *reader) readPath(other func(e *element)) *path {
	var p *path
	corners := 0
	r.each(func(e *element) {
		switch e.name {
		case "PolyBegin":
			if p != nil {
				panic(r.Malformed("a second PolyBegin"))
			}
			p = &path{start: r.point(e, "x", "y")}
		case "PolyStepSegment", "PolyStepCurve":
			if p == nil {
				panic(r.Malformed("<%s> before PolyBegin", e.name))
			}
			s := r.pathStep(e)
			n := 1
			if s.curve {
				n = turns(p.end(), s)
			}
			if corners += n; corners > maxSides {
				panic(r.Unsupported("too large: a path of more than %d corners", maxSides))
			}
			if r.stored += n; r.stored > r.limits.corners {
				panic(r.Unsupported("too large: more than %d corners", r.limits.corners))
			}
			p.steps = append(p.steps, s)
		default:
			other(e)
		}
	})
	if p == nil {
		r.LoseOnce("a polygon or polyline without PolyBegin is ignored")
		p = &path{}
	}
	return p
}

func (r *reader) pathStep(e *element) step {
	s := step{to: r.point(e, "x", "y")}
	if e.name == "PolyStepCurve" {
		s.curve, s.ccw = true, !yes(e.attr("clockwise"), false)
		s.centre = r.point(e, "centerX", "centerY")
	}
	return s
}

// turns bounds the number of chords of an arc.
func turns(from geom.Point, s step) int {
	radius := math.Max(geom.Distance(from, s.centre), geom.Distance(s.to, s.centre))
	return 8 + int(math.Pi*math.Sqrt(radius/(2*chord))*1.5)
}
