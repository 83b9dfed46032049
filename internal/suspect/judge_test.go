package suspect

import (
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/check"
)

// pairAt draws two tracks 3 mm long facing over 0.25 mm, on one layer.
func (m maker) pairAt(layer int, x float64) maker {
	m.draw(layer, "A", rect(x, 0, x+3, 0.2))
	return m.draw(layer, "B", rect(x, 0.45, x+3, 0.65))
}

// joined lets all pieces of A and of B be one net each: by holes to a bus on
// the last layer, far from each other.
func (m maker) joined(xs ...float64) maker {
	last := len(m.Layers) - 1
	for _, x := range xs {
		m.bore(x+1, -2, x+1, -2, 0.3).bore(x+1, 3, x+1, 3, 0.3)
		for l := range last {
			m.draw(l, "A", rect(x+0.9, -2, x+1.1, 0.1)).draw(l, "B", rect(x+0.9, 0.55, x+1.1, 3))
		}
	}
	m.draw(last, "A", rect(-5, -2.2, 60, -1.8))
	return m.draw(last, "B", rect(-5, 2.8, 60, 3.2))
}

func regions(r ...geom.Region) *geom.Region {
	var out geom.Region
	for _, part := range r {
		out = append(out, part...)
	}
	out = geom.Union(out)
	return &out
}

// Each surrounding changes the rate of a gap by its factor, seen beside an
// equal gap without it.
func TestSurroundingsOfAGap(t *testing.T) {
	r := DefaultRates()
	open := rect(-1, -1, 5, 2) // over the whole first pair
	for _, c := range []struct {
		name            string
		change          func(m maker)
		want            float64
		hidden, covered bool
	}{
		{"one edge under mask", func(m maker) { m.Mask[0] = regions(open, rect(19, -1, 25, 0.3)) }, r.HalfBare, false, true},
		// Without paste data solder stands where copper is bare.
		{"both under mask", func(m maker) { m.Mask[0] = regions(open, rect(40, 40, 41, 41)) }, r.Mask * r.NoPaste, false, true},
		{"both under mask, paste printed", func(m maker) {
			m.Mask[0], m.Paste[0] = regions(open), regions(open, rect(19, -1, 25, 2))
		}, r.Mask, false, true},
		{"no paste near", func(m maker) { m.Paste[0] = regions(open) }, r.NoPaste, false, false},
		{"paste within 0.3 mm", func(m maker) { m.Paste[0] = regions(open, rect(19, -1, 25, -0.02)) }, 1, false, false},
		{"under a body", func(m maker) {
			m.land(0, "X", "U9", "1", -1, 30, 30, 31, 31).body("U9", 19.9, 0.1, 23.1, 0.5)
		}, r.UnderBody, true, false},
		{"under a body of the other side", func(m maker) {
			m.land(0, "X", "U9", "1", -1, 30, 30, 31, 31).body("U9", 19.9, 0.1, 23.1, 0.5)
			m.Parts[len(m.Parts)-1].Side = board.Bottom
		}, 1, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := blank(3).pairAt(0, 0).pairAt(0, 20).joined(0, 20)
			c.change(m)
			sites, _ := List(m.ask(t, "A", "B"))
			var top []Site
			for _, s := range of(Gap, sites) {
				if s.LayerA != 0 || nm(s.Gap) != 250_000 {
					continue
				}
				top = append(top, s)
				if x, _ := s.Mid(); x > 20.3 && x < 22.7 && (s.Hidden != c.hidden || s.Covered != c.covered) {
					t.Errorf("at %.2f mm hidden %v, covered %v; want %v, %v", x, s.Hidden, s.Covered, c.hidden, c.covered)
				} else if x < 10 && (s.Hidden || s.Covered) {
					t.Errorf("at %.2f mm hidden %v, covered %v; want neither", x, s.Hidden, s.Covered)
				}
			}
			check.Approx(t, within(top, 20.3, 22.7)/within(top, 0.3, 2.7), c.want, check.Tol{Rel: 1e-9}, "rate beside the plain gap")
		})
	}
}

func TestInnerGap(t *testing.T) {
	m := blank(3).pairAt(0, 0).pairAt(1, 20).joined(0, 20)
	m.Mask[0], m.Paste[0] = regions(rect(-1, -1, 30, 2)), regions(rect(-1, -1, 30, 2))
	sites, _ := List(m.ask(t, "A", "B"))
	var gaps []Site
	for _, s := range of(Gap, sites) {
		if nm(s.Gap) == 250_000 && s.LayerA < 2 {
			gaps = append(gaps, s)
			if s.LayerA == 1 && (!s.Covered || s.Hidden) {
				t.Errorf("an inner gap is covered %v, hidden %v; want covered only", s.Covered, s.Hidden)
			}
		}
	}
	check.Approx(t, within(gaps, 20.3, 22.7)/within(gaps, 0.3, 2.7), DefaultRates().Inner, check.Tol{Rel: 1e-9}, "rate beside the outer gap")
}

// Pads of one part are likelier to be bridged than the same pads of two.
func TestPadsOfOnePart(t *testing.T) {
	m := blank(3).pairAt(0, 0).pairAt(0, 20).joined(0, 20)
	m.land(0, "A", "U1", "1", -1, 0, 0, 3, 0.2).land(0, "B", "R1", "2", -1, 0, 0.45, 3, 0.65)
	m.land(0, "A", "U2", "1", -1, 20, 0, 23, 0.2).land(0, "B", "U2", "2", -1, 20, 0.45, 23, 0.65)
	sites, _ := List(m.ask(t, "A", "B"))
	var gaps []Site
	for _, s := range of(Gap, sites) {
		if nm(s.Gap) == 250_000 && s.LayerA == 0 {
			gaps = append(gaps, s)
			want := []string{"U1.1", "R1.2"}
			if x, _ := s.Mid(); x > 10 {
				want = []string{"U2.1", "U2.2"}
			}
			if len(s.Near) != 2 || s.Near[0] != want[0] || s.Near[1] != want[1] {
				t.Fatalf("a gap near %v, want %v", s.Near, want)
			}
		}
	}
	check.Approx(t, within(gaps, 20.3, 22.7)/within(gaps, 0.3, 2.7), DefaultRates().SamePart, check.Tol{Rel: 1e-9}, "rate beside pads of two parts")
}

// The nearest pad counts by its edge, not its middle or its box.
func TestNearestPadByItsEdge(t *testing.T) {
	m := blank(2)
	m.land(0, "A", "U1", "1", -1, 0, 0, 10, 1)  // its middle is far
	m.land(0, "A", "U1", "2", -1, -2, 0, -1, 1) // its middle is near
	m.land(1, "A", "U1", "3", -1, -0.1, 0, 0.2, 1)
	m.Pads = append(m.Pads, board.Pad{At: mm(-1, -1), Ref: "U1", Pin: "4", Hole: -1,
		Shape: geom.Region{{Outer: geom.Ring{mm(-2, -2), mm(0, -2), mm(-2, 0)}}}}) // its box holds the point below
	s := newPadSet(m.Board, []int{3, 2, 1, 0})
	for _, c := range []struct {
		layer    int
		x, y     float64
		want     string
		distance float64
	}{
		{0, -0.4, 0.5, "U1.1", 0.4e-3},
		{0, 5, 0.5, "U1.1", 0},
		{0, -0.6, 0.5, "U1.2", 0.4e-3},
		{1, -0.4, 0.5, "U1.3", 0.3e-3},
		{0, -0.1, -0.1, "U1.1", 0.1414213562e-3},
		{0, 50, 50, "", nearReach},
	} {
		got := s.nearest(c.layer, mm(c.x, c.y))
		if got.name != c.want {
			t.Errorf("L%d at %g,%g is near %q, want %q", c.layer+1, c.x, c.y, got.name, c.want)
		}
		check.Approx(t, got.distance, c.distance, check.Tol{Abs: 1e-12}, "distance")
	}
}
