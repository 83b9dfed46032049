package boardread

import (
	"fmt"
	"testing"

	"ohmward/internal/board"
)

// TestOuterFirst: what is drawn early is painted first.
func TestOuterFirst(t *testing.T) {
	for n, want := range []string{"[]", "[0]", "[0 1]", "[0 2 1]", "[0 3 1 2]"} {
		if got := fmt.Sprint(outerFirst(n)); got != want {
			t.Errorf("%d layers in the order %s, want %s", n, got, want)
		}
	}
}

// TestEarly: who listens is handed the outline before anything is painted, then the top
// and no bottom without it, each time a board of its own; the board read is the same.
func TestEarly(t *testing.T) {
	var got []*board.Board
	b := mustRead(t, smallBoard(), Options{Early: func(b *board.Board) { got = append(got, b) }})
	if len(got) < 2 || len(got) > 3 {
		t.Fatalf("handed %d boards", len(got))
	}
	for i, e := range got {
		if e == b || e.Outline.Area() != b.Outline.Area() || len(e.Layers) != 2 || e.Layers[1].Name != "L2" {
			t.Errorf("board %d: outline %g of %g, layers %v", i, e.Outline.Area(), b.Outline.Area(), e.Layers)
		}
		if len(e.Pads)+len(e.Holes)+len(e.Parts)+len(e.Labels) > 0 {
			t.Errorf("board %d tells more than copper", i)
		}
		if has := len(e.Layers[0].Copper) > 0; has != (i > 0) {
			t.Errorf("board %d: top copper %v", i, has)
		}
	}
	last := got[len(got)-1]
	for l := range last.Layers {
		if was, is := b.Layers[l].Copper.Area(), last.Layers[l].Copper.Area(); is != was {
			t.Errorf("layer %d: %g of copper, as read %g", l+1, is, was)
		}
	}
	quiet := mustRead(t, smallBoard(), Options{})
	if len(quiet.Pads) != len(b.Pads) || len(quiet.Doubts) != len(b.Doubts) {
		t.Error("the board differs where somebody listens")
	}
}
