package trial

import (
	"math"
	"testing"
)

// REFERENCES D3 (Newcombe 1998, Table I method 3): Wilson's intervals.
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		k, n      int
		low, high float64
	}{{81, 263, .2553, .3662}, {15, 148, .0624, .1605}, {0, 20, 0, .1611}, {1, 29, .0061, .1718}} {
		low, high := wilson(c.k, c.n)
		if math.Abs(low-c.low) > 5e-5 || math.Abs(high-c.high) > 5e-5 {
			t.Errorf("%d of %d: %.4f to %.4f, want %.4f to %.4f", c.k, c.n, low, high, c.low, c.high)
		}
	}
}

// TestShares: lots of one size, least sure first, each with its own count.
func TestShares(t *testing.T) {
	var runs []Search
	for i := range 60 {
		runs = append(runs, Search{p: 1 - float64(i)/60, right: i < 30})
	}
	lots := sharesOf(runs)
	if len(lots) != 4 || lots[0].Answers != 15 || lots[0].Right != 0 || lots[3].Right != 1 || !(lots[0].Claimed < lots[1].Claimed) {
		t.Errorf("%+v", lots)
	}
}
