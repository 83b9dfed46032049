package cli

import (
	"cmp"
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/unit"
)

func resistanceText(p *page, a *answer.Resistance) {
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

func resistanceTable(p *page, a *answer.Resistances) {
	table(p, "", "from|to|net|resistance", a.Results, all, func(r answer.Resistor) []any {
		return []any{named(r.From), named(r.To), r.Net, cmp.Or(r.Error, ohms(r.Ohms))}
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
func named(p *answer.Place) string {
	switch {
	case p == nil:
		return ""
	case p.Pin != "":
		return p.Pin + " (" + about(p.Layer, p.X, p.Y) + either(p.Rim, ", its hole's rim", "") + ")"
	case p.Rim:
		return "the rim of the hole at " + where(p.Layer, p.X, p.Y)
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

// sensitivityText prints what a resistance is made of, where that was asked.
func sensitivityText(p *page, s *answer.Sensitivity, ohms float64) {
	if s == nil {
		return
	}
	p.Heading("What it is made of")
	sensitivityRows(p, s, ohms)
}

func sensitivityRows(p *page, s *answer.Sensitivity, ohms float64) {
	var rows [][]any
	row := func(what string, part float64, note string) {
		if part > leastShare*ohms {
			rows = append(rows, []any{what, unit.Resistance(part), percent(part / ohms), note})
		}
	}
	for _, l := range s.Layers {
		row("copper on "+l.Layer, l.Ohms, addsFor(0.1*l.Ohms, "10 % less thickness"))
	}
	row("plated holes", s.Holes, addsFor(0.1*s.Plating, "10 % less plating"))
	for _, t := range s.Parts {
		row(t.Part, t.Ohms, fmt.Sprintf("known within a factor of %.3g", t.Factor))
	}
	table(p, "", "where|>ohms|>share|that is", rows, all, asIs)
	p.Line("a kelvin in all copper adds %s", perKelvin(s.PerKelvin))
	for _, spot := range s.Spots {
		p.Line("a kelvin within %.3g mm of %s adds %s", spot.Radius, spot.Place, perKelvin(spot.PerKelvin))
	}
}

// leastShare is the share of a resistance from which a part has a row.
const leastShare = 5e-4

func percent(fraction float64) string { return fmt.Sprintf("%.1f %%", 100*fraction) }

func addsFor(ohms float64, change string) string {
	return fmt.Sprintf("%v more for %s", unit.Resistance(ohms), change)
}

// perKelvin prints ohms per kelvin, down to a hundredth of a microhm.
func perKelvin(ohms float64) string {
	switch {
	case ohms < 1e-12:
		return "nothing: no current runs there"
	case ohms < 1e-8:
		return "less than 0.01 µΩ"
	}
	return unit.Resistance(ohms).String()
}
