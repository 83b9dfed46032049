package boardread

import (
	"strings"
	"testing"
)

// TestToolSizes: a drill file whose tools have no size takes them from the
// report beside it; without one its holes are missed aloud.
func TestToolSizes(t *testing.T) {
	sizeless := []byte(strings.ReplaceAll(strings.ReplaceAll(string(smallBoard()["b.drl"].Data), "C0.800", ""), "C0.300", ""))
	bare := put(smallBoard(), "b.drl", sizeless)
	report := []byte("Tools used:\n\n Code  Size     used\n T01   0.80mm   2\n T02   12mil    2\n")
	b := mustRead(t, put(bare, "b.drr", report), Options{})
	if len(b.Holes) != 4 || b.Holes[0].Diameter != 800_000 || b.Holes[1].Diameter != 304_800 || hasDoubt(b, "b.drl") {
		t.Errorf("with a report: %v, doubts %v", b.Holes, b.Doubts)
	}
	if b := mustRead(t, bare, Options{}); len(b.Holes) != 0 || !hasDoubt(b, "b.drl", "T1 has no size") {
		t.Errorf("without: %v, doubts %v", b.Holes, b.Doubts)
	}
	if b := mustRead(t, put(bare, "b.txt", []byte("T01 0.8mm\n")), Options{}); len(b.Holes) != 0 || !hasDoubt(b, "T2 has no size") {
		t.Errorf("with a report of one tool only: %v, doubts %v", b.Holes, b.Doubts)
	}
	// Two reports that differ: the one of the drill file's name counts.
	two := put(put(bare, "b.txt", report), "old.txt", []byte("T01 3mm\nT02 4mm\n"))
	if b := mustRead(t, two, Options{}); len(b.Holes) != 4 || b.Holes[0].Diameter != 800_000 {
		t.Errorf("with two reports: %v", b.Holes)
	}
}
