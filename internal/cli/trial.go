package cli

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
)

// trialFlags are what trial alone asks for.
type trialFlags struct {
	faults         int
	kind, offModel string
	each           bool
}

func trialCommand() *command {
	return &command{
		name: "trial", operands: []string{"BOARD"},
		purpose: "how well invented shorts on this board would be found",
		about: boardOperand + `
Shorts are hidden where the two nets could touch, each on a unit with copper
of its own and a simulated meter, and the program looks for every one of them
as locate would, beside the lowest-reading method and the bound that no method
beats. Four-wire readings are of 0.5 A and 2 µV, differenced.
--off-model departs from what the program assumes: noise (five times the
stated), shell (an unmarked metal body bridges), copper (outer layers of
50 µm), slip (one tip on the neighbouring place), unsteady (the short's
resistance changes from touch to touch), unlisted (a place on no list).`,
		flags: withCommon(
			&option{"nets", "A,B", "the two nets, as +3V3,GND", setNets},
			&option{"faults", "N", "how many faults (default 200)", setFaults},
			&option{"seed", "N", "which faults: the same number, the same faults\n(default 0)", setSeed},
			&option{"meter", "PROFILE", "the simulated meter (default bench-6.5-digit)", text(func(s *settings) *string { return &s.meter })},
			&option{"kind", "two-wire|four-wire", "of the readings (default two-wire)", text(func(s *settings) *string { return &s.trial.kind })},
			&option{"off-model", "NAME", "depart from the model: see above", text(func(s *settings) *string { return &s.trial.offModel })},
			&option{"picture", "FILE", "draw how often answers were right against how\nsure they were, as a .png or .svg", text(func(s *settings) *string { return &s.picture })},
			&option{"each", "", "list every fault", func(s *settings, _ string) error { s.trial.each = true; return nil }},
		),
		example: `ohmward trial demo --nets +3V3,NRST --faults 12 --seed 1
Half of 12 shorts between +3V3 and NRST are found within …
…
How far it can be believed
…`,
		run: runTrial,
	}
}

func setFaults(s *settings, v string) error {
	n, err := strconv.Atoi(v)
	if err != nil || n < 1 {
		return misuse("", "%q is not a whole number of 1 or more", v)
	}
	s.trial.faults = n
	return nil
}

func runTrial(ctx context.Context, k *call) error {
	if len(k.set.nets) != 2 {
		return misuse("as --nets +3V3,GND", "trial needs --nets: the two nets to hide shorts between")
	}
	if err := pictureName(k.set.picture); err != nil {
		return err
	}
	a, err := work(k, func(o bench.Options) (*answer.Trial, error) {
		return bench.Trial(ctx, k.operands[0], bench.TrialOptions{
			Options: o, Nets: k.set.nets, Faults: k.set.trial.faults, Seed: k.set.seed, Meter: k.set.meter,
			Kind: k.set.trial.kind, OffModel: k.set.trial.offModel, Each: k.set.trial.each, Picture: k.set.picture,
		})
	})
	if !usable(err) {
		return err
	}
	if failed := k.print(a, func(p *page) { trialText(p, a) }); failed != nil {
		return failed
	}
	return err
}

func trialText(p *page, a *answer.Trial) {
	p.Headline("Half of %d shorts between %s and %s are found within %s, nine in ten within %s, by %.0f %s readings in the median.",
		a.Faults, a.Nets[0], a.Nets[1], mm(a.Error.Median), mm(a.Error.P90), a.Readings.Median, a.Kind)
	p.Heading("%s", trialTitle(a))
	p.Table([]string{"", ">median", ">9 in 10"}, [][]string{
		{"readings", fmt.Sprintf("%.0f", a.Readings.Median), fmt.Sprintf("%.0f", a.Readings.P90)},
		{"error", mm(a.Error.Median), mm(a.Error.P90)},
		{"lowest-reading method", mm(a.Lowest.Error.Median), mm(a.Lowest.Error.P90)},
		{fmt.Sprintf("error, the %d faults in rows", a.Bound.Faults), mm(a.Bound.There.Median), mm(a.Bound.There.P90)},
		{"the bound on those", mm(a.Bound.Error.Median), mm(a.Bound.Error.P90)},
	})
	p.Heading("How far it can be believed")
	p.Facts(
		"true place first", fmt.Sprintf("%.1f %% of the faults; among the first three %.1f %%", 100*a.Rank1, 100*a.Rank3),
		"inside the radius", fmt.Sprintf("%d, claimed %.1f, allowed ±%.1f: %s", a.Coverage.Hits, a.Coverage.Claimed, a.Coverage.Allowed, fair(a.Coverage.Fair)),
		"above 99 %", fmt.Sprintf("%d answers, %d wrong, allowed %.1f: %s", a.Surest.Answers, a.Surest.Wrong, a.Surest.Allowed, fair(a.Surest.Fair)),
		"wrong above 90 %", fmt.Sprintf("%d (%.1f %%)", a.Wrong.Count, 100*a.Wrong.Fraction),
		"at no listed place", fmt.Sprintf("%d of the faults", a.Unlisted),
		"verdicts", verdictCounts(a.Verdicts),
		"least readings", fmt.Sprintf("%.1f, by information", a.Bound.Readings),
	)
	if note := reachNote(a.Reach); note != "" {
		p.Heading("What this meter can do here")
		p.Line("%s", note)
	}
	if len(a.Each) > 0 {
		eachTable(p, a.Each)
	}
	doubtLines(p, a.Doubts)
	if a.Picture != "" {
		p.Heading("Drawn in %s", a.Picture)
	}
}

func trialTitle(a *answer.Trial) string {
	title := fmt.Sprintf("%s, %s, %d suspect samples, seed %d", a.Meter, a.Kind, a.Suspects, a.Seed)
	if a.OffModel != "" {
		title += ", off the model: " + a.OffModel
	}
	return title
}

// mm prints a distance as fine as it means anything.
func mm(v float64) string { return fmt.Sprintf("%.2f mm", v) }

func fair(ok bool) string {
	if ok {
		return "calibrated"
	}
	return "NOT calibrated"
}

func verdictCounts(counts map[string]int) string {
	var out []string
	for _, v := range slices.Sorted(maps.Keys(counts)) {
		out = append(out, fmt.Sprintf("%s %d", v, counts[v]))
	}
	return strings.Join(out, ", ")
}

func eachTable(p *page, list []answer.TrialFault) {
	p.Heading("Every fault")
	var rows [][]string
	for _, f := range list {
		bound := "-"
		if f.BoundMM != nil {
			bound = mm(*f.BoundMM)
		}
		inside := "outside"
		if f.InsideRadius {
			inside = "inside"
		}
		rows = append(rows, []string{fmt.Sprint(f.N), kindWords(f.Truth), siteAt(f.Truth), mm(f.ErrorMM), inside,
			fmt.Sprint(f.Rank), fmt.Sprint(f.Readings), bound, f.Verdict})
	}
	p.Table([]string{">n", "what", "where", ">error", "radius", ">rank", ">read", ">bound", "verdict"}, rows)
}
