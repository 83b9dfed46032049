package ipc2581

import (
	"math"
	"slices"

	"ohmward/geom"
)

// stroke gives what a pen of a width covers along the path, for non-zero
// filling: every ring runs counter-clockwise, so none opens what another
// covers. Joints are round; ends are "ROUND", "SQUARE" or "NONE".
func (p *path) stroke(width int64, ends string) []geom.Ring {
	if width <= 0 || len(p.steps) == 0 {
		return nil
	}
	var out []geom.Ring
	closed := p.end() == p.start && len(p.steps) > 1
	blunt := ends != "ROUND" && !closed
	at := p.start
	for i, s := range p.steps {
		first, last := i == 0, i == len(p.steps)-1
		switch {
		case s.curve:
			out = append(out, arcStroke(at, s, width)...)
		case blunt && (first || last) && at != s.to:
			out = append(out, bluntLine(at, s.to, width, ends, first, last)...)
		default:
			out = append(out, geom.Stroke(at, s.to, width, chord))
		}
		at = s.to
	}
	return out
}

// bluntLine is a line whose ends at the path's own ends are cut straight, or
// half a width further on where square ends are wanted; other ends are round.
func bluntLine(a, b geom.Point, width int64, ends string, first, last bool) []geom.Ring {
	l := geom.Distance(a, b)
	h := float64(width) / 2
	ux, uy := float64(b.X-a.X)/l, float64(b.Y-a.Y)/l
	p, q := a.Vec(), b.Vec()
	if ends == "SQUARE" && first {
		p.X, p.Y = p.X-ux*h, p.Y-uy*h
	}
	if ends == "SQUARE" && last {
		q.X, q.Y = q.X+ux*h, q.Y+uy*h
	}
	nx, ny := -uy*h, ux*h
	out := []geom.Ring{{
		geom.Vec{X: p.X - nx, Y: p.Y - ny}.Round(), geom.Vec{X: q.X - nx, Y: q.Y - ny}.Round(),
		geom.Vec{X: q.X + nx, Y: q.Y + ny}.Round(), geom.Vec{X: p.X + nx, Y: p.Y + ny}.Round(),
	}}
	if !first {
		out = append(out, geom.Circle(a, width/2, chord))
	}
	if !last {
		out = append(out, geom.Circle(b, width/2, chord))
	}
	return out
}

// arcStroke is what a round pen covers along one arc.
func arcStroke(from geom.Point, s step, width int64) []geom.Ring {
	h := float64(width) / 2
	r0, r1 := geom.Distance(from, s.centre), geom.Distance(s.to, s.centre)
	if math.Min(r0, r1) <= h+chord {
		return beads(from, s, width)
	}
	if from == s.to {
		outer := int64(math.Round(r0 + h))
		return []geom.Ring{
			geom.Circle(geom.Point{}, outer, chord).Move(s.centre),
			geom.Circle(geom.Point{}, int64(math.Round(r0-h)), chord).Move(s.centre).Reverse(),
		}
	}
	to := s.to
	if !s.ccw {
		from, to, r0, r1 = to, from, r1, r0
	}
	reach := func(p geom.Point, r, d float64) geom.Point {
		k := (r + d) / r
		return geom.Vec{
			X: float64(s.centre.X) + k*float64(p.X-s.centre.X),
			Y: float64(s.centre.Y) + k*float64(p.Y-s.centre.Y),
		}.Round()
	}
	a0, a1 := reach(from, r0, h), reach(from, r0, -h)
	b0, b1 := reach(to, r1, h), reach(to, r1, -h)
	ring := slices.Concat(
		geom.ArcPoints(a0, b0, s.centre, true, chord), geom.ArcPoints(b0, b1, to, true, chord),
		geom.ArcPoints(b1, a1, s.centre, false, chord), geom.ArcPoints(a1, a0, from, true, chord))
	return []geom.Ring{geom.Ring(ring).Tidy()}
}

// beads strokes an arc tighter than the pen, or a whole circle, as a chain of
// lines; the centre line and the pen take half the tolerance each.
func beads(from geom.Point, s step, width int64) []geom.Ring {
	var out []geom.Ring
	at := from
	for _, p := range geom.ArcPoints(from, s.to, s.centre, s.ccw, chord/2) {
		if p != at {
			out = append(out, geom.Stroke(at, p, width, chord/2))
		}
		at = p
	}
	if out == nil {
		out = append(out, geom.Circle(from, width/2, chord))
	}
	return out
}

// cost bounds the number of corners that stroke makes.
func (p *path) cost(width int64) int {
	pen := 16 + int(math.Pi*math.Sqrt(float64(max(width, 0))/chord))
	n := 0
	at := p.start
	for _, s := range p.steps {
		if s.curve {
			n += 2 * turns(at, s) * pen
		} else {
			n += 2 * pen
		}
		at = s.to
	}
	return n
}
