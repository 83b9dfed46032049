package cli

import (
	"cmp"
	"fmt"
	"ohmward/internal/bench"
	"ohmward/unit"
	"strings"
)

func resistanceText(p *page, a *bench.ResistanceAnswer) {
	p.Headline("%s", ohms(a.Ohms))
	p.Facts(
		"net", a.Net,
		"from", named(a.From),
		"to", named(a.To),
		"bracket", bracket(a.Low, a.High),
		"through", strings.Join(a.Through, ", "),
	)
	sensitivityText(p, a.Sensitivity, *a.Ohms)
	doubtLines(p, a.Doubts)
}

func resistanceTable(p *page, a *bench.ResistanceAnswers) {
	table(p, "from|to|net|resistance", a.Results, all, func(r bench.Resistor) []string {
		return []string{named(r.From), named(r.To), r.Net, cmp.Or(r.Error, ohms(r.Ohms))}
	})
	for _, r := range a.Results {
		if r.Sensitivity != nil {
			p.Heading("%s to %s: %s", named(r.From), named(r.To), ohms(r.Ohms))
			sensitivityRows(p, r.Sensitivity, *r.Ohms)
		}
	}
	doubtLines(p, a.Doubts)
}

// named prints a place by its pin and where it is.
func named(p *bench.Place) string {
	switch {
	case p == nil:
		return ""
	case p.Pin != "":
		return p.Pin + " (" + where(p.Layer, p.X, p.Y) + ")"
	}
	return where(p.Layer, p.X, p.Y)
}

func ohms(r *float64) string {
	if r == nil {
		return ""
	}
	return unit.Resistance(*r).String()
}

func bracket(low, high *float64) string {
	switch {
	case low == nil || high == nil:
		return ""
	case *high == 0:
		return "none: the two tips touch each other, or one hole"
	}
	return fmt.Sprintf("%s to %s (± %.2g %%)", ohms(low), ohms(high), 100*(*high-*low)/(*low+*high))
}
