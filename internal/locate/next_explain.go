package locate

import (
	"fmt"
	"math"

	"ohmward/internal/suspect"
)

// explain says in words what a move is good for: which of the leading places
// it tells from which, and how far it cuts the list.
func (pl *planner) explain(m *Move, a, b Table) {
	var o []outcome
	if m.FourWire {
		own, entry := a, m.CurrentA
		if m.SenseOnB {
			own, entry = b, m.CurrentB
		}
		o = pl.sense(own, pl.rows(own.G, own.Probes), entry, m.SenseM, m.SenseN, nil)
	} else {
		r := pl.rows([][]float64{a.R[m.From], b.R[m.To]}, []Probe{{Reach: true}, {Reach: true}})
		o = pl.across(r[0], r[1], nil)
	}
	m.Why = shorteningText(m.Bits)
	if far := pl.mostDistinct(o); far > 0 {
		d := math.Abs(o[0].mean - o[far].mean)
		m.Why = fmt.Sprintf("%s; tells %s from %s: they differ by %s there",
			m.Why, pl.name(0), pl.name(far), pl.p.Case.Meter.Text(d, m.FourWire))
	}
}

// mostDistinct is the heaviest group that the reading would tell from the best
// place's by two deviations and more; 0: none.
func (pl *planner) mostDistinct(o []outcome) int {
	x0, y0 := pl.mid(0)
	for k := 1; k < len(o); k++ {
		x, y := pl.mid(k)
		if math.Hypot(x-x0, y-y0) < placeMM || pl.name(k) == pl.name(0) {
			continue
		}
		if math.Abs(o[k].mean-o[0].mean) > 2*math.Hypot(o[k].sd, o[0].sd) {
			return k
		}
	}
	return 0
}

func (pl *planner) mid(k int) (x, y float64) { return pl.p.Case.Sites[pl.groups[k].lead].Mid() }

// name is how a person would call the place.
func (pl *planner) name(k int) string { return Name(pl.p.Case.Sites[pl.groups[k].lead]) }

// Name is how a person would call a site: by its part, its nearest pins or its
// coordinates.
func Name(s suspect.Site) string {
	switch {
	case s.Part != "" && s.Kind == suspect.Part:
		return s.Part
	case s.Part != "":
		return s.Part + "'s shell"
	case len(s.Near) > 1:
		return s.Near[0] + " and " + s.Near[1]
	case len(s.Near) == 1:
		return s.Near[0]
	}
	x, y := s.Mid()
	return fmt.Sprintf("%.1f, %.1f mm", x, y)
}

// shorteningText puts bits into words.
func shorteningText(bits float64) string {
	switch left := math.Exp2(-bits); {
	case bits < 0.15:
		return "says little more"
	case left > 0.6:
		return "should rule out a third of the places"
	case left > 0.4:
		return "should rule out half of the places"
	case left > 0.28:
		return "should rule out two places in three"
	case left > 0.2:
		return "should rule out three places in four"
	}
	n := math.Round(math.Exp2(bits))
	return fmt.Sprintf("should rule out %.0f places in %.0f", n-1, n)
}
