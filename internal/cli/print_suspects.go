package cli

import (
	"cmp"
	"fmt"
	"ohmward/internal/answer"
	"strings"
)

func suspectsText(p *page, a *answer.Suspects) {
	p.Headline("%s%s where %s could touch",
		either(a.Capped, "The likeliest ", ""), many(len(a.Sites), "place"),
		cmp.Or(strings.Join(a.Nets, " and "), "any two nets"))
	siteTable(p, a.Sites, 20, a.Capped)
	if len(a.Nets) == 2 {
		p.Line("elsewhere, not listed: %s", chance(a.Elsewhere))
		p.Notes(a.Good)
	}
	cautionLines(p, a.Cautions)
	doubtLines(p, a.Doubts)
}

// siteTable shows the first few sites of a list; capped tells that there are
// places beyond it.
func siteTable(p *page, sites []answer.Site, most int, capped bool) {
	if capped {
		defer p.Line("the list is of the likeliest %d: the others are left out", len(sites))
	}
	head := ">rank|>chance|what|where|near"
	table(p, "Places, most likely first", head, sites, most, func(s answer.Site) []any {
		near := strings.Join(s.Near[:min(2, len(s.Near))], " ")
		if s.Nets != nil {
			near = s.Nets[0] + " – " + s.Nets[1] + "  " + near
		}
		return []any{s.Rank, chance(s.Probability), kindWords(s), siteAt(s), near}
	})
}

// siteAt is the middle between the two nets' copper; inside a part, where no
// point is nearer the truth than another, only the layer.
func siteAt(s answer.Site) string {
	if s.Kind == "part" {
		return s.Layer
	}
	return about(s.Layer, (s.X+s.X2)/2, (s.Y+s.Y2)/2)
}

// kindWords says in a few words what kind of place it is.
func kindWords(s answer.Site) string {
	switch s.Kind {
	case "gap":
		return "gap " + gap(s.Gap)
	case "part":
		return "inside " + cmp.Or(s.Part, "a part")
	case "layers":
		return "between layers"
	case "metal":
		return either(s.Part == "", "metal body", "metal of "+s.Part)
	}
	return s.Kind
}

// gap prints the distance between two nets' copper, which the files give to a
// hundredth of a millimetre.
func gap(mm float64) string { return fmt.Sprintf("%.2f mm", mm) }

// chance prints a probability without claiming certainty.
func chance(p float64) string {
	switch {
	case p >= 0.995:
		return ">99 %"
	case p >= 0.095:
		return fmt.Sprintf("%.0f %%", p*100)
	case p >= 0.001:
		return fmt.Sprintf("%.1f %%", p*100)
	}
	return "<0.1 %"
}

func cautionLines(p *page, cautions []string) {
	lines(p, "Before the first reading", cautions, func(_ int, c string) string { return "- " + c })
}
