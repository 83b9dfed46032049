package suspect

import (
	"context"
	"fmt"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/copper"
)

// mm makes a point from millimetres.
func mm(x, y float64) geom.Point { return geom.FromMM(x, y) }

// rect is a rectangle from corner to corner, in millimetres.
func rect(x, y, x2, y2 float64) geom.Region {
	return geom.Region{{Outer: geom.Rectangle(geom.Box{Min: mm(x, y), Max: mm(x2, y2)})}}
}

// maker builds a small board.
type maker struct{ *board.Board }

// blank is a board of some empty layers without mask data.
func blank(layers int) maker {
	b := &board.Board{Name: "made"}
	for i := range layers {
		b.Layers = append(b.Layers, board.Layer{Name: fmt.Sprintf("L%d", i+1)})
	}
	return maker{b}
}

// draw adds copper of a net and labels it.
func (m maker) draw(layer int, net string, r geom.Region) maker {
	l := &m.Layers[layer]
	l.Copper = append(l.Copper, r...)
	m.Labels = append(m.Labels, board.Label{Layer: layer, At: r[0].Outer[0], Net: net, File: l.Name, Line: len(m.Labels) + 1})
	return m
}

// land adds a pad of a pin and its copper, a rectangle; hole is -1 for none.
func (m maker) land(layer int, net, ref, pin string, hole int, x, y, x2, y2 float64) maker {
	m.draw(layer, net, rect(x, y, x2, y2))
	m.Pads = append(m.Pads, board.Pad{
		Layer: layer, At: mm((x+x2)/2, (y+y2)/2), Shape: rect(x, y, x2, y2), Ref: ref, Pin: pin, Hole: hole, Net: net,
	})
	for i := range m.Parts {
		if m.Parts[i].Ref == ref {
			m.Parts[i].Pads = append(m.Parts[i].Pads, len(m.Pads)-1)
			return m
		}
	}
	side := board.Top
	if layer > 0 {
		side = board.Bottom
	}
	m.Parts = append(m.Parts, board.Part{Ref: ref, Side: side, Pads: []int{len(m.Pads) - 1}})
	return m
}

// body gives a part a body.
func (m maker) body(ref string, x, y, x2, y2 float64) maker {
	for i := range m.Parts {
		if m.Parts[i].Ref == ref {
			m.Parts[i].Body = rect(x, y, x2, y2)[0].Outer
			return m
		}
	}
	panic("no part " + ref)
}

// bore adds a plated hole through all layers.
func (m maker) bore(x, y, x2, y2, d float64) maker {
	m.Holes = append(m.Holes, board.Hole{At: mm(x, y), To: mm(x2, y2), Diameter: int64(d * 1e6), Plated: true, Last: len(m.Layers) - 1})
	return m
}

// ask sorts the board into nets and asks for two of them.
func (m maker) ask(t testing.TB, a, b string) Question {
	t.Helper()
	return between(t, extract(t, m, ""), a, b)
}

// extract sorts the board into nets, all copper of a layer united, less the
// labelled copper whose net begins with a letter.
func extract(t testing.TB, m maker, without string) *copper.Nets {
	t.Helper()
	for i := range m.Layers {
		var kept geom.Region
		for _, poly := range geom.Union(m.Layers[i].Copper) {
			if without == "" || !m.labelled(i, poly, without[0]) {
				kept = append(kept, poly)
			}
		}
		m.Layers[i].Copper = kept
	}
	n, err := copper.Extract(context.Background(), m.Board, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func (m maker) labelled(layer int, poly geom.Polygon, first byte) bool {
	for _, l := range m.Labels {
		if l.Layer == layer && l.Net[0] == first && poly.Contains(l.At) {
			return true
		}
	}
	return false
}

// of keeps the sites of one kind.
func of(kind Kind, sites []Site) []Site {
	var out []Site
	for _, s := range sites {
		if s.Kind == kind {
			out = append(out, s)
		}
	}
	return out
}

// within sums the priors of sites whose midpoints lie between two x, in
// millimetres.
func within(sites []Site, x, x2 float64) float64 {
	var sum float64
	for _, s := range sites {
		if mx, _ := s.Mid(); mx >= x && mx < x2 {
			sum += s.Prior
		}
	}
	return sum
}

// millimetresOf sums the lengths of sites.
func millimetresOf(sites []Site) float64 {
	var sum float64
	for _, s := range sites {
		sum += s.Length * 1e3
	}
	return sum
}
