package copper

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
)

// mm makes a point from millimetres.
func mm(x, y float64) geom.Point { return geom.FromMM(x, y) }

// rect is a rectangle from corner to corner, in millimetres.
func rect(x, y, x2, y2 float64) geom.Region {
	return geom.Region{{Outer: geom.Rectangle(geom.Box{Min: mm(x, y), Max: mm(x2, y2)})}}
}

// layersOf makes a board of painted layers.
func layersOf(copper ...geom.Region) *board.Board {
	b := &board.Board{Name: "made"}
	for i, c := range copper {
		b.Layers = append(b.Layers, board.Layer{Name: layerName(i), Copper: c})
	}
	return b
}

// bore adds a hole through layers from..til (0-based).
func bore(b *board.Board, x, y, d float64, plated bool, from, til int) {
	b.Holes = append(b.Holes, board.Hole{At: mm(x, y), To: mm(x, y), Diameter: int64(d * 1e6), Plated: plated, First: from, Last: til})
}

func label(b *board.Board, layer int, x, y float64, net string) {
	b.Labels = append(b.Labels, board.Label{Layer: layer, At: mm(x, y), Net: net, File: layerName(layer) + ".gbr", Line: len(b.Labels) + 1})
}

func addPad(b *board.Board, layer int, x, y, w float64, ref, pin string, hole int) {
	b.Pads = append(b.Pads, board.Pad{Layer: layer, At: mm(x, y), Shape: rect(x-w/2, y-w/2, x+w/2, y+w/2), Ref: ref, Pin: pin, Hole: hole})
	for i := range b.Parts {
		if b.Parts[i].Ref == ref {
			b.Parts[i].Pads = append(b.Parts[i].Pads, len(b.Pads)-1)
			return
		}
	}
	b.Parts = append(b.Parts, board.Part{Ref: ref, Pads: []int{len(b.Pads) - 1}})
}

func extract(t *testing.T, b *board.Board, opt Options) *Nets {
	t.Helper()
	n, err := Extract(context.Background(), b, opt)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// at names the net at a place, "" on bare laminate.
func (n *Nets) at(layer int, x, y float64) string {
	if id, ok := n.NetAt(layer, mm(x, y)); ok {
		return n.Nets[id].Name
	}
	return ""
}

func TestJoining(t *testing.T) {
	// Two layers; A joins through a plated hole, B has an unplated hole, C a
	// blind hole that does not reach it.
	land := append(rect(0, 0, 2, 2), append(rect(5, 0, 7, 2), rect(10, 0, 12, 2)...)...)
	b := layersOf(land, land, land)
	bore(b, 1, 1, 0.5, true, 0, 2)
	bore(b, 6, 1, 0.5, false, 0, 2)
	bore(b, 11, 1, 0.5, true, 0, 1)
	label(b, 0, 0.2, 0.2, "A")
	label(b, 0, 5.2, 0.2, "B")
	label(b, 0, 10.2, 0.2, "C")
	n := extract(t, b, Options{})
	if len(n.Nets) != 6 {
		t.Errorf("%d nets, want A, B, C and three unnamed", len(n.Nets))
	}
	for _, c := range []struct {
		layer int
		x, y  float64
		want  string
	}{
		{2, 0.2, 0.2, "A"}, {1, 1, 1, "A"}, {1, 5.2, 0.2, "copper@6.00,0.50"}, {0, 6, 1, ""},
		{1, 10.2, 0.2, "C"}, {2, 10.2, 0.2, "copper@11.00,1.00"}, {2, 11, 1, "copper@11.00,1.00"}, {0, 3, 1, ""}, {3, 1, 1, ""},
	} {
		if got := n.at(c.layer, c.x, c.y); got != c.want {
			t.Errorf("L%d@%g,%g is %q, want %q", c.layer+1, c.x, c.y, got, c.want)
		}
	}
	// The hole takes its circle: a land of 4 mm2 less a chorded circle.
	id, _ := n.NetAt(0, mm(0.2, 0.2))
	if got, want := n.Copper(id, 0).Area()*1e-12, 4-math.Pi*0.25*0.25; math.Abs(got-want) > 0.0005 {
		t.Errorf("drilled land of %.5f mm2, want %.5f", got, want)
	}
}

func TestTouching(t *testing.T) {
	for _, c := range []struct {
		name string
		make func() *board.Board
		nets int
	}{
		{"squares that share a corner", func() *board.Board {
			return layersOf(geom.Union(rect(0, 0, 1, 1), rect(1, 1, 2, 2)))
		}, 2},
		{"squares that share an edge", func() *board.Board {
			return layersOf(geom.Union(rect(0, 0, 1, 1), rect(1, 0, 2, 1)))
		}, 1},
		{"a slit of a nanometre", func() *board.Board {
			return layersOf(append(rect(0, 0, 1, 1), rect(1.000001, 0, 2, 1)...))
		}, 2},
		{"an antipad round a hole", func() *board.Board {
			plane := geom.Difference(rect(-5, -5, 5, 5), geom.Region{{Outer: geom.Circle(geom.Point{}, 600_000, 250)}})
			b := layersOf(plane, rect(-1, -1, 1, 1))
			bore(b, 0, 0, 1, true, 0, 1)
			return b
		}, 2},
		{"copper ten nanometres into a hole", func() *board.Board {
			b := layersOf(rect(0.49999, -1, 3, 1), rect(-1, -1, 1, 1))
			bore(b, 0, 0, 1, true, 0, 1)
			return b
		}, 1},
		{"copper short of a hole by 300 nm", func() *board.Board {
			b := layersOf(rect(0.5003, -1, 3, 1), rect(-1, -1, 1, 1))
			bore(b, 0, 0, 1, true, 0, 1)
			return b
		}, 2},
		{"a hole cuts a track in two and joins it", func() *board.Board {
			b := layersOf(rect(-3, -0.1, 3, 0.1))
			bore(b, 0, 0, 1, true, 0, 0)
			return b
		}, 1},
		{"an unplated hole cuts a track in two", func() *board.Board {
			b := layersOf(rect(-3, -0.1, 3, 0.1))
			bore(b, 0, 0, 1, false, 0, 0)
			return b
		}, 2},
		{"a slot's cuts run into each other", func() *board.Board {
			b := layersOf(append(rect(-3, -0.1, -0.4, 0.1), rect(0.9, -0.1, 3, 0.1)...))
			bore(b, 0, 0, 1, true, 0, 0)
			bore(b, 0.6, 0, 1, true, 0, 0)
			return b
		}, 1},
		{"a slot joins along its straight side", func() *board.Board {
			b := layersOf(append(rect(-0.1, 0.4, 0.1, 2), rect(0.4, -2, 0.6, -0.4)...))
			b.Holes = []board.Hole{{At: mm(-1, 0), To: mm(1, 0), Diameter: 1e6, Plated: true}}
			return b
		}, 1},
		{"blind and buried holes on one axis", func() *board.Board {
			land := rect(-1, -1, 1, 1)
			b := layersOf(land, land, land, land)
			bore(b, 0, 0, 0.2, true, 0, 1)
			bore(b, 0.3, 0, 0.2, true, 1, 2)
			return b
		}, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			if n := extract(t, c.make(), Options{}); len(n.Nets) != c.nets {
				t.Errorf("%d nets, want %d", len(n.Nets), c.nets)
			}
		})
	}
}

func TestNaming(t *testing.T) {
	b := layersOf(append(rect(0, 0, 1, 1), append(rect(2, 0, 6, 1), rect(8, 0, 9, 1)...)...))
	label(b, 0, 0.5, 0.5, "GND")
	label(b, 0, 3, 0.5, "GND")
	label(b, 0, 4, 0.5, "GND")
	label(b, 0, 5, 0.5, "SHIELD")
	n := extract(t, b, Options{})
	var got []string
	for i := range n.Nets {
		got = append(got, n.Nets[i].Name)
	}
	if want := []string{"GND", "GND~2", "copper@8.50,0.50"}; !slices.Equal(got, want) {
		t.Errorf("nets %q, want %q", got, want)
	}
	if n.at(0, 3, 0.5) != "GND" || n.at(0, 0.5, 0.5) != "GND~2" {
		t.Error("the larger piece does not keep the name")
	}
	for name, want := range map[string]string{"GND": "GND", "SHIELD": "GND", "GND~2": "GND~2", "L1@8.2,0.2": "copper@8.50,0.50"} {
		if id, err := n.ByName(name); err != nil || n.Nets[id].Name != want {
			t.Errorf("%s is net %v (%v), want %s", name, id, err, want)
		}
	}
	if len(n.Doubts) != 2 || !strings.Contains(n.Doubts[0].What, "SHIELD (L1 at 5.000,0.500)") || !strings.Contains(n.Doubts[1].What, "GND is 2 separate pieces") {
		t.Errorf("doubts %v", n.Doubts)
	}
	if _, err := n.ByName("GMD"); err == nil || !strings.Contains(err.Error(), "did you mean GND") {
		t.Errorf("an unknown net: %v", err)
	}
}

func TestParsePlace(t *testing.T) {
	for _, s := range []string{"C7.1", "L1@12.30,45.60", "L12@-3.5,0", " L2@1,2 "} {
		p, err := ParsePlace(s)
		if err != nil {
			t.Errorf("%q: %v", s, err)
			continue
		}
		again, err := ParsePlace(p.String())
		if err != nil || again != p {
			t.Errorf("%q prints as %q, read again as %v (%v)", s, p, again, err)
		}
	}
	for _, s := range []string{"", "C7", ".1", "C7.", "L1@", "L1@1", "L1@1,x", "L0@1,2", "X1@1,2", "@1,2", "L1@1e9,2", "L1@NaN,2", "L1@Inf,2", "1@1,2", "L1@1,2,3"} {
		if p, err := ParsePlace(s); err == nil {
			t.Errorf("%q is read as %+v", s, p)
		}
	}
}

// pinBoard has J1 with one drilled pin and one pin of two lands, C1 on the
// surface, a thermal pad with its via, all on two layers.
func pinBoard() *board.Board {
	land := append(rect(0, 0, 2, 2), append(rect(4, 0, 5, 1), append(rect(6, 0, 7, 1), rect(10, 0, 13, 3)...)...)...)
	b := layersOf(land, append(rect(0, 0, 2, 2), rect(11, 1, 12, 2)...))
	bore(b, 1, 1, 0.8, true, 0, 1)
	bore(b, 11.5, 1.5, 0.3, true, 0, 1)
	addPad(b, 0, 1, 1, 2, "J1", "1", 0)
	addPad(b, 1, 1, 1, 2, "J1", "1", 0)
	addPad(b, 0, 4.5, 0.5, 1, "J1", "S", -1)
	addPad(b, 0, 6.5, 0.5, 1, "J1", "S", -1)
	addPad(b, 0, 11.5, 1.5, 3, "U1", "EP", -1)
	addPad(b, 1, 11.5, 1.5, 1, "U1", "EP", 1)
	return b
}

func TestResolve(t *testing.T) {
	n := extract(t, pinBoard(), Options{})
	for _, c := range []struct {
		place, at string
		hole      int
		rim       bool
		pin       string
	}{
		{"J1.1", "L1@1.000,1.000", 0, true, "J1.1"},
		{"U1.EP", "L1@11.500,1.500", 1, false, "U1.EP"},
		{"L2@1.1,1.0", "L2@1.100,1.000", 0, false, "J1.1"}, // inside the hole
		{"L1@1.5,1.0", "L1@1.500,1.000", 0, false, "J1.1"}, // the disc reaches the rim
		{"L1@1.8,1.0", "L1@1.800,1.000", -1, false, "J1.1"},
		{"L1@2.0015,1.0", "L1@2.002,1.000", -1, false, "J1.1"}, // off by 1.5 um
	} {
		p, err := ParsePlace(c.place)
		if err != nil {
			t.Fatal(err)
		}
		s, err := n.Resolve(p)
		if err != nil {
			t.Errorf("%s: %v", c.place, err)
			continue
		}
		if at := (Place{Layer: s.Layer, At: s.At}).String(); at != c.at || s.Hole != c.hole || s.Rim != c.rim || s.Pin != c.pin {
			t.Errorf("%s: %s hole %d rim %v pin %q, want %s %d %v %q", c.place, at, s.Hole, s.Rim, s.Pin, c.at, c.hole, c.rim, c.pin)
		}
	}
	for _, c := range []struct{ place, want string }{
		{"J1.S", "L1@4.500,0.500 L1@6.500,0.500"},
		{"J1.7", "its pins are 1 S"},
		{"J2.1", "did you mean J1"},
		{"L1@2.1,1.0", "0.100 mm away, net copper@J1.1"},
		{"L3@1,1", "has L1 to L2"},
	} {
		p, err := ParsePlace(c.place)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := n.Resolve(p); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.place, err, c.want)
		}
	}
}

// TestEtched: etching takes 20 um off every edge, so that a track loses 40 um
// of its width; a hole's land goes on meeting the wall, also where the image
// of the land has the hole left out.
func TestEtched(t *testing.T) {
	track := rect(0, 0, 10, 0.2)
	ring := geom.Difference(rect(20, -1, 22, 1), geom.Region{{Outer: geom.Circle(mm(21, 0), 250_000, 250)}})
	b := layersOf(append(track, ring...), rect(20, -1, 22, 1))
	bore(b, 21, 0, 0.5, true, 0, 1)
	label(b, 0, 5, 0.1, "A")
	label(b, 0, 20.2, 0, "B")
	n := extract(t, b, Options{Etch: 20_000})
	a, _ := n.NetAt(0, mm(5, 0.1))
	if got, want := n.Copper(a, 0).Area()*1e-12, (10-0.04)*0.16; math.Abs(got-want) > 1e-4 {
		t.Errorf("track of %.5f mm2, want %.5f", got, want)
	}
	land, _ := n.NetAt(0, mm(20.2, 0))
	if got, want := n.Copper(land, 0).Area()*1e-12, 1.96*1.96-math.Pi*0.25*0.25; math.Abs(got-want) > 5e-4 {
		t.Errorf("land of %.5f mm2, want %.5f", got, want)
	}
	if n.at(1, 20.2, 0) != "B" {
		t.Errorf("the hole joins %q to the land below, want B", n.at(1, 20.2, 0))
	}
}
