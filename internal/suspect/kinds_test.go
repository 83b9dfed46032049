package suspect

import (
	"math"
	"slices"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/check"
)

func TestTwoPinParts(t *testing.T) {
	m := blank(2)
	m.land(0, "A", "C1", "1", -1, 0, 0, 1, 1).land(0, "B", "C1", "2", -1, 3, 0, 4, 1)
	m.land(0, "A", "R1", "1", -1, 0, 5, 1, 6).land(0, "B", "R1", "2", -1, 3, 5, 4, 6)
	m.land(0, "A", "TP1", "1", -1, 0, 10, 1, 11).land(0, "X", "Q1", "1", -1, 3, 10, 4, 11)
	m.draw(0, "A", rect(0, 0, 0.2, 11)).draw(0, "B", rect(3.8, 0, 4, 6))
	sites, _ := List(m.ask(t, "A", "B"))
	if len(sites) != 2 {
		t.Fatalf("%d sites, want the capacitor and the resistor: %+v", len(sites), sites)
	}
	c, r := sites[0], sites[1]
	if c.Kind != Part || c.Part != "C1" || !slices.Equal(c.Near, []string{"C1.1", "C1.2"}) || c.A != mm(0.5, 0.5) || c.B != mm(3.5, 0.5) || !c.Hidden || c.Gap != 0 {
		t.Errorf("the capacitor is %+v", c)
	}
	rates := DefaultRates()
	check.Approx(t, c.Prior/r.Prior, rates.Part["C"]/rates.Part["R"], check.Tol{Rel: 1e-9}, "capacitor to resistor")
}

// An IC with several supply pins: the nearest pairs, from either side, share
// the part's rate.
func TestPartWithManyPins(t *testing.T) {
	m := blank(1)
	for i, net := range []string{"A", "X", "B", "X2", "B", "X3", "A", "X4", "B"} {
		m.land(0, net, "U1", string(rune('1'+i)), -1, float64(i), 0, float64(i)+0.3, 1)
	}
	m.land(0, "A", "C1", "1", -1, 0, 9, 1, 10).land(0, "B", "C1", "2", -1, 3, 9, 4, 10)
	// A is joined below the pins, B above, both out of reach of each other.
	m.draw(0, "A", rect(0, -3, 0.2, 0.5)).draw(0, "A", rect(6, -3, 6.2, 0.5)).draw(0, "A", rect(0, -3, 6.2, -2.8))
	m.draw(0, "B", rect(2, 0.5, 2.2, 5)).draw(0, "B", rect(4, 0.5, 4.2, 5)).draw(0, "B", rect(8, 0.5, 8.2, 5)).draw(0, "B", rect(2, 4.8, 8.2, 5))
	m.draw(0, "A", rect(-2, -3, -1.8, 9.5)).draw(0, "A", rect(-2, 9.3, 0.5, 9.5)).draw(0, "A", rect(-2, -3, 0.2, -2.8)).draw(0, "B", rect(3, 4.9, 3.2, 9.5))
	q := m.ask(t, "A", "B")
	var pairs []string
	var u, c float64
	sites, _ := List(q)
	for _, s := range of(Part, sites) {
		if s.Part == "C1" {
			c += s.Prior
			continue
		}
		u += s.Prior
		pairs = append(pairs, s.Near[0]+" "+s.Near[1])
	}
	slices.Sort(pairs)
	if want := []string{"U1.1 U1.3", "U1.7 U1.5", "U1.7 U1.9"}; !slices.Equal(pairs, want) {
		t.Errorf("pairs %q, want %q", pairs, want)
	}
	check.Approx(t, u/c, q.Rates.Part["U"]/q.Rates.Part["C"], check.Tol{Rel: 1e-9}, "the IC's share to the capacitor's")
}

// hollow is a plane from corner to corner with a round opening.
func hollow(x, y, x2, y2, cx, cy, d float64) geom.Region {
	return geom.Difference(rect(x, y, x2, y2), geom.Region{{Outer: geom.Circle(mm(cx, cy), int64(d*5e5), 1_000)}})
}

func TestPlaneRoundAHole(t *testing.T) {
	build := func(land bool, clearance float64) []Site {
		m := blank(3).bore(0, 0, 0, 0, 0.6)
		m.draw(0, "A", rect(-1, -1, 1, 1)).draw(2, "A", rect(-1, -1, 1, 1))
		m.draw(1, "B", hollow(-5, -5, 5, 5, 0, 0, 0.6+2*clearance))
		if land {
			m.draw(1, "A", rect(-0.35, -0.35, 0.35, 0.35))
		}
		sites, _ := List(m.ask(t, "A", "B"))
		return sites
	}
	var holes []Site
	for _, s := range of(Layers, build(false, 0.25)) {
		if s.LayerA == s.LayerB {
			holes = append(holes, s)
		}
	}
	if len(holes) != 1 {
		t.Fatalf("%d sites of a plane round a hole, want 1", len(holes))
	}
	h := holes[0]
	if h.A != (geom.Point{}) || h.LayerA != 1 || !h.Covered || h.Hidden {
		t.Errorf("the site is %+v", h)
	}
	check.Approx(t, h.Gap, 0.25e-3, check.Tol{Abs: 2e-6}, "clearance")
	for _, s := range of(Layers, build(true, 0.3)) {
		if s.LayerA == s.LayerB {
			t.Errorf("a hole with a land is listed as one without: %+v", s)
		}
	}
	for _, s := range of(Layers, build(false, 0.45)) {
		if s.LayerA == s.LayerB {
			t.Errorf("a clearance of 0.45 mm is listed: %+v", s)
		}
	}
}

// A slot clears a plane along its whole length, not only at its end.
func TestPlaneBesideASlot(t *testing.T) {
	m := blank(3).bore(0, 0, 4, 0, 0.6)
	m.draw(0, "A", rect(-1, -1, 5, 1)).draw(2, "A", rect(-1, -1, 5, 1)).draw(1, "B", rect(2.5, 0.5, 3.5, 3))
	sites, _ := List(m.ask(t, "A", "B"))
	for _, s := range of(Layers, sites) {
		if s.LayerA != s.LayerB {
			continue
		}
		if nm(s.Gap) != 200_000 || s.B.Y != 500_000 || s.A.Y != 0 || s.A.X < 2_500_000 || s.A.X > 3_500_000 {
			t.Errorf("the slot's site is %+v, want 0.2 mm up to the copper beside it", s)
		}
		return
	}
	t.Error("the copper beside the slot is not listed")
}

func TestOverlapOfLayers(t *testing.T) {
	m := blank(4).draw(0, "A", rect(0, 0, 10, 10)).draw(1, "X", rect(0, 0, 4, 10)).draw(1, "B", rect(5, 0, 12, 10)).draw(3, "A2", rect(0, 0, 10, 10))
	q := m.ask(t, "A", "B")
	sites, _ := List(q)
	area := 0.0
	for _, s := range sites {
		if s.Kind != Layers || s.LayerA != 0 || s.LayerB != 1 || s.A != s.B || !s.Covered {
			t.Fatalf("a site that is no overlap of L1 and L2: %+v", s)
		}
		if x, y := s.Mid(); x < 5 || x > 10 || y < 0 || y > 10 {
			t.Errorf("a sample at %.2f,%.2f outside the overlap", x, y)
		}
		area += s.Length * s.Length * 1e6
	}
	check.Approx(t, area, 50, check.Tol{Rel: 0.15}, "area of the overlap, square millimetres")
	if len(sites) > 2*mostOverlaps {
		t.Errorf("%d samples, want %d at most", len(sites), 2*mostOverlaps)
	}
}

// shell is a connector with two big tabs and a pin on B, its body over bare
// and covered copper of A.
func shell() maker {
	m := blank(2)
	m.bore(1, 1, 1, 1, 0.8).bore(1, 9, 1, 9, 0.8)
	m.land(0, "B", "J1", "S1", 0, 0, 0, 2, 2).land(0, "B", "J1", "S2", 1, 0, 8, 2, 10)
	m.land(0, "B", "J1", "4", -1, 4, 9, 4.3, 10).draw(0, "B", rect(0, 9.7, 4.3, 9.9)).draw(0, "B", rect(-0.5, 0, 0.2, 10))
	m.body("J1", 0, 0, 8, 10)
	m.draw(0, "A", rect(5, 4, 6, 5)).draw(1, "A", rect(5, 4, 30, 5)).bore(5.5, 4.5, 5.5, 4.5, 0.3)
	m.draw(0, "A", rect(8.4, 4, 8.8, 5)).bore(8.6, 4.5, 8.6, 4.5, 0.2) // beside it, 0.4 mm off
	m.draw(0, "A", rect(9.5, 4, 9.9, 5)).bore(9.7, 4.5, 9.7, 4.5, 0.2) // out of reach
	m.draw(0, "A", rect(5, 7, 6, 8)).draw(1, "A", rect(5, 4, 6, 8)).bore(5.5, 7.5, 5.5, 7.5, 0.3)
	for i := range m.Holes {
		m.Holes[i].Last = 1
	}
	m.Mask[0] = regions(rect(4.9, 3.9, 12, 5.1), rect(0, 0, 2, 2), rect(0, 8, 2, 10))
	return m
}

func TestMarkedBody(t *testing.T) {
	q := shell().ask(t, "A", "B")
	if sites, _ := List(q); len(of(Metal, sites)) != 0 {
		t.Fatalf("%d metal sites though no body is marked", len(of(Metal, sites)))
	}
	q.Bodies = []Body{{Part: "J1", Group: 1}}
	sites, _ := List(q)
	under, beside := 0.0, 0.0
	for _, s := range of(Metal, sites) {
		x, y := s.A.MM()
		if s.Part != "J1" || s.LayerA != 0 || y < 4 || y > 5 || x < 5 || x > 9 {
			t.Fatalf("metal over covered or far copper: %+v", s)
		}
		if s.B != mm(1, 1) && s.B != mm(1, 9) {
			t.Fatalf("the body connects at %v, want a drilled tab", s.B)
		}
		if x <= 8 {
			under += s.Length * 1e3
			if s.Gap != 0 || !s.Hidden {
				t.Errorf("under the body gap %g, hidden %v", s.Gap, s.Hidden)
			}
		} else {
			beside += s.Length * 1e3
			if s.Gap < 0.4e-3-1e-9 || s.Gap > 0.8e-3+1e-9 || s.Hidden {
				t.Errorf("beside the body gap %g, hidden %v", s.Gap, s.Hidden)
			}
		}
	}
	// The outlines of a 1 mm square and its 0.3 mm hole, and of a 0.4 by 1 mm
	// land and its 0.2 mm hole.
	check.Approx(t, under, 4+0.3*math.Pi, check.Tol{Rel: 0.01}, "outline under the body")
	check.Approx(t, beside, 2.8+0.2*math.Pi, check.Tol{Rel: 0.01}, "outline beside the body")

	q.Groups[0], q.Groups[1] = q.Groups[1], q.Groups[0]
	q.Bodies[0].Group = 0
	back, _ := List(q)
	check.Approx(t, float64(len(of(Metal, back))), float64(len(of(Metal, sites))), check.Tol{}, "sites with the groups swapped")
	for _, s := range of(Metal, back) {
		if s.A != mm(1, 1) && s.A != mm(1, 9) {
			t.Fatalf("swapped, the body connects at %v", s.A)
		}
	}
}

// An opening in the mask over a pour is bare copper though its outline is not.
func TestMarkedBodyOverAnOpening(t *testing.T) {
	m := blank(1).draw(0, "A", rect(5, -10, 40, 20))
	m.land(0, "B", "J1", "S1", -1, 0, 0, 2, 2).body("J1", 0, 0, 10, 10)
	m.Mask[0] = regions(rect(7, 7, 8, 8), rect(0, 0, 2, 2))
	q := m.ask(t, "A", "B")
	q.Bodies = []Body{{Part: "J1", Group: 1}}
	sites, _ := List(q)
	check.Approx(t, millimetresOf(of(Metal, sites)), 4, check.Tol{Rel: 1e-9}, "outline of the opening")
	q.Bodies = []Body{{Part: "J1", Group: 0}} // A has no tab of J1
	if sites, _ = List(q); len(of(Metal, sites)) != 0 {
		t.Error("a body without a tab on its net is listed")
	}
}

// A body guessed from the pads of a part with legs hides what lies inside the
// pads, not what lies between them.
func TestGuessedBodies(t *testing.T) {
	m := blank(1)
	for i := range 4 {
		x := float64(i) * 1.2
		m.land(0, "N", "U1", string(rune('1'+i)), -1, x, 0, x+0.6, 1).land(0, "N", "U1", string(rune('5'+i)), -1, x, 6, x+0.6, 7)
	}
	m.body("U1", 0, 0, 4.2, 7)
	m.Parts[0].Guessed = true
	s := newSurface(Question{Board: m.Board, Nets: extract(t, m, "")})
	for _, c := range []struct {
		x, y float64
		want bool
	}{{2, 3.5, true}, {0.9, 0.5, false}, {0.9, 6.5, false}, {5, 3, false}} {
		if got := s.hidden(0, mm(c.x, c.y)); got != c.want {
			t.Errorf("%g,%g is hidden %v, want %v", c.x, c.y, got, c.want)
		}
	}
	m.Parts[0].Guessed = false
	s = newSurface(Question{Board: m.Board, Nets: s.q.Nets})
	if !s.hidden(0, mm(0.9, 0.5)) || s.side(0) != board.Top {
		t.Error("a given body does not hide what lies between its pads")
	}
}
