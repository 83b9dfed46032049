package cli

import (
	"cmp"
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/unit"
)

func locateText(p *page, a *answer.Location, budget bool) {
	p.Headline("%s", finding(a))
	if a.Points() {
		bestFacts(p, *a.Best)
	}
	fitLines(p, a)
	p.Notes(reachNote(a.Reach))
	if budget {
		budgetTable(p, a.Each)
	}
	siteTable(p, a.Sites, 6, a.Places > len(a.Sites))
	p.Line("elsewhere, not listed: %s", chance(a.Elsewhere))
	moveLines(p, a.Moves, a.Next, a.Tests)
	if a.EnoughWhy != "" && a.Fit.Verdict != answer.NoReading {
		p.Line("%s%s.", either(a.Enough, "Enough read: ", "Read on: "), a.EnoughWhy)
	}
	repairLines(p, a.Repair)
	cautionLines(p, a.Cautions)
	doubtLines(p, a.Doubts)
	if a.Picture != "" {
		p.Heading("Drawn in %s", a.Picture)
	}
	if a.Saved != "" {
		p.Heading("Saved in %s; the next reading: ohmward locate %s --reading FROM,TO=OHMS", a.Saved, a.Saved)
	}
}

// finding is the answer in one line.
func finding(a *answer.Location) string {
	b, f := a.Best, a.Fit
	switch {
	case f.Verdict == answer.NoReading:
		return fmt.Sprintf("No reading yet: the short could be in any of %s.", many(a.Places, "place"))
	case f.Verdict == answer.NotAShort:
		return "These readings are not a short."
	case b == nil && a.Readings == 0:
		return "No place is left: " + f.Note + "."
	case b == nil:
		return "The readings point at no place: " + f.Verdict + "."
	case !a.Points():
		return "Not to be trusted (" + f.Verdict + "): no place on the list explains them."
	case f.Verdict != answer.OneShort:
		return fmt.Sprintf("Not to be trusted (%s): the best guess is %s.", f.Verdict, bestPlace(b.Site))
	case b.Probability < even:
		return fmt.Sprintf("Not found yet: the likeliest place (%s) is %s.",
			chance(b.Probability), bestPlace(b.Site))
	}
	if b.Kind == "part" {
		return fmt.Sprintf("The short is %s (%s).", bestPlace(b.Site), chance(b.Probability))
	}
	return fmt.Sprintf("The short is within %.1f mm of %s.", b.RadiusMM, bestPlace(b.Site))
}

// even is the probability below which a place is not given as the answer.
const even = 0.5

// bestPlace names a site by the pins it lies between and where it is.
func bestPlace(s answer.Site) string {
	at := siteAt(s)
	if s.Kind == "part" {
		at = kindWords(s)
	}
	switch {
	case len(s.Near) >= 2:
		return fmt.Sprintf("%s, between %s and %s", at, s.Near[0], s.Near[1])
	case len(s.Near) == 1:
		return fmt.Sprintf("%s, near %s", at, s.Near[0])
	}
	return at
}

func bestFacts(p *page, b answer.Best) {
	look := kindWords(b.Site) + either(b.Hidden, ", hidden under a part", "") +
		either(b.Covered, ", under solder mask", "")
	p.Facts(
		"this place", chance(b.Probability),
		"radius", fmt.Sprintf("%.1f mm holds %s", b.RadiusMM, chance(b.RadiusMass)),
		"look for", look,
		"the short", fmt.Sprintf("%v (%v to %v)", unit.Resistance(b.Ohms.Median),
			unit.Resistance(b.Ohms.Low), unit.Resistance(b.Ohms.High)),
	)
}

func fitLines(p *page, a *answer.Location) {
	if a.Readings == 0 {
		return
	}
	p.Heading("%s between %s", many(a.Readings, "reading"), strings.Join(a.Nets, " and "))
	p.Line("fit: %s%s", a.Fit.Verdict, either(a.Fit.DoF > 0,
		fmt.Sprintf(" (chi-square %.1f for %d, p %.2g)", a.Fit.Chi2, a.Fit.DoF, a.Fit.P), ""))
	if a.Fit.WorstReading != nil {
		p.Line("reading %d fits worst", *a.Fit.WorstReading+1)
	}
	p.Notes(a.Fit.Note, a.Fit.Neighbour, a.Fit.Changed)
}

// moveLines lists what to do next, readings and tests in one order.
func moveLines(p *page, moves []answer.Move, next []answer.Next, tests []answer.Test) {
	const most = 3 // of readings, and of tests
	if len(moves) == 0 {
		return
	}
	p.Heading("Next, what tells most in its time first")
	reads, others := 0, 0
	for _, m := range moves {
		switch {
		case m.Reads() && reads < most:
			reads++
			p.Line("%d. touch %s", reads+others, readingLine(next[m.Index], reads == 1))
		case !m.Reads() && others < most:
			others++
			p.Line("%d. %s", reads+others, testLine(tests[m.Index]))
		}
	}
}

// readingLine is a reading with what it is good for; what it tells apart is
// mostly the same from reading to reading, so only the first says it.
func readingLine(n answer.Next, first bool) string {
	why := cmp.Or(n.Why, gain(n.Bits))
	if !first {
		why, _, _ = strings.Cut(why, ";")
	}
	return fmt.Sprintf("%s, about %.0f s: %s", reading(n.From, n.To, n.Current, n.Sense), n.Seconds, why)
}

func testLine(t answer.Test) string {
	at := coarse(t.Place)
	what := map[string]string{
		"split": "open " + t.Part, "look": "look at " + cmp.Or(t.Part, at), "warm": "warm " + at,
	}[t.Kind]
	return fmt.Sprintf("%s, about %.0f s: %s; %s", what, t.Seconds, gain(t.Bits), t.Why)
}

// coarse gives a place that a case file takes no finer than a tip finds it.
func coarse(place string) string {
	layer, at, _ := strings.Cut(place, "@")
	var x, y float64
	if n, _ := fmt.Sscanf(at, "%g,%g", &x, &y); n < 2 {
		return place
	}
	return about(layer, x, y)
}

// reading names the places of a reading.
func reading(from, to string, current, sense []string) string {
	if len(current) == 2 && len(sense) == 2 {
		return fmt.Sprintf("four-wire, current %s to %s, volts %s to %s",
			current[0], current[1], sense[0], sense[1])
	}
	return from + " to " + to
}

// gain puts expected information into words.
func gain(bits float64) string {
	switch {
	case bits >= 1.8:
		return "leaves a quarter of the list or less"
	case bits >= 0.8:
		return "halves the list"
	case bits >= 0.4:
		return "drops a third of the list"
	case bits >= 0.1:
		return "helps a little"
	}
	return "tells hardly anything"
}

func repairLines(p *page, repairs []answer.Repair) {
	const most = 5
	lines(p, "Then try, in this order", repairs[:min(most, len(repairs))], func(i int, r answer.Repair) string {
		what := r.What + either(r.Part != "" && r.What == "remove", " "+r.Part, "")
		return fmt.Sprintf("%d. %s, %.0f min, %s that it works: %s",
			i+1, what, r.Minutes, chance(r.Probability), r.Why)
	})
}

// budgetTable sets every reading against the best place, and lists what its
// standard uncertainty is made of.
func budgetTable(p *page, each []answer.ReadingFit) {
	var rows [][]any
	for _, r := range each {
		predicted, off := "left out", ""
		if r.Predicted != nil {
			predicted = unit.Resistance(*r.Predicted).String()
			off = fmt.Sprintf("%+.1f u", (r.Ohms-*r.Predicted)/r.U)
		}
		rows = append(rows, []any{r.Reading + 1, unit.Resistance(r.Ohms), predicted, off, unit.Resistance(r.U), ""})
		for _, c := range r.Budget {
			rows = append(rows, []any{"", "", "", "", unit.Resistance(c.Ohms), c.Name})
		}
	}
	head := ">reading|>measured|>expected there|>off by|>u|made of"
	table(p, "Readings and their standard uncertainty", head, rows, all, asIs)
}
