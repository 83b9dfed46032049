package cli

import (
	"context"
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"
)

func resistanceCommand() *command {
	return &command{
		name: "resistance", operands: []string{"BOARD"},
		purpose: "predicted copper resistance between two places on one net",
		about: boardOperand + `
A place is a pin, as C7.1, or a layer with millimetres in the files' own frame,
as L1@12.30,45.60. The two figures beside the answer bracket the program's own
numerical error. With --pairs, many pairs are answered at once. Between two nets
that parts of a few ohms join, the parts are taken along and named.`,
		flags: withCommon(
			&option{"from", "PLACE", "one place", text(func(s *settings) *string { return &s.from })},
			&option{"to", "PLACE", "the other", text(func(s *settings) *string { return &s.to })},
			&option{"accuracy", "0.3%", "refine until the bracket is within this\n(default 0.3%; smaller takes longer)", setAccuracy},
			&option{"pairs", "FILE", "a JSON array of {\"from\": PLACE, \"to\": PLACE}",
				text(func(s *settings) *string { return &s.pairs })},
			&option{"sensitivity", "", "what it is made of: each layer, the holes, each\nlow-ohm part, and what a kelvin adds",
				func(s *settings, _ string) error { s.Parts = true; return nil }},
			&option{"warm", "PLACE", "what a kelvin in a spot there adds (with\n--sensitivity); repeatable", addWarm},
			&option{"warm-radius", "2.5mm", "of that spot, through all layers (default 2.5mm)", setWarmRadius}),
		example: `ohmward resistance demo --from C5.1 --to R4.1
42.3 mΩ
  net      +3V3
  from     C5.1 (L1@24.40,22.85)
  to       R4.1 (L1@38.80,31.65)
  bracket  42.1 mΩ to 42.4 mΩ (± 0.3 %)`,
		run: runResistance,
	}
}

func runResistance(ctx context.Context, k *call) error {
	pairs, err := k.askedPairs()
	if err != nil {
		return err
	}
	a, err := work(k, func(o bench.Options) (*answer.Resistances, error) {
		return bench.Resistance(ctx, k.operands[0], pairs, o)
	})
	if !usable(err) {
		return err
	}
	if k.set.pairs == "" {
		return k.printOne(a.Single(), err)
	}
	if failed := k.print(a, func(p *page) { resistanceTable(p, a) }); failed != nil {
		return failed
	}
	if unanswered := countErrors(a.Results); err == nil && unanswered > 0 {
		err = &answer.Error{Kind: answer.Doubtful, What: many(unanswered, "pair") + " could not be answered: see \"error\" in the results"}
	}
	return err
}

// askedPairs gives the pairs of --from and --to or of --pairs.
func (k *call) askedPairs() ([]answer.Pair, error) {
	s := k.set
	switch {
	case s.pairs != "" && (s.from != "" || s.to != ""):
		return nil, misuse(k.command.usageHint(), "--pairs stands alone, without --from and --to")
	case s.pairs != "":
		var pairs []answer.Pair
		return pairs, readJSON("pairs", s.pairs, &pairs)
	case s.from == "" || s.to == "":
		return nil, misuse(k.command.usageHint(), "name two places: --from PLACE and --to PLACE")
	}
	return []answer.Pair{{From: s.from, To: s.to}}, nil
}

func (k *call) printOne(a *answer.Resistance, err error) error {
	if a.Error != "" {
		return &answer.Error{Kind: answer.Bad, What: a.Error}
	}
	if failed := k.print(a, func(p *page) { resistanceText(p, a) }); failed != nil {
		return failed
	}
	return err
}

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
	rows := make([][]string, len(a.Results))
	for i, r := range a.Results {
		answer := ohms(r.Ohms)
		if r.Error != "" {
			answer = r.Error
		}
		rows[i] = []string{named(r.From), named(r.To), r.Net, answer}
	}
	p.Table([]string{"from", "to", "net", "resistance"}, rows)
	for _, r := range a.Results {
		if r.Sensitivity != nil {
			p.Heading("%s to %s: %s", named(r.From), named(r.To), ohms(r.Ohms))
			sensitivityRows(p, r.Sensitivity, *r.Ohms)
		}
	}
	doubtLines(p, a.Doubts)
}

func countErrors(rs []answer.Resistor) (n int) {
	for _, r := range rs {
		if r.Error != "" {
			n++
		}
	}
	return n
}

// named prints a place by its pin and where it is.
func named(p *answer.Place) string {
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
