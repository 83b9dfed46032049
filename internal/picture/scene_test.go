package picture

import (
	"fmt"
	"math"

	"ohmward/geom"
)

// mm is a nanometre point from millimetres.
func mm(x, y float64) geom.Point { return geom.FromMM(x, y) }

// block is a rectangle, counter-clockwise.
func block(x0, y0, x1, y1 float64) geom.Ring {
	return geom.Ring{mm(x0, y0), mm(x1, y0), mm(x1, y1), mm(x0, y1)}
}

// dot is a regular ring of 24 corners; clockwise when the radius is negative.
func dot(x, y, r float64) geom.Ring {
	ring := make(geom.Ring, 24)
	for i := range ring {
		a := 2 * math.Pi * float64(i) / 24
		if r < 0 {
			a = -a
		}
		ring[i] = mm(x+math.Abs(r)*math.Cos(a), y+math.Abs(r)*math.Sin(a))
	}
	return ring
}

// track is a bar of a width with square ends.
func track(x0, y0, x1, y1, w float64) geom.Polygon {
	l := math.Hypot(x1-x0, y1-y0)
	nx, ny := -(y1-y0)/l*w/2, (x1-x0)/l*w/2
	return geom.Polygon{Outer: geom.Ring{
		mm(x0-nx, y0-ny), mm(x1-nx, y1-ny), mm(x1+nx, y1+ny), mm(x0+nx, y0+ny),
	}}
}

// demoScene is an invented board of 60 by 45 mm with a supply track, a ground
// pour on both sides, a few parts and a short near one of them.
func demoScene() *Scene {
	s := &Scene{
		Title:   "river logger, unit 17",
		Caption: "The short is within 0.8 mm of L1@36.20,24.10, between C7.1 and C7.2.",
		Outline: geom.Region{{Outer: block(0, 0, 60, 45)}},
		Nets:    []Net{{Name: "+3V3"}, {Name: "GND"}},
	}
	supply := geom.Region{
		track(6, 8, 30, 8, 0.8), track(30, 8, 30, 24, 0.8), track(30, 24, 52, 24, 0.5),
		track(52, 24, 52, 38, 0.5), track(6, 8, 6, 30, 0.5),
	}
	pour := geom.Polygon{Outer: block(0.5, 0.5, 59.5, 44.5)}
	pour.Holes = append(pour.Holes, geom.Ring{
		mm(5.2, 30.6), mm(6.8, 30.6), mm(6.8, 9), mm(29, 9), mm(29, 25), mm(51.2, 25), mm(51.2, 38.6),
		mm(52.8, 38.6), mm(52.8, 23), mm(31, 23), mm(31, 7), mm(5.2, 7),
	})
	back := geom.Polygon{Outer: block(0.5, 0.5, 59.5, 44.5)}
	for i := range 9 {
		for j := range 6 {
			x, y := 9+5.5*float64(i), 13+5.2*float64(j)
			if math.Abs(y-24) < 2 || math.Abs(x-30) < 2 {
				continue
			}
			back.Holes = append(back.Holes, dot(x, y, -0.6))
			pour.Holes = append(pour.Holes, dot(x, y, -0.6))
			s.Holes = append(s.Holes, Hole{mm(x, y), 200_000})
		}
	}
	s.Nets[0].Face, s.Nets[1].Face = supply, geom.Region{pour}
	s.Nets[1].Behind = []geom.Region{{back}}
	for i := range 12 {
		x := 33 + 1.6*float64(i)
		s.Parts = append(s.Parts, Part{Name: fmt.Sprint("C", 4+i), Body: block(x-0.4, 25.2, x+0.4, 26.4)})
	}
	s.Parts = append(s.Parts, Part{Name: "U3", Body: block(34, 30, 44, 40)}, Part{Name: "J2", Body: block(10, 32, 24, 44)})
	for i := range 120 {
		x := 31 + 0.17*float64(i)
		d := x - 36.2
		s.Density = append(s.Density, Sample{mm(x, 23.4), math.Exp(-d * d / 2)}, Sample{mm(x, 24.7), 0.3 * math.Exp(-d*d/8)})
	}
	s.Best = &Best{mm(36.2, 24.1), 800_000, "92 %, 0.12 mm gap"}
	s.Next = []Mark{
		{mm(39.4, 24.2), Red, "R", "red: C9.1"},
		{mm(41, 26.8), Black, "B", "black: C10.2"},
	}
	s.Taken = []Mark{
		{mm(6, 30), Red, "1", ""}, {mm(14, 40), Black, "1", ""}, {mm(52, 38), Red, "2", ""},
		{mm(14, 40), Black, "2", ""}, {mm(33, 24), Red, "3", ""}, {mm(33, 27), Black, "3", ""},
	}
	return s
}
