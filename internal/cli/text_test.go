package cli

import (
	"bytes"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"ohmward/internal/answer"
	"ohmward/internal/check"
)

// located is an answer with everything in it.
func located() *answer.Location {
	worst := 2
	best := answer.Site{Rank: 1, Probability: 0.92, Kind: "gap", Layer: "L1",
		X: 36.2, Y: 24.1, X2: 36.2, Y2: 24.22, Gap: 0.12, Extent: 1.4, Near: []string{"C7.1", "C7.2", "U3.5"},
		Hidden: true, Covered: true,
		Ohms: answer.Range{Low: 0.0041, Median: 0.0187, High: 0.033}}
	second := answer.Site{Rank: 2, Probability: 0.0041, Kind: "part", Layer: "L1", X: 30, Y: 20, X2: 31, Y2: 20,
		Near: []string{"C9.1", "C9.2"}, Part: "C9", Ohms: answer.Range{Low: 0.01, Median: 0.02, High: 0.03}}
	a := &answer.Location{
		Header: answer.NewHeader(), Places: 2, Board: "demo", Nets: []string{"+3V3", "GND"}, Readings: 5,
		Sites: []answer.Site{best, second}, Elsewhere: 0.031,
		Best: &answer.Best{Site: best, RadiusMM: 0.8, RadiusMass: 0.912},
		Fit:  answer.Fit{Verdict: answer.OneShort, Chi2: 3.12, DoF: 4, P: 0.54, WorstReading: &worst},
		Next: []answer.Next{
			{Kind: "two-wire", From: "C9.1", To: "C10.2", Bits: 1.02, Seconds: 15, Why: "halves the list"},
			{Kind: "four-wire", Current: []string{"U3.5", "J1.1"}, Sense: []string{"C9.1", "C12.1"},
				Bits: 0.5, Seconds: 120},
		},
		Tests: []answer.Test{
			{Kind: "look", Place: "L1@36.200,24.100", Bits: 0.31, Seconds: 60, Why: "C7.1 and C7.2 holds 92 %"},
			{Kind: "split", Part: "FB2", Bits: 0.3, Seconds: 240,
				Why: "lift one end of FB2: 40 % of the probability lies beyond it"},
		},
		Repair: []answer.Repair{{What: "clean and look at C7 with a loupe, light from the side",
			Probability: 0.92, Minutes: 2, Why: "Cheap and harmless."}},
		Reach: &answer.Reach{TwoWireMM: 2, Note: "Two-wire readings with this meter come within 2 mm here."},
		Cautions: []string{
			"Unplug everything and unscrew the board.",
			"Read d.c. volts on both nets first: a millivolt left there fakes an ohm at 1 mA.",
		},
		Doubts:  []answer.Doubt{{File: "top.gbr", Line: 12, What: "net name differs from the netlist's"}},
		Picture: "where.png",
	}
	a.Moves = answer.MovesOf(a.Next, a.Tests)
	return a
}

func shown(colour bool, words func(*page)) string {
	var out bytes.Buffer
	words(&page{out: &out, colour: colour, columns: mostColumns})
	return out.String()
}

func TestLocateText(t *testing.T) {
	text := shown(false, func(p *page) { locateText(p, located(), false) })
	check.Golden(t, filepath.Join("testdata", "locate.txt"), []byte(text))
	for _, line := range strings.Split(text, "\n") {
		if n := utf8.RuneCountInString(line); n > mostColumns {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

// TestFinding: what is not to be trusted is not said as if it were.
func TestFinding(t *testing.T) {
	a := located()
	const place = "L1@36.2,24.2, between C7.1 and C7.2."
	for verdict, want := range map[string]string{
		answer.OneShort:    "The short is within 0.8 mm of " + place,
		answer.Disagree:    "Not to be trusted (readings disagree): the best guess is " + place,
		answer.NotAShort:   "These readings are not a short.",
		answer.MoreThanOne: "Not to be trusted (more than one): the best guess is " + place,
	} {
		a.Fit.Verdict = verdict
		if got := finding(a); got != want {
			t.Errorf("%s:\n got %s\nwant %s", verdict, got, want)
		}
	}
	for _, verdict := range []string{answer.Disagree, answer.MoreThanOne, answer.Intermittent} {
		b := located()
		b.Best.Probability, b.Fit.Verdict = 0.0003, verdict
		text := shown(false, func(p *page) { locateText(p, b, false) })
		if strings.Contains(text, "best guess") || strings.Contains(text, "this place") ||
			!strings.HasPrefix(text, "Not to be trusted ("+verdict+"): no place on the list explains them.") {
			t.Errorf("a place of 0.03 %% is named: %s", text)
		}
	}
	a.Best, a.Fit.Verdict, a.Fit.Note = nil, answer.Disagree, "the findings exclude every listed place"
	if got := finding(a); got != "The readings point at no place: readings disagree." {
		t.Errorf("without a best place: %s", got)
	}
	a.Readings = 0
	if got := finding(a); got != "No place is left: the findings exclude every listed place." {
		t.Errorf("with findings alone: %s", got)
	}
}

// TestCaps: a list that is cut off is not told as the whole count.
func TestCaps(t *testing.T) {
	sites := slices.Repeat(located().Sites, 100)
	const cap200 = "the list is of the likeliest 200: the others are left out"
	a := located()
	a.Sites, a.Places = sites, 731
	if text := shown(false, func(p *page) { locateText(p, a, false) }); !strings.Contains(text, cap200) {
		t.Error(text)
	}
	a.Fit.Verdict = answer.NoReading
	if got := finding(a); got != "No reading yet: the short could be in any of 731 places." {
		t.Error(got)
	}
	for _, capped := range []bool{false, true} {
		text := shown(false, func(p *page) { suspectsText(p, &answer.Suspects{Sites: sites, Capped: capped}) })
		if strings.HasPrefix(text, "The likeliest 200 places where") != capped || strings.Contains(text, cap200) != capped {
			t.Errorf("capped %v: %s", capped, text)
		}
	}
}

// TestNoFinerThanATip: no place that was worked out is told finer than 0.1 mm,
// and what is inside a part has no millimetres at all.
func TestNoFinerThanATip(t *testing.T) {
	tooFine := regexp.MustCompile(`@-?\d+\.\d\d|\b(within|error|radius|holds)\b[^;\n]*\d\.\d\d+ mm`)
	part := located()
	part.Best.Site = part.Sites[1]
	part.Best.Probability = 0.6
	trial := &answer.Trial{Faults: 3, Nets: []string{"A", "B"}, Error: answer.Spread{Median: 0.034, P90: 0.0001},
		Each: []answer.TrialFault{{Truth: part.Sites[0], ErrorMM: 0.012}, {Truth: part.Sites[1], ErrorMM: 7.128}}}
	done := &answer.Practice{Truth: part.Sites[0], Best: part.Best, Readings: 3, ErrorMM: 0.0123,
		Verdict: answer.OneShort}
	texts := map[string]string{
		"gap":      shown(false, func(p *page) { locateText(p, located(), true) }),
		"part":     shown(false, func(p *page) { locateText(p, part, true) }),
		"suspects": shown(false, func(p *page) { suspectsText(p, &answer.Suspects{Sites: part.Sites}) }),
		"trial":    shown(false, func(p *page) { trialText(p, trial) }),
		"practice": shown(false, func(p *page) { practiceText(p, done) }),
	}
	inside := regexp.MustCompile(`inside C9.*(mm|@)`)
	for name, text := range texts {
		if fine := tooFine.FindAllString(text, -1); len(fine) > 0 {
			t.Errorf("%s: %q in\n%s", name, fine, text)
		}
		if bad := inside.FindAllString(text, -1); len(bad) > 0 && name != "trial" {
			t.Errorf("%s: %q", name, bad)
		}
	}
	want := "The short is inside C9, between C9.1 and C9.2 (60 %)."
	if got := finding(part); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if got := coarse("L2@-1.234,5.678") + " " + coarse("C7.1"); got != "L2@-1.2,5.7 C7.1" {
		t.Errorf("coarse: %s", got)
	}
}

// TestBeforeAnyReading: with no reading that counts, taken ones or none, the
// text finds nothing and holds no radius.
func TestBeforeAnyReading(t *testing.T) {
	for _, taken := range []int{0, 2} {
		a := located()
		a.Readings, a.Repair = taken, nil
		a.Fit = answer.Fit{Verdict: answer.NoReading, P: 1}
		a.EnoughWhy = "nothing is measured yet"
		text := shown(false, func(p *page) { locateText(p, a, false) })
		if !strings.HasPrefix(text, "No reading yet: the short could be in any of 2 places.\n") {
			t.Errorf("%d taken: %s", taken, text)
		}
		for _, claim := range []string{"radius", "this place", "one short", "Read on", "Enough", "nine chances"} {
			if strings.Contains(text, claim) {
				t.Errorf("%d taken: %q in\n%s", taken, claim, text)
			}
		}
	}
}

func TestChance(t *testing.T) {
	for p, want := range map[float64]string{1: ">99 %", 0.994: "99 %", 0.5: "50 %", 0.031: "3.1 %",
		0.0001: "<0.1 %", 0: "<0.1 %"} {
		if got := chance(p); got != want {
			t.Errorf("chance(%g) = %s, want %s", p, got, want)
		}
	}
}

func TestTable(t *testing.T) {
	text := shown(false, func(p *page) {
		p.Table([]string{"net", ">pads"}, [][]string{{"GND", "120"}, {"a\x1b[31mb", "3"},
			{strings.Repeat("x", 100), "1"}})
	})
	for _, line := range strings.Split(text, "\n") {
		if utf8.RuneCountInString(line) > mostColumns {
			t.Errorf("too wide: %s", line)
		}
	}
	if strings.Contains(text, "\x1b") {
		t.Error("an escape from outside reached the terminal")
	}
}

func TestColour(t *testing.T) {
	plain := shown(false, func(p *page) { p.Headline("here") })
	bold := shown(true, func(p *page) { p.Headline("here") })
	if plain != "here\n" || bold != "\x1b[1mhere\x1b[0m\n" {
		t.Errorf("plain %q, bold %q", plain, bold)
	}
}

func TestChosen(t *testing.T) {
	advice := located().Next
	for typed, want := range map[string]answer.Choice{
		"1":         {Kind: "two-wire", From: "C9.1", To: "C10.2"},
		"2":         {Kind: "four-wire", Current: []string{"U3.5", "J1.1"}, Sense: []string{"C9.1", "C12.1"}},
		"C1.1 C2.2": {Kind: "two-wire", From: "C1.1", To: "C2.2"},
		"a b c d":   {Kind: "four-wire", Current: []string{"a", "b"}, Sense: []string{"c", "d"}},
		"done":      {Stop: true},
	} {
		got, err := chosen(strings.Fields(typed), advice)
		same := reading(got.From, got.To, got.Current, got.Sense) ==
			reading(want.From, want.To, want.Current, want.Sense)
		if err != nil || !same || got.Kind != want.Kind || got.Stop != want.Stop {
			t.Errorf("%q: got %+v, %v; want %+v", typed, got, err, want)
		}
	}
	for _, typed := range []string{"", "0", "3", "1x", "a b c"} {
		if got, err := chosen(strings.Fields(typed), advice); err == nil {
			t.Errorf("%q taken as %+v", typed, got)
		}
	}
}
