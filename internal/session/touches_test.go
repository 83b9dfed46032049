package session

import (
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/unit"
)

func TestParseTouches(t *testing.T) {
	for text, want := range map[string][]unit.Resistance{
		"18.7m":                {0.0187},
		"18.7 mΩ":              {0.0187},
		"18.7 18.9 18.6m":      {0.0187, 0.0189, 0.0186},
		"18.7 18.9 18.6 mohm":  {0.0187, 0.0189, 0.0186},
		"18.7m, 0.0189; 18m6":  {0.0187, 0.0189, 0.0186},
		"0.0187 0.0189 0.0186": {0.0187, 0.0189, 0.0186},
		"OL":                   {unit.Open},
	} {
		got, err := parseTouches(text)
		near := func(a, b unit.Resistance) bool { return a == b || max(a-b, b-a) < 1e-12 }
		if err != nil || !slices.EqualFunc(got, want, near) {
			t.Errorf("%q: %v, %v, want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"18.7m OL", "18.7m 12V", "18.7m x", strings.Repeat("1m ", 101)} {
		if got, err := parseTouches(text); err == nil {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// TestThreeTouches: the simulated tips touch three times for a reading, by
// themselves, and the lowest that repeats is believed; typed, the touches stand in
// one line. One take back takes the reading back.
func TestThreeTouches(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "touch"})
	if r := j.c.Readings; len(r) != 1 || len(r[0].Touches) != readingTouches {
		t.Fatalf("taken as %+v", r)
	}
	if v := j.View(); v.Step == stepRepair {
		must(t, j, answer.Act{Do: "read"})
	}
	must(t, j, answer.Act{Do: "value", Text: "52.9 52.4 52.3m"})
	if r := j.c.Readings[1]; len(r.Touches) != 3 || r.Ohms.Shown(1e-4) != "52.3 mΩ" {
		t.Errorf("taken as %v of %v", r.Ohms, r.Touches)
	}
	readsBack(t, j, answer.Act{Do: "value"})
	must(t, j, answer.Act{Do: "again", N: 1})
	must(t, j, answer.Act{Do: "value", Text: "52.1m 51.9m"})
	if r := j.c.Readings[1]; len(r.Touches) != 5 || r.Ohms.Shown(1e-4) != "51.9 mΩ" {
		t.Errorf("touched again: %v of %v", r.Ohms, r.Touches)
	}
	readsBack(t, j, answer.Act{Do: "value"})
	must(t, j, answer.Act{Do: "undo"})
	if r := j.c.Readings; len(r) != 2 || len(r[1].Touches) != 3 || r[1].Ohms.Shown(1e-4) != "52.3 mΩ" {
		t.Errorf("taken back to %v of %v", r[1].Ohms, r[1].Touches)
	}
	rev := j.View().Revision
	must(t, j, answer.Act{Do: "undo"})
	if n := len(j.c.Readings); n > 2 || j.View().Revision != rev+1 {
		t.Errorf("%d readings", n)
	}
}

// TestValuesSpoken: every value that the meter gives is said before what comes
// next, also the touches on the way; what was not taken is not said.
func TestValuesSpoken(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	j.mu.Lock()
	j.live.stop, j.live.touches = func() {}, []unit.Resistance{0.0191, 0.0187}
	c := answer.Card{Speak: "Reading 1."}
	j.sayValue(&c)
	j.live = live{}
	j.mu.Unlock()
	if c.Speak != "Touch 2: 18.7 mΩ." {
		t.Errorf("on the way it says %q", c.Speak)
	}
	v := must(t, j, answer.Act{Do: "touch"})
	if want := v.Readings[0].Value + ". "; !strings.HasPrefix(v.Card.Speak, want) {
		t.Errorf("after %s it says %q", want, v.Card.Speak)
	}
	if v.Step == stepRepair {
		must(t, j, answer.Act{Do: "read"})
	}
	if v = must(t, j, answer.Act{Do: "value", Text: "52.3m"}); !strings.HasPrefix(v.Card.Speak, "52.3 mΩ. ") {
		t.Errorf("typed, it says %q", v.Card.Speak)
	}
	if err := j.Do(answer.Act{Do: "value", Text: "x", Revision: v.Revision}); err == nil || strings.Contains(j.View().Card.Speak, "52.3 mΩ. ") {
		t.Errorf("refused (%v), it says %q", err, j.View().Card.Speak)
	}
}
