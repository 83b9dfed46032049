package session

import (
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
)

// TestCannotReach: whoever says which end cannot be reached is offered readings that
// differ there by a tip's room and more, none called the same as another or as the one
// at hand, each with its bits and seconds; the chosen one is aimed at.
func TestCannotReach(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	for _, end := range ends {
		must(t, j, answer.Act{Do: "read"})
		was, ok := j.choice()
		at, err := j.pair.ContactsNamed(false, was.From, was.To, nil, nil)
		if !ok || err != nil {
			t.Fatal(ok, err)
		}
		v := must(t, j, answer.Act{Do: "cannot", Text: end})
		if v.Target.Cannot != end || len(v.Target.Others) < 2 {
			t.Fatalf("%s: %+v", end, v.Target)
		}
		seen := map[string]bool{v.Target.Red.Words + v.Target.Black.Words: true}
		for n, o := range v.Target.Others {
			if seen[o.From+o.To] || !strings.Contains(o.Cost, " bits, ") || !strings.HasSuffix(o.Cost, " s") {
				t.Errorf("%s: on offer %+v", end, o)
			}
			seen[o.From+o.To] = true
			must(t, j, answer.Act{Do: "aim", N: n})
			is, _ := j.choice()
			now, err := j.pair.ContactsNamed(false, is.From, is.To, nil, nil)
			if err != nil {
				t.Fatal(err)
			}
			red, black := engine.DistanceMM(now.High.At, at.High.At), engine.DistanceMM(now.Low.At, at.Low.At)
			if end != "black" && red < sameEndMM || end != "red" && black < sameEndMM {
				t.Errorf("%s cannot be reached: red moves by %.2f mm, black by %.2f", end, red, black)
			}
			must(t, j, answer.Act{Do: "advice"})
			must(t, j, answer.Act{Do: "cannot", Text: end})
		}
	}
	must(t, j, answer.Act{Do: "advice"})
	v := j.View()
	for _, o := range v.Target.Others {
		if o.From == v.Target.Red.Words && o.To == v.Target.Black.Words {
			t.Errorf("the reading at hand is on offer in place of itself: %+v", o)
		}
	}
	refused(t, j, answer.Act{Do: "cannot", Text: "nose"})
}

// TestFourWireButton: a reading card that says to use four-wire has it as a button,
// which aims at such a reading.
func TestFourWireButton(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	offer := func(v *answer.View) int {
		return slices.IndexFunc(v.Card.Doing, func(o answer.Option) bool { return o.Act.Do == "four-wire" })
	}
	for _, says := range []bool{false, true} {
		note := "two-wire will do"
		if says {
			note = "two-wire comes within 9 mm only; use four-wire, with current clips apart from the volt tips"
		}
		j.mu.Lock()
		j.canReach = &answer.Reach{Note: note}
		j.mu.Unlock()
		if v := j.View(); (offer(v) >= 0) != says {
			t.Errorf("the card says %q and offers %+v", v.Card.Text, v.Card.Doing)
		}
	}
	v := j.View()
	v = must(t, j, v.Card.Doing[offer(v)].Act)
	if v.Target == nil || v.Target.Kind != "four-wire" || v.Target.ClipRed == nil || v.Target.ClipBlk == nil || offer(v) >= 0 {
		t.Errorf("aims at %+v, offers %+v", v.Target, v.Card.Doing)
	}
	must(t, j, answer.Act{Do: "value", Text: "-0.11m"})
	if r := j.c.Readings; len(r) != 1 || !r[0].FourWire {
		t.Errorf("recorded %+v", r)
	}
}
