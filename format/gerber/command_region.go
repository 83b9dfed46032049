package gerber

import (
	"slices"

	"ohmward/geom"
)

func (r *reader) beginRegion() {
	if r.inRegion {
		r.Warn("G36 inside a region ignored")
		return
	}
	r.inRegion, r.contour = true, nil
}

func (r *reader) endRegion() {
	if !r.inRegion {
		r.Warn("G37 without G36 ignored")
		return
	}
	r.endContour()
	r.inRegion = false
}

// side adds one straight or curved side to the contour under way.
func (r *reader) side(from, to geom.Point, a arc, curved bool) {
	if len(r.contour) == 0 {
		r.contour, r.started, r.begun = geom.Ring{from}, from, r.Line
	}
	if curved {
		r.contour = a.chords(r.contour, chord)
	} else {
		r.contour = append(r.contour, to)
	}
	if r.corners+len(r.contour) > r.limits.corners {
		panic(r.tooLarge())
	}
}

// endContour makes the contour under way an object. Each contour fills on its
// own, so its direction does not matter and is made counter-clockwise.
func (r *reader) endContour() {
	if len(r.contour) == 0 {
		return
	}
	if last := r.contour[len(r.contour)-1]; last != r.started {
		r.WarnOnce("contour not closed in the file; closed with a straight side, as are all like it")
	}
	ring := closeRing(slices.Clone(r.contour))
	r.contour = r.contour[:0]
	if ring == nil {
		return
	}
	o := Object{
		Kind: Fill, Dark: !r.light, Rings: []geom.Ring{ccw(ring)}, At: r.started, To: r.started,
		Line: r.begun, Function: r.apertureAttributes[".AperFunction"],
	}
	r.labels.set(&o)
	r.emit(o)
}
