package conduct

import "testing"

// few is how many cases a test takes: some of them with -short, all otherwise.
func few[N int | uint64](some, all N) N {
	if testing.Short() {
		return some
	}
	return all
}

// first is the cases that a test takes of its table.
func first[T any](some int, table []T) []T { return table[:few(some, len(table))] }

// onlyInFull leaves a test out of -short: what it takes, it takes for a claim
// that fewer cases do not show.
func onlyInFull(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes long: left out of -short")
	}
}
