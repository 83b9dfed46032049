package session

import (
	"os"
	"testing"

	"ohmward/internal/cache"
	"ohmward/internal/check"
)

// shared is a store for all tests: each board is solved once.
var shared *cache.Store

func TestMain(m *testing.M) {
	os.Exit(check.RunIn(m, func(dir string) { shared = cache.In(dir, "session", 4<<30) }))
}
