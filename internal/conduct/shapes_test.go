package conduct

import (
	"context"
	"math"
	"testing"

	"ohmward/geom"
)

// strip describes a plan shape in millimetres with straight electrodes.
type strip struct {
	outline    [][2]float64
	electrodes [][4]float64 // ends of each electrode, on the outline
}

// electrodeWidth is the diameter (nanometres) of the slot that stands for a
// straight electrode; the copper begins at its wall.
const electrodeWidth = 2000

// model builds one sheet of one siemens per square whose electrodes are the
// rims of thin plated slots, so that contact i is electrode i. With scale the
// longest edge in millimetres.
func (s strip) model(t *testing.T, maxEdgeMM float64, both bool) *Contacts {
	t.Helper()
	g, discs := s.group(t.Name())
	m, err := Build(context.Background(), g, Options{MaxEdge: int64(maxEdgeMM * 1e6), Edge: both})
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Prepare(discs, 0)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func (s strip) group(name string) (Group, []Disc) {
	g := Group{Name: name, Sheets: []Sheet{{Conductance: 1}}}
	var ring geom.Ring
	for _, p := range s.outline {
		ring = append(ring, geom.FromMM(p[0], p[1]))
	}
	g.Sheets[0].Copper = geom.Fill([]geom.Ring{ring}, geom.NonZero)
	var discs []Disc
	for _, e := range s.electrodes {
		b := Barrel{Diameter: electrodeWidth}
		b.At, b.To = edgeSlot(e, s.outline)
		g.Barrels = append(g.Barrels, b)
		discs = append(discs, Disc{At: b.At})
	}
	return g, discs
}

// edgeSlot is the axis of the slot for an edge of an outline: outside of it by
// half the slot's width.
func edgeSlot(e [4]float64, outline [][2]float64) (from, to geom.Point) {
	cx, cy := centre(outline)
	nx, ny := e[3]-e[1], e[0]-e[2]
	l := math.Hypot(nx, ny)
	nx, ny = nx/l*electrodeWidth/2*1e-6, ny/l*electrodeWidth/2*1e-6
	if (e[0]-cx)*nx+(e[1]-cy)*ny < 0 {
		nx, ny = -nx, -ny
	}
	return geom.FromMM(e[0]+nx, e[1]+ny), geom.FromMM(e[2]+nx, e[3]+ny)
}

func centre(points [][2]float64) (x, y float64) {
	for _, p := range points {
		x += p[0] / float64(len(points))
		y += p[1] / float64(len(points))
	}
	return x, y
}

func rectangle(w, h float64) [][2]float64 { return [][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}} }
