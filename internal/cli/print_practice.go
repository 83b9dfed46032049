package cli

import (
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/unit"
)

func practiceText(p *page, a *answer.Practice) {
	p.Headline("%s", outcome(a))
	truth := bestPlace(a.Truth)
	if a.Best == nil || a.Readings == 0 {
		p.Facts("the truth", truth, "seed", fmt.Sprint(a.Seed))
		return
	}
	p.Facts(
		"the truth", truth,
		"error", fmt.Sprintf("%s, %s the radius of %.1f mm", mm(a.ErrorMM),
			either(a.InsideRadius, "inside", "outside"), a.Best.RadiusMM),
		"the short", fmt.Sprintf("%v; found %v", unit.Resistance(a.Truth.Ohms.Median),
			unit.Resistance(a.Best.Ohms.Median)),
		"verdict", a.Verdict,
		"seed", fmt.Sprint(a.Seed),
	)
}

// outcome is the end of practice in one line.
func outcome(a *answer.Practice) string {
	after := "after " + many(a.Readings, "reading")
	switch {
	case a.Readings == 0:
		return "No reading taken: the short could be anywhere on the list."
	case a.Best == nil:
		return fmt.Sprintf("No place found %s: %s.", after, a.Verdict)
	case a.Verdict != answer.OneShort:
		return fmt.Sprintf("Not to be trusted %s (%s): the best guess is %s.",
			after, a.Verdict, bestPlace(a.Best.Site))
	case a.Best.Probability < even && a.Best.RadiusMass >= 0.9:
		return fmt.Sprintf("Narrowed down %s: nine chances in ten lie within %.1f mm of %s.",
			after, a.Best.RadiusMM, bestPlace(a.Best.Site))
	case a.Best.Probability < even:
		return fmt.Sprintf("Not found %s: the likeliest place (%s) is %s.",
			after, chance(a.Best.Probability), bestPlace(a.Best.Site))
	}
	return fmt.Sprintf("Found %s: %s.", after, bestPlace(a.Best.Site))
}

func practiceRunText(p *page, a *answer.PracticeRun) {
	p.Headline("%s: the truth lies inside the stated radius in %d; median error %s, median %s",
		many(len(a.Units), "unit"), a.Inside, mm(a.MedianErrorMM), many(int(a.MedianReadings+0.5), "reading"))
	var rows [][]string
	for _, u := range a.Units {
		off := "–"
		if u.ErrorMM != nil {
			off = mm(*u.ErrorMM)
		}
		rows = append(rows, []string{fmt.Sprint(u.Seed), strings.Join(u.Nets, " – "), u.Kind, fmt.Sprint(u.Readings),
			minutes(u.Seconds), off, either(u.InsideRadius, "inside", "outside"), u.Verdict})
	}
	p.Table([]string{"unit", "nets", "short", "readings", "minutes", "error", "radius", "verdict"}, rows)
	p.Line("Minutes are the bench time of the readings, as the advice counts it; %s in all.", minutes(a.Seconds))
}

// minutes writes bench time.
func minutes(seconds float64) string { return fmt.Sprintf("%.1f", seconds/60) }

func servedText(p *page, a *answer.PracticeServed) {
	p.Headline("The practice meter answers at %s", a.Address)
	touch := ""
	if len(a.Places) == 2 {
		touch = "the meter is sent SIM:PROBE " + quotedPlaces(a.Places)
	}
	p.Facts("unit", a.Unit, "shorted", strings.Join(a.Nets, " and "), "meter", a.Meter, "tips", "in the air",
		"to touch", touch)
}

// quotedPlaces writes places as the practice meter takes them: one with a comma
// in quotes.
func quotedPlaces(places []string) string {
	var out []string
	for _, name := range places {
		out = append(out, either(strings.Contains(name, ","), `"`+name+`"`, name))
	}
	return strings.Join(out, ",")
}
