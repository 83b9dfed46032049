package answer

import (
	"slices"
)

// Move is something worth doing next, reading or not, in one order for all.
type Move struct {
	Kind    string  `json:"kind"`    // as of Next and Test
	Index   int     `json:"index"`   // from 0, in "next" or, if Kind is one of Test's, in "tests"
	Bits    float64 `json:"bits"`    // expected information about the site
	Seconds float64 `json:"seconds"` // bench time
}

// Reads tells whether the move is a reading.
func (m Move) Reads() bool { return m.Kind == "two-wire" || m.Kind == "four-wire" }

// MovesOf puts readings and tests into one list, most information per second
// first.
func MovesOf(next []Next, tests []Test) []Move {
	out := []Move{}
	for i, n := range next {
		out = append(out, Move{n.Kind, i, n.Bits, n.Seconds})
	}
	for i, t := range tests {
		out = append(out, Move{t.Kind, i, t.Bits, t.Seconds})
	}
	slices.SortStableFunc(out, func(a, b Move) int { return ByRate(a.Bits/a.Seconds, b.Bits/b.Seconds) })
	return out
}

// ByRate orders what gives more per second first.
func ByRate(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}
