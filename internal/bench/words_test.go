package bench

import (
	"slices"
	"strings"
	"testing"

	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// TestMovesHaveWords: every advised repair is recorded by a deed that case
// files and the weighing know, and has its own words before, while and after
// it is done.
func TestMovesHaveWords(t *testing.T) {
	if !slices.Equal(record.Deeds, locate.Deeds) {
		t.Errorf("case files know %v, the weighing %v", record.Deeds, locate.Deeds)
	}
	for what, deed := range deedsOf {
		if !slices.Contains(record.Deeds, deed) {
			t.Errorf("%s is recorded as %q, which no case file knows", what, deed)
		}
		if how[deed] == "" || deedWords[deed] == "" {
			t.Errorf("%s: how %q, done %q", what, how[deed], deedWords[deed])
		}
		if said := moveWords(Repair{What: what, Part: "C7"}, nil); strings.HasPrefix(said, what) || !strings.HasSuffix(said, " C7") {
			t.Errorf("%s is said as %q", what, said)
		}
	}
}
