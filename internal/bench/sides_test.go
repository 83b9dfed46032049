package bench

import (
	"strings"
	"testing"

	"ohmward/internal/board"
	"ohmward/internal/picture"
)

// TestOneSideAlone: a picture of one side draws no place of the other, and its
// caption says how likely it is that the short lies there.
func TestOneSideAlone(t *testing.T) {
	w, post, a := opened(t, "nets = ['+3V3', 'GND']\n")
	count := map[board.Side]int{}
	for i, p := range post.P[:len(w.Listed())] {
		if p > 0 {
			count[sideOf(w, w.Sites[i].LayerA)]++
		}
	}
	if count[board.Top] == 0 || count[board.Bottom] == 0 {
		t.Fatalf("the demo has places on %v alone", count)
	}
	for _, side := range []board.Side{board.Top, board.Bottom} {
		s := sideScene(w, post, nil, side, true, false)
		if want := count[side] + count[either]; len(s.Density) != want {
			t.Errorf("side %d draws %d places, not its %d", side, len(s.Density), want)
		}
		if text := behind(w, post, side); !strings.Contains(text, boardSide(board.Top+board.Bottom-side)) {
			t.Errorf("of what lies behind side %d it says %q", side, text)
		}
	}
	if s := Scene(w, post, a); s.Other == nil && !strings.Contains(s.Caption, "not drawn") {
		t.Errorf("caption %q", s.Caption)
	}
}

// TestLeadsByNet: of readings taken, too, a place has the lead of its net, whichever
// of the two was named first.
func TestLeadsByNet(t *testing.T) {
	for _, ends := range [][2]string{{"C5.1", "C23.1"}, {"C23.1", "C5.1"}} {
		w, _, a := opened(t, "nets = ['+3V3', 'NRST']\n[[reading]]\nfrom = '"+ends[0]+"'\nto = '"+ends[1]+
			"'\nohms = 0.02\n")
		taken := 0
		for _, m := range marksOf(w, a) {
			spot, err := w.Resolve(m.pin)
			if err != nil {
				t.Fatal(err)
			}
			if want := picture.Lead(w.GroupOfNet(spot.Net)); m.Lead != want {
				t.Errorf("%v: %s, to be touched next: %v, has lead %d, not %d", ends, m.pin, m.next, m.Lead, want)
			}
			if !m.next {
				taken++
			}
		}
		if taken != 2 {
			t.Errorf("%d places were taken", taken)
		}
	}
}
