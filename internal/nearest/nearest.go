// Package nearest finds the name a person probably meant: for commands,
// flags, the keys of a case file, nets and places alike.
package nearest

import "strings"

// Name gives the candidate with the fewest slips of the finger from name,
// compared without case, and whether it is near enough to be worth naming.
// Among equals the first wins.
func Name(name string, candidates []string) (best string, near bool) {
	const longest = 200 // a name beyond this is no slip
	if len(name) > longest {
		return "", false
	}
	want := []rune(strings.ToLower(name))
	least := 1 << 30
	for _, c := range candidates {
		if len(c) > longest {
			continue
		}
		if d := distance(want, []rune(strings.ToLower(c))); d < least {
			least, best = d, c
		}
	}
	return best, best != "" && least <= max(1, len(want)/3)
}

// distance counts insertions, deletions, changes and swaps of neighbours
// between a and b (optimal string alignment).
func distance(a, b []rune) int {
	var before []int
	last, row := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, make([]int, len(b)+1)
	}
	return last[len(b)]
}
