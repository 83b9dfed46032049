package check

import (
	"fmt"
	"os"
	"testing"
)

// Claims is the environment variable that lets the long claims run, when it is
// not empty.
const Claims = "OHMWARD_CLAIMS"

// Claim skips a test that takes minutes, unless OHMWARD_CLAIMS is set.
func Claim(t testing.TB) {
	t.Helper()
	if os.Getenv(Claims) == "" {
		t.Skip("a long claim: scripts/claims runs it")
	}
}

// All tells whether OHMWARD_CLAIMS is "all", for what takes minutes more than .ci/run
// has.
func All() bool { return os.Getenv(Claims) == "all" }

// Draws is how many cases a test takes: short under -short, full otherwise,
// and claim where OHMWARD_CLAIMS is set.
func Draws(t testing.TB, short, full, claim int) int {
	t.Helper()
	switch {
	case os.Getenv(Claims) != "":
		return claim
	case testing.Short():
		return short
	}
	return full
}

// RunIn runs the tests of a package that share a folder: prepare is told of it
// before the first, and it is removed after the last. It gives the exit code.
func RunIn(m *testing.M, prepare func(dir string)) int {
	dir, err := os.MkdirTemp("", "ohmward-test-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	prepare(dir)
	return m.Run()
}
