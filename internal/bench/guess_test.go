package bench

import (
	"context"
	"path/filepath"
	"testing"

	"ohmward/internal/check"
)

// TestGuessedRails: what is taken for ground and supplies has a field of its own, on a
// board whose files name no net, and on no other.
func TestGuessedRails(t *testing.T) {
	boards := filepath.Join(check.Shared(t), "checks", "boards")
	for _, c := range []struct {
		path   string
		ground int
	}{{filepath.Join(check.Root(t), "demo", "board"), 0}, {filepath.Join(boards, "simplefoc-shield"), 1}} {
		a, err := Board(context.Background(), c.path, nil, withStore())
		if err != nil {
			t.Fatal(err)
		}
		count := map[string]int{}
		told := false
		for _, n := range a.Nets {
			count[n.Guess]++
		}
		for _, d := range a.Doubts {
			told = told || d.Code == "no-names"
		}
		if count["ground"] != c.ground || c.ground == 0 && len(count) > 1 || told != (c.ground > 0) {
			t.Errorf("%s: guesses %v, told %v", c.path, count, told)
		}
	}
}
