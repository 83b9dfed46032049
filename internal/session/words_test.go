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
