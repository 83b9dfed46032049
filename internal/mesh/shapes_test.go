package mesh

import (
	"math"

	"ohmward/geom"
)

// rect is a counter-clockwise rectangle.
func rect(x0, y0, x1, y1 int64) geom.Ring {
	return geom.Ring{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// reversed turns a ring round.
func reversed(r geom.Ring) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

// circle is a counter-clockwise n-gon.
func circle(x, y, r int64, n int) geom.Ring {
	out := make(geom.Ring, n)
	for i := range out {
		a := 2 * math.Pi * float64(i) / float64(n)
		out[i] = geom.Point{X: x + int64(math.Round(float64(r)*math.Cos(a))),
			Y: y + int64(math.Round(float64(r)*math.Sin(a)))}
	}
	return out
}

// closedChain repeats the first point of a ring at its end.
func closedChain(r geom.Ring) []geom.Point {
	return append(append([]geom.Point(nil), r...), r[0])
}

func one(outer geom.Ring, holes ...geom.Ring) geom.Region {
	return geom.Region{{Outer: outer, Holes: holes}}
}

const um, mm = int64(1000), int64(1000000)

// track is a stroke of width w from (x0,y0) to (x1,y1) with round ends.
func track(x0, y0, x1, y1, w float64) geom.Ring {
	a := math.Atan2(y1-y0, x1-x0)
	var out geom.Ring
	const n = 12
	for i := 0; i <= n; i++ {
		t := a - math.Pi/2 + math.Pi*float64(i)/n
		out = append(out, geom.Point{X: int64(math.Round(x1 + w/2*math.Cos(t))),
			Y: int64(math.Round(y1 + w/2*math.Sin(t)))})
	}
	for i := 0; i <= n; i++ {
		t := a + math.Pi/2 + math.Pi*float64(i)/n
		out = append(out, geom.Point{X: int64(math.Round(x0 + w/2*math.Cos(t))),
			Y: int64(math.Round(y0 + w/2*math.Sin(t)))})
	}
	return out
}

// comb has n teeth of width w and gap g.
func comb(n int, w, g, height int64) geom.Ring {
	r := geom.Ring{{X: 0, Y: 0}, {X: int64(n)*(w+g) - g, Y: 0}}
	for i := n - 1; i >= 0; i-- {
		x := int64(i) * (w + g)
		r = append(r, geom.Point{X: x + w, Y: height}, geom.Point{X: x, Y: height})
		if i > 0 {
			r = append(r, geom.Point{X: x, Y: w}, geom.Point{X: x - g, Y: w})
		}
	}
	return r
}

// antipads is a plane with n by n round holes.
func antipads(n int, sides int) geom.Region {
	pitch := mm
	p := geom.Polygon{Outer: rect(0, 0, int64(n)*pitch, int64(n)*pitch)}
	for i := range int64(n) {
		for j := range int64(n) {
			p.Holes = append(p.Holes, reversed(circle(i*pitch+pitch/2+(i*j)%7*um, j*pitch+pitch/2, 350*um, sides)))
		}
	}
	return geom.Region{p}
}

// shapes are the named regions of the tests. tame tells that no input angle
// is below 60 degrees and no width or edge below the least edge, so that the
// least angle must be reached everywhere.
var shapes = []struct {
	name   string
	region geom.Region
	tame   bool
}{
	{"square", one(rect(0, 0, mm, mm)), true},
	{"L", one(geom.Ring{{X: 0, Y: 0}, {X: 3 * mm, Y: 0}, {X: 3 * mm, Y: mm}, {X: mm, Y: mm},
		{X: mm, Y: 3 * mm}, {X: 0, Y: 3 * mm}}), true},
	{"annulus", one(circle(0, 0, 2*mm, 180), reversed(circle(0, 0, mm, 120))), true},
	{"comb", one(comb(20, 100*um, 50*um, 5*mm)), true},
	{"strip", one(rect(0, 0, 100*mm, 100*um)), true},
	{"slit", one(geom.Ring{{X: 0, Y: 0}, {X: 10 * mm, Y: 0}, {X: 10 * mm, Y: 5 * mm},
		{X: 5*mm + 1, Y: 5 * mm}, {X: 5*mm + 1, Y: mm}, {X: 5 * mm, Y: mm}, {X: 5 * mm, Y: 5 * mm},
		{X: 0, Y: 5 * mm}}), false},
	{"slant slit", one(geom.Ring{{X: 0, Y: 0}, {X: 10 * mm, Y: 0}, {X: 10 * mm, Y: 5 * mm},
		{X: 7*mm + 1, Y: 5 * mm}, {X: 4*mm + 1, Y: mm}, {X: 4 * mm, Y: mm}, {X: 7 * mm, Y: 5 * mm},
		{X: 0, Y: 5 * mm}}), false},
	{"hairline bridge", one(geom.Ring{{X: 0, Y: 0}, {X: mm, Y: 0}, {X: mm, Y: mm}, {X: 50 * mm, Y: mm},
		{X: 50 * mm, Y: 0}, {X: 51 * mm, Y: 0}, {X: 51 * mm, Y: 2 * mm}, {X: 50 * mm, Y: 2 * mm},
		{X: 50 * mm, Y: mm + 1}, {X: mm, Y: mm + 1}, {X: mm, Y: 2 * mm}, {X: 0, Y: 2 * mm}}), false},
	{"acute wedge", one(geom.Ring{{X: 0, Y: 0}, {X: 10 * mm, Y: 0}, {X: 10 * mm, Y: 300 * um}}), false},
	{"needle", one(geom.Ring{{X: 0, Y: 0}, {X: 100 * mm, Y: 1}, {X: 100 * mm, Y: 3}}), false},
	{"star", one(geom.Ring{{X: 0, Y: 10 * mm}, {X: -mm, Y: mm}, {X: -10 * mm, Y: 0}, {X: -mm, Y: -mm},
		{X: 0, Y: -10 * mm}, {X: mm, Y: -mm}, {X: 10 * mm, Y: 0}, {X: mm, Y: mm}}), false},
	{"touching polygons", geom.Region{{Outer: rect(0, 0, mm, mm)}, {Outer: rect(mm, mm, 2*mm, 2*mm)}}, true},
	{"touching holes", one(rect(0, 0, 4*mm, 4*mm), reversed(rect(mm, mm, 2*mm, 2*mm)),
		reversed(rect(2*mm, 2*mm, 3*mm, 3*mm))), true},
	{"island in a hole", geom.Region{{Outer: rect(0, 0, 4*mm, 4*mm),
		Holes: []geom.Ring{reversed(rect(mm, mm, 3*mm, 3*mm))}},
		{Outer: rect(mm+100*um, mm+100*um, 2*mm, 2*mm)}}, true},
	{"track at 0.3 rad", one(track(0, 0, 9.553e6, 2.955e6, 2e5)), true},
	{"track at 1.1 rad", one(track(0, 0, 4.536e6, 8.912e6, 2e5)), true},
	{"antipads", antipads(12, 54), true},
	{"smallest", one(geom.Ring{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 0, Y: 1}}), false},
	{"far away", one(geom.Ring{{X: geom.MaxCoord, Y: geom.MaxCoord},
		{X: -geom.MaxCoord, Y: geom.MaxCoord - 7}, {X: -geom.MaxCoord + 3, Y: -geom.MaxCoord}}), true},
}
