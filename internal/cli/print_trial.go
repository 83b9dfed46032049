package cli

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ohmward/internal/answer"
)

func trialText(p *page, a *answer.Trial) {
	p.Headline("Half of %d shorts between %s and %s are found within %.1f mm, nine in ten within %.1f mm, "+
		"by %.0f %s readings in the median.",
		a.Faults, a.Nets[0], a.Nets[1], max(finest, a.Error.Median), max(finest, a.Error.P90),
		a.Readings.Median, a.Kind)
	spread := func(what string, s answer.Spread) []any { return []any{what, mm(s.Median), mm(s.P90)} }
	rows := [][]any{
		{"readings", fmt.Sprintf("%.0f", a.Readings.Median), fmt.Sprintf("%.0f", a.Readings.P90), ""},
		append(spread("error", a.Error), mm(a.RMS)),
		append(spread("lowest-reading method", a.Lowest.Error), ""),
	}
	if a.Bound.Faults > 0 { // off the model there is none
		rows = append(rows, append(spread("the bound: no method does better", a.Bound.Error), mm(a.Bound.RMS)))
	}
	table(p, trialTitle(a), "|>median|>9 in 10|>r.m.s.", rows, all, asIs)
	p.Heading("How far it can be believed")
	p.Facts(
		"true place first", fmt.Sprintf("%.1f %% of the faults; among the first three %.1f %%",
			100*a.Rank1, 100*a.Rank3),
		"inside the radius", fmt.Sprintf("%d, claimed %.1f, allowed ±%.1f: %s",
			a.Coverage.Hits, a.Coverage.Claimed, a.Coverage.Allowed, fair(a.Coverage.Fair, a.Coverage.Enough)),
		"above 99 %", fmt.Sprintf("%d answers, %d wrong, allowed %.1f: %s",
			a.Surest.Answers, a.Surest.Wrong, a.Surest.Allowed, fair(a.Surest.Fair, a.Surest.Enough)),
		"wrong above 90 %", fmt.Sprintf("%d (%.1f %%)", a.Wrong.Count, 100*a.Wrong.Fraction),
		"at no listed place", fmt.Sprintf("%d of the faults", a.Unlisted),
		"verdicts", verdictCounts(a.Verdicts),
		"least readings", fmt.Sprintf("%.1f, by information", a.Bound.Readings),
	)
	if note := reachNote(a.Reach); note != "" {
		p.Heading("What this meter can do here")
		p.Line("%s", note)
	}
	eachTable(p, a.Each)
	doubtLines(p, a.Doubts)
	if a.Picture != "" {
		p.Heading("Drawn in %s", a.Picture)
	}
}

func trialTitle(a *answer.Trial) string {
	return fmt.Sprintf("%s, %s, %d suspect samples, seed %d%s", a.Meter, a.Kind, a.Suspects, a.Seed,
		either(a.OffModel != "", ", off the model: "+a.OffModel, ""))
}

// fair says whether answers keep their word, where there are enough to tell.
func fair(ok, enough bool) string {
	if !enough {
		return "too few to tell"
	}
	return either(ok, "calibrated", "NOT calibrated")
}

func verdictCounts(counts map[string]int) string {
	var out []string
	for _, v := range slices.Sorted(maps.Keys(counts)) {
		out = append(out, fmt.Sprintf("%s %d", v, counts[v]))
	}
	return strings.Join(out, ", ")
}

func eachTable(p *page, faults []answer.TrialFault) {
	head := ">n|what|where|>error|radius|>rank|>read|>bound|verdict"
	table(p, "Every fault", head, faults, all, func(f answer.TrialFault) []any {
		bound := "-"
		if f.BoundMM != nil {
			bound = mm(*f.BoundMM)
		}
		return []any{f.N, kindWords(f.Truth), siteAt(f.Truth), mm(f.ErrorMM),
			either(f.InsideRadius, "inside", "outside"), f.Rank, f.Readings, bound, f.Verdict}
	})
}
