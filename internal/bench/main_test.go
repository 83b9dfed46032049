package bench

import (
	"os"
	"testing"

	"ohmward/internal/cache"
	"ohmward/internal/check"
	"ohmward/internal/engine"
)

// shared is a store for all tests that only need a board solved: each question
// is computed once. TestKeptAnswers shows that answers are the same without.
var shared *cache.Store

func TestMain(m *testing.M) {
	os.Exit(check.RunIn(m, func(dir string) { shared = cache.In(dir, "bench", 4<<30) }))
}

// withStore are the options that share what is solved.
func withStore() engine.Options { return engine.Options{Cache: shared} }
