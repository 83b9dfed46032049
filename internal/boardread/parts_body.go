package boardread

import (
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// chipGrowth is how far a two-pin part's guessed body reaches beyond its
	// pads' hull, in nanometres.
	chipGrowth = 100_000
	// arrayGrowth is how far an array's body reaches at least beyond its
	// outer lands; else half a pitch.
	arrayGrowth = 350_000
	// fewestInArray is how many lands tell an array, and innerShare the part
	// of them that must lie within the outer ring: a square of leads with a
	// land for heat has one.
	fewestInArray = 9
	innerShare    = 0.1
	fewestInner   = 2
)

// guessBody guesses a part's body from its pads: of an array of lands (balls)
// a rectangle that covers them, of two pins a chip's, else the convex hull,
// from whose rim legs stick out.
func guessBody(pads []board.Pad, own []int) (body geom.Ring, array bool) {
	if body := arrayBody(pads, own); body != nil {
		return body, true
	}
	var pts []geom.Point
	pins := map[string]bool{}
	for _, i := range own {
		pins[pads[i].Terminal()] = true
		for _, poly := range pads[i].Shape {
			pts = append(pts, poly.Outer...)
		}
	}
	if len(pins) == 2 {
		for _, p := range pts[:len(pts):len(pts)] {
			pts = append(pts, geom.Rectangle(geom.Box{Min: p, Max: p}.Grow(chipGrowth))...)
		}
	}
	return geom.Hull(pts), false
}

// arrayBody is the body over an array of lands, nil where the pads are none:
// surface lands, each as wide as high and all alike but a few, in rows and
// columns, with several inside the outer ring.
func arrayBody(pads []board.Pad, own []int) geom.Ring {
	var sizes []int64
	all, centres := geom.EmptyBox(), geom.EmptyBox()
	for _, i := range own {
		b := pads[i].Shape.Bounds()
		w, h := width(b), height(b)
		if pads[i].Hole >= 0 || b.Empty() || 10*max(w, h) > 13*min(w, h) {
			continue
		}
		sizes = append(sizes, max(w, h))
		all, centres = all.Join(b), centres.Extend(pads[i].At)
	}
	if len(sizes) < fewestInArray || len(sizes) < len(own)*9/10 {
		return nil
	}
	slices.Sort(sizes)
	size := sizes[len(sizes)/2]
	if sizes[len(sizes)*9/10] > 2*size {
		return nil
	}
	inner := 0
	for _, i := range own {
		p := pads[i].At
		if min(p.X-centres.Min.X, centres.Max.X-p.X, p.Y-centres.Min.Y, centres.Max.Y-p.Y) > size/2 {
			inner++
		}
	}
	if inner < fewestInner || float64(inner) < innerShare*float64(len(own)) {
		return nil
	}
	grow := max(arrayGrowth, landPitch(pads, own)/2)
	return geom.Rectangle(all.Grow(grow))
}

// landPitch is the least step between the lands' columns, or rows.
func landPitch(pads []board.Pad, own []int) int64 {
	least := int64(2_000_000)
	for _, of := range []func(board.Pad) int64{
		func(p board.Pad) int64 { return p.At.X },
		func(p board.Pad) int64 { return p.At.Y },
	} {
		var at []int64
		for _, i := range own {
			at = append(at, of(pads[i]))
		}
		slices.Sort(at)
		for k := range at[1:] {
			if d := at[k+1] - at[k]; d > 100_000 {
				least = min(least, d)
			}
		}
	}
	return least
}
