package session

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// within tells whether a focus has a place in its box.
func within(f *answer.Focus, x, y float64) bool {
	const slack = 1e-3
	return f != nil && x >= f.X0-slack && x <= f.X1+slack && y >= f.Y0-slack && y <= f.Y1+slack
}

// TestFocusOnMetal: the question about a metal body shows its part.
func TestFocusOnMetal(t *testing.T) {
	s := newTestShelf(t, t.TempDir())
	id, err := s.begin("metal", &record.Case{Board: record.Demo, Nets: [2]string{"+3V3_RF", "GND"},
		Steps: &record.Steps{}})
	if err != nil {
		t.Fatal(err)
	}
	v := settled(t, openJob(t, s, id))
	if v.Step != stepMetal || v.Focus == nil || v.Focus.What != "part" || v.Focus.Side != topSide ||
		!strings.Contains(v.Card.Head, v.Focus.Part) || v.Focus.X1-v.Focus.X0 < 3 {
		t.Errorf("at %s: %q, focus %+v", v.Step, v.Card.Head, v.Focus)
	}
	if len(v.Named) == 0 || v.Named[0] != v.Focus.Part {
		t.Errorf("named %v", v.Named)
	}
}

// TestFocusFollowsMove: every move on offer is shown where it is made, not where
// the short is likeliest, and so is the one under way.
func TestFocusFollowsMove(t *testing.T) {
	j := readyToRead(t, newTestShelf(t, t.TempDir()), [2]string{"+3V3_RF", "GND"})
	for _, text := range []string{"31m", "48m"} {
		must(t, j, answer.Act{Do: "value", Text: text})
	}
	v := must(t, j, answer.Act{Do: "mend"})
	if v.Step != stepRepair {
		t.Fatalf("at %s", v.Step)
	}
	places := map[answer.Focus]bool{}
	moves := j.moves()
	for n, m := range moves {
		v = must(t, j, answer.Act{Do: "move", N: n})
		if v.Focus == nil {
			t.Fatalf("%s: no place is shown", v.Card.Head)
		}
		places[*v.Focus] = true
		if d := j.findingToCome(m); d.Part != "" {
			if v.Focus.Part != d.Part {
				t.Errorf("%s: shows %+v", v.Card.Head, v.Focus)
			}
			continue
		}
		if s := j.answer.Sites[m.Site-1]; !within(v.Focus, (s.X+s.X2)/2, (s.Y+s.Y2)/2) {
			t.Errorf("%s: shows %+v, lies at %.1f, %.1f", v.Card.Head, v.Focus, s.X, s.Y)
		}
	}
	if len(places) < 2 {
		t.Fatalf("%d moves are all at one place", len(moves))
	}
	is := *must(t, j, answer.Act{Do: "start"}).Focus
	if was := *v.Focus; is != was {
		t.Errorf("begun, it shows %+v, was %+v", is, was)
	}
}

// TestFocusSides: tips on the bottom turn the picture, tips on both sides are
// said to be so, and each tip tells the side that reaches it.
func TestFocusSides(t *testing.T) {
	spot := func(side string) answer.SpotWords { return answer.SpotWords{Side: side} }
	for _, c := range []struct{ red, black, side, says string }{
		{topSide, topSide, topSide, ""}, {bothSides, topSide, topSide, ""}, {bothSides, bothSides, topSide, ""},
		{bottomSide, bothSides, bottomSide, "Turn the board over"},
		{bottomSide, bottomSide, bottomSide, "Turn the"},
		{topSide, bottomSide, topSide, "clip black first, then turn"},
		{bottomSide, topSide, bottomSide, "clip black first, then turn"},
	} {
		if side, says := lies(spot(c.red), spot(c.black)); side != c.side || !strings.Contains(says, c.says) ||
			c.says == "" && says != "" {
			t.Errorf("red %s, black %s: shows the %s, says %q", c.red, c.black, side, says)
		}
	}
	j := readyToRead(t, newTestShelf(t, t.TempDir()), [2]string{"+3V3_RF", "GND"})
	v := settled(t, j)
	if v.Target == nil || v.Target.Red.Side != topSide || v.Focus == nil || v.Focus.Side != topSide {
		t.Fatalf("target %+v, focus %+v", v.Target, v.Focus)
	}
	if !within(v.Focus, v.Target.Red.X, v.Target.Red.Y) || !within(v.Focus, v.Target.Black.X, v.Target.Black.Y) {
		t.Errorf("tips %+v out of %+v", v.Target, v.Focus)
	}
	v = must(t, j, answer.Act{Do: "aim", Place: bottomOf(t, j, "GND")})
	if v.Target.Black.Side != bottomSide || v.Focus.Side != topSide ||
		!strings.Contains(v.Target.Turn, "turn the board over") {
		t.Errorf("black on the bottom: %+v, focus %+v", v.Target, v.Focus)
	}
}

// bottomOf is a place on a net's copper that only the bottom shows.
func bottomOf(t *testing.T, j *Session, net string) string {
	t.Helper()
	i, err := j.board.Nets.ByName(net)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range j.board.Nets.Nets[i].Pieces {
		if p.Layer != len(j.board.Layout.Layers)-1 {
			continue
		}
		for _, at := range []string{"L2@20,20", "L2@30,25", "L2@41,11", "L2@12,30"} {
			if s, err := j.pair.Resolve(at); err == nil && s.Net == i {
				return at
			}
		}
	}
	t.Fatalf("%s has no copper there on the bottom", net)
	return ""
}

// TestRotate: the picture is turned by quarters and stays so in the case file;
// what was aimed at stays, and the words tell directions as they are seen.
func TestRotate(t *testing.T) {
	s := newTestShelf(t, t.TempDir())
	j := readyToRead(t, s, [2]string{"+3V3_RF", "GND"})
	was := must(t, j, answer.Act{Do: "aim", N: 1})
	v := must(t, j, answer.Act{Do: "rotate", N: 1})
	if v.Turns != 1 || v.Target == nil || v.Target.Red.Place != was.Target.Red.Place || v.Target.Advised {
		t.Errorf("turned by %d, target %+v, was %+v", v.Turns, v.Target, was.Target)
	}
	text, err := os.ReadFile(filepath.Join(s.Dir(), "cases", v.ID, "case.toml"))
	if err != nil || !strings.Contains(string(text), "quarter_turns = 1") {
		t.Errorf("the case file has %s, %v", text, err)
	}
	readsBack(t, j, answer.Act{Do: "rotate"})
	for _, n := range []int{-1, 4} {
		if err := j.Do(answer.Act{Do: "rotate", N: n, Revision: v.Revision}); err == nil {
			t.Errorf("turned by %d quarters", n)
		}
	}
	if v = must(t, j, answer.Act{Do: "rotate", N: 0}); v.Turns != 0 {
		t.Errorf("turned back: %d", v.Turns)
	}
	for turns, words := range []string{"right", "lower", "left", "upper"} {
		if got := directionWords(1, 0, lie{turns: turns}); got != words {
			t.Errorf("the right of a board turned by %d quarters is its %s", turns, got)
		}
	}
	if got := directionWords(1, 0, lie{bottom: true, turns: 2}); got != "right" {
		t.Errorf("turned over and by half a turn, the right is the %s", got)
	}
}
