package session

import (
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// TestMovesHaveWords: every advised repair is recorded by an action that case
// files and the weighing know, and has its own words before, while and after
// it is done.
func TestMovesHaveWords(t *testing.T) {
	if !slices.Equal(record.Actions, locate.Actions) {
		t.Errorf("case files know %v, the weighing %v", record.Actions, locate.Actions)
	}
	for what, deed := range actionOf {
		if !slices.Contains(record.Actions, deed) {
			t.Errorf("%s is recorded as %q, which no case file knows", what, deed)
		}
		if how[deed] == "" || actionWords[deed] == "" {
			t.Errorf("%s: how %q, done %q", what, how[deed], actionWords[deed])
		}
		if said := moveWords(answer.Repair{What: what, Part: "C7"}, nil); strings.HasPrefix(said, what) || !strings.HasSuffix(said, " C7") {
			t.Errorf("%s is said as %q", what, said)
		}
	}
}

// TestFindingWords: a finding reads as what was done, where, and what came of
// it.
func TestFindingWords(t *testing.T) {
	for _, c := range []struct {
		f    record.Finding
		spot string
		want string
	}{
		{record.Finding{Part: "R22", Done: "removed", Short: "cleared"}, "", "R22 taken off: the short is cleared"},
		{record.Finding{Place: "L1@2.0,3.0", Done: "cleaned", Short: "remains"}, "between C7.1 and C7.2", "cleaned between C7.1 and C7.2: the short remains"},
		{record.Finding{Place: "L1@2.0,3.0", Done: "cleaned", Short: "open"}, "", "L1@2.0,3.0 cleaned: seen open"},
		{record.Finding{Place: "L1@2.0,3.0", Done: "looked", Seen: "nothing"}, "at 2.0, 3.0 mm", "looked at 2.0, 3.0 mm: nothing seen"},
		{record.Finding{Part: "C7", Done: "looked", Seen: "bridge"}, "", "looked at C7: bridge seen"},
		{record.Finding{Part: "FB1", Done: "split"}, "", "FB1 lifted at one end"},
	} {
		if got := findingWords(c.f, c.spot); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestRowsToldApart: places of the same words that one look takes in are one row,
// with their chances together; others are told apart by side, or by where they
// lie; and so are moves.
func TestRowsToldApart(t *testing.T) {
	at := func(layer string, x, p float64) answer.Site {
		return answer.Site{Kind: "gap", Near: []string{"C7.1", "C7.2"}, Layer: layer, X: x, X2: x, Y: 5, Y2: 5, Probability: p}
	}
	for _, c := range []struct {
		sites []answer.Site
		want  []string
	}{
		{[]answer.Site{at("L1", 1, 0.5), at("L1", 2, 0.3)}, []string{"between C7.1 and C7.2: 8 in 10"}},
		{[]answer.Site{at("L1", 1, 0.5), at("L2", 1, 0.3)},
			[]string{"between C7.1 and C7.2, on the top: 5 in 10", "between C7.1 and C7.2, on the bottom: 3 in 10"}},
		{[]answer.Site{at("L1", 1, 0.5), at("L1", 9, 0.3)},
			[]string{"between C7.1 and C7.2, the left one: 5 in 10", "between C7.1 and C7.2, the right one: 3 in 10"}},
		{[]answer.Site{at("L1", 1, 0.5), at("L1", 9, 0.2), at("L1", 19, 0.1)},
			[]string{"between C7.1 and C7.2, at 1.0, 5.0 mm: 5 in 10", "between C7.1 and C7.2, at 9.0, 5.0 mm: 2 in 10",
				"between C7.1 and C7.2, at 19.0, 5.0 mm: 1 in 10"}},
	} {
		var got []string
		for _, r := range rowsOf(c.sites, 6, "L2", 0) {
			got = append(got, r.Words+": "+r.Chance)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("rows %q, want %q", got, c.want)
		}
	}
	moves := []answer.Repair{{What: "clean and look", Site: 1}, {What: "clean and look", Site: 2}, {What: "remove", Part: "C7"}}
	got := distinctMoves(moves, []answer.Site{at("L1", 1, 0.5), at("L1", 9, 0.3)}, "L2", 0)
	want := []string{"Clean and look between C7.1 and C7.2, the left one", "Clean and look between C7.1 and C7.2, the right one", "Take off C7"}
	if !slices.Equal(got, want) {
		t.Errorf("moves %q, want %q", got, want)
	}
}

// TestChancesOfSomething: a chance says what it is the chance of, and a short
// inside a part has no millimetres.
func TestChancesOfSomething(t *testing.T) {
	best := answer.Best{Site: answer.Site{Kind: "gap", Probability: 0.04}, RadiusMM: 17.31, RadiusMass: 0.9}
	if r, c := bestChance(&best); r != "within 17 mm" || c != "9 in 10 that it lies within 17 mm; this gap alone 1 in 25" {
		t.Errorf("%q, %q", r, c)
	}
	best.Site = answer.Site{Kind: "part", Part: "U2", Probability: 0.33}
	if r, c := bestChance(&best); r != "" || c != "3 in 10 that it is inside U2" {
		t.Errorf("%q, %q", r, c)
	}
	for p, want := range map[float64]string{0.8: "works 8 times in 10", 0.08: "works 1 time in 10", 0.99: "almost certain to work", 0: "hardly likely to work"} {
		if got := worksWords(p); got != want {
			t.Errorf("%g: %q, want %q", p, got, want)
		}
	}
}
