package picture

import (
	"math"

	"ohmward/geom"
)

// view maps a box of the board onto a rectangle of the picture.
type view struct {
	frame  rect
	scale  float64 // pixels a nanometre
	mirror bool
	cx, cy float64 // of the box, nanometres
}

// newView fits the box into the frame, centred.
func newView(box geom.Box, frame rect, mirror bool) view {
	w := max(1, float64(box.Max.X-box.Min.X))
	h := max(1, float64(box.Max.Y-box.Min.Y))
	return view{frame, min(frame.w/w, frame.h/h), mirror, float64(box.Min.X) + w/2, float64(box.Min.Y) + h/2}
}

// at gives the pixel of a place.
func (v view) at(p geom.Point) pt {
	dx := (float64(p.X) - v.cx) * v.scale
	if v.mirror {
		dx = -dx
	}
	return pt{v.frame.x + v.frame.w/2 + dx, v.frame.y + v.frame.h/2 - (float64(p.Y)-v.cy)*v.scale}
}

// box maps a box of the board.
func (v view) box(b geom.Box) rect {
	p, q := v.at(b.Min), v.at(b.Max)
	return rect{min(p.x, q.x), min(p.y, q.y), math.Abs(p.x - q.x), math.Abs(p.y - q.y)}
}

// length gives pixels for nanometres.
func (v view) length(nm int64) float64 { return float64(nm) * v.scale }

// ring maps a ring, leaving out points that lie closer than a fraction of a
// pixel to the last one kept.
func (v view) ring(r geom.Ring) path {
	const close = 0.25
	out := make(path, 0, len(r))
	for i, p := range r {
		q := v.at(p)
		if i > 0 && i < len(r)-1 {
			last := out[len(out)-1]
			if math.Abs(q.x-last.x)+math.Abs(q.y-last.y) < close {
				continue
			}
		}
		out = append(out, q)
	}
	return out
}

// region maps the rings that could show.
func (v view) region(r geom.Region) []path {
	var out []path
	for _, p := range r {
		if v.shows(p.Outer) {
			out = append(append(out, v.ring(p.Outer)), v.rings(p.Holes)...)
		}
	}
	return out
}

// rings maps those rings that could show.
func (v view) rings(rings []geom.Ring) (out []path) {
	for _, r := range rings {
		if v.shows(r) {
			out = append(out, v.ring(r))
		}
	}
	return out
}

// shows tells whether the ring's box meets the frame and is not lost within
// a fraction of a pixel.
func (v view) shows(r geom.Ring) bool {
	const speck = 0.2
	box := r.Bounds()
	if box.Empty() || v.length(box.Max.X-box.Min.X)+v.length(box.Max.Y-box.Min.Y) < speck {
		return false
	}
	a, b := v.at(box.Min), v.at(box.Max)
	lo, hi := pt{min(a.x, b.x), min(a.y, b.y)}, pt{max(a.x, b.x), max(a.y, b.y)}
	f := v.frame
	return hi.x >= f.x && lo.x <= f.x+f.w && hi.y >= f.y && lo.y <= f.y+f.h
}

// holds tells whether a pixel lies in the frame.
func (v view) holds(q pt) bool {
	f := v.frame
	return q.x >= f.x && q.x <= f.x+f.w && q.y >= f.y && q.y <= f.y+f.h
}
