package cli

import (
	"context"
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
)

func suspectsCommand() *command {
	return &command{
		name: "suspects", operands: []string{"BOARD"},
		purpose: "every place where two nets could touch, before any reading",
		about: boardOperand + `
Without --nets, all pairs of nets are looked at: where this design is prone to
bridging.`,
		flags: withCommon(&option{"nets", "A,B", "the two nets, as +3V3,GND", setNets}),
		example: `ohmward suspects demo --nets +3V3,GND
170 places where +3V3 and GND could touch
…`,
		run: runSuspects,
	}
}

func runSuspects(ctx context.Context, k *call) error {
	a, err := work(k, func(o bench.Options) (*answer.Suspects, error) {
		return bench.Suspects(ctx, k.operands[0], k.set.nets, o)
	})
	if !usable(err) {
		return err
	}
	if failed := k.print(a, func(p *page) { suspectsText(p, a) }); failed != nil {
		return failed
	}
	return err
}

func suspectsText(p *page, a *answer.Suspects) {
	between := "any two nets"
	if len(a.Nets) == 2 {
		between = a.Nets[0] + " and " + a.Nets[1]
	}
	p.Headline("%s where %s could touch", many(len(a.Sites), "place"), between)
	siteTable(p, a.Sites, 20)
	if len(a.Nets) == 2 {
		p.Line("elsewhere, not listed: %s", chance(a.Elsewhere))
		if a.Good != "" {
			p.Line("%s", a.Good)
		}
	}
	cautionLines(p, a.Cautions)
	doubtLines(p, a.Doubts)
}

// siteTable shows the first few sites.
func siteTable(p *page, sites []answer.Site, most int) {
	shown := sites[:min(most, len(sites))]
	if len(shown) == 0 {
		return
	}
	p.Heading("Places, most likely first")
	rows := make([][]string, len(shown))
	for i, s := range shown {
		near := strings.Join(s.Near[:min(2, len(s.Near))], " ")
		if s.Nets != nil {
			near = s.Nets[0] + " – " + s.Nets[1] + "  " + near
		}
		rows[i] = []string{fmt.Sprint(s.Rank), chance(s.Probability), kindWords(s), siteAt(s), near}
	}
	p.Table([]string{">rank", ">chance", "what", "where", "near"}, rows)
	if len(shown) < len(sites) {
		p.Line("and %d more; --json lists all", len(sites)-len(shown))
	}
}

// siteAt is the middle between the two nets' copper.
func siteAt(s answer.Site) string { return where(s.Layer, (s.X+s.X2)/2, (s.Y+s.Y2)/2) }

// kindWords says in a few words what kind of place it is.
func kindWords(s answer.Site) string {
	switch s.Kind {
	case "gap":
		return "gap " + gap(s.Gap)
	case "part":
		if s.Part == "" {
			return "inside a part"
		}
		return "inside " + s.Part
	case "layers":
		return "between layers"
	case "metal":
		if s.Part == "" {
			return "metal body"
		}
		return "metal of " + s.Part
	}
	return s.Kind
}

// gap prints a distance to a hundredth of a millimetre, which is as fine as
// anything about it is known.
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
	if len(cautions) == 0 {
		return
	}
	p.Heading("Before the first reading")
	for _, c := range cautions {
		p.Line("- %s", c)
	}
}
