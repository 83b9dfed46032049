package session

import (
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// presses does the main thing, as Enter does, where there is one by the one key.
func presses(t *testing.T, j *Session) *answer.View {
	t.Helper()
	v := settled(t, j)
	if len(v.Card.Doing) == 0 || v.Card.Doing[0].Aside {
		return v
	}
	return must(t, j, v.Card.Doing[0].Act)
}

// proves answers the proof from where the short was seen open.
func proves(t *testing.T, j *Session) *answer.View {
	t.Helper()
	must(t, j, answer.Act{Do: "cool"})
	must(t, j, answer.Act{Do: "value", Text: "0.2"})
	return must(t, j, answer.Act{Do: "value", Text: "OL"})
}

// TestNotClosedByEnter: no run of presses of the one key closes a case with its
// checks undone; closing lists them and asks once; then it closes, and says what
// was left.
func TestNotClosedByEnter(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	must(t, j, answer.Act{Do: "start"})
	must(t, j, answer.Act{Do: "outcome", Text: "open"})
	if v := proves(t, j); v.Step != stepProven {
		t.Fatalf("at %s", v.Step)
	}
	must(t, j, answer.Act{Do: "check", Text: "tapped"})
	for range 12 {
		if v := presses(t, j); v.Step != stepProven {
			t.Fatalf("presses alone lead to %s", v.Step)
		}
	}
	must(t, j, answer.Act{Do: "close"})
	for range 3 {
		v := must(t, j, answer.Act{Do: "close"})
		if v.Step != stepProven || len(v.Card.Items) != len(proofChecks)-1 ||
			strings.Contains(v.Card.Items[0].Words, "Tap and flex") {
			t.Fatalf("at %s, asked about %+v", v.Step, v.Card.Items)
		}
		if v = presses(t, j); v.Step != stepProven || v.Card.Head != "Cleared" {
			t.Fatalf("one press leads to %s, %s", v.Step, v.Card.Head)
		}
	}
	v := must(t, j, answer.Act{Do: "close"})
	v = must(t, j, v.Card.Doing[1].Act)
	if v.Step != stepClosed || len(v.Card.Items) != len(proofChecks)-1 {
		t.Errorf("at %s, left undone %+v", v.Step, v.Card.Items)
	}
}

// removal gives a case whose short was seen open when a part was taken off.
func removal(t *testing.T) (*Session, string) {
	t.Helper()
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	at := slices.IndexFunc(j.moves(), func(m answer.Repair) bool { return m.What == "remove" })
	if at < 0 {
		t.Fatalf("no part to take off: %+v", j.moves())
	}
	must(t, j, answer.Act{Do: "move", N: at})
	must(t, j, answer.Act{Do: "start"})
	must(t, j, answer.Act{Do: "outcome", Text: "open"})
	return j, j.c.Findings[0].Part
}

// TestFittedAgain: with a part taken off the short is proved gone, and the way goes
// through a new part and the whole proof again before the case can be closed.
func TestFittedAgain(t *testing.T) {
	j, part := removal(t)
	if v := proves(t, j); v.Step != stepRefit || v.Card.Head != "Fit a new "+part {
		t.Fatalf("at %s: %s", v.Step, v.Card.Head)
	}
	if says := refused(t, j, answer.Act{Do: "close"}); !strings.Contains(says, part) {
		t.Errorf("closing: %s", says)
	}
	if v := must(t, j, answer.Act{Do: "refit"}); v.Step != stepRework || v.Card.Head != "Fit a new "+part {
		t.Fatalf("at %s: %s", v.Step, v.Card.Head)
	}
	if v := must(t, j, answer.Act{Do: "outcome", Text: "open"}); v.Step != stepCool {
		t.Fatalf("fitted, at %s", v.Step)
	}
	if v := proves(t, j); v.Step != stepProven {
		t.Fatalf("proved, at %s", v.Step)
	}
	c, err := record.Read(j.c.File)
	if err != nil {
		t.Fatal(err)
	}
	if f := c.Findings; len(f) != 2 || f[1].Done != "replaced" || f[1].Part != part || f[1].Short != "cleared" {
		t.Errorf("on record: %+v", f)
	}
}

// TestShortWithNewPart: a short that is there again with the new part sends back to
// the search.
func TestShortWithNewPart(t *testing.T) {
	j, _ := removal(t)
	proves(t, j)
	must(t, j, answer.Act{Do: "refit"})
	if v := must(t, j, answer.Act{Do: "outcome", Text: "remains"}); v.Step != stepRepair && v.Step != stepRead {
		t.Errorf("at %s", v.Step)
	}
}

// TestLeftOff: a part may stay off; that is on the record and among what is asked
// about at closing.
func TestLeftOff(t *testing.T) {
	j, part := removal(t)
	proves(t, j)
	if v := must(t, j, answer.Act{Do: "leave-off"}); v.Step != stepProven {
		t.Fatalf("at %s", v.Step)
	}
	must(t, j, answer.Act{Do: "cause", Text: "unknown"})
	v := must(t, j, answer.Act{Do: "close"})
	if !slices.ContainsFunc(v.Card.Items, func(i answer.Item) bool { return strings.HasPrefix(i.Words, part) }) {
		t.Errorf("asked about %+v", v.Card.Items)
	}
	if v = must(t, j, answer.Act{Do: "undo"}); v.Step != stepProven {
		t.Errorf("taken back to %s", v.Step)
	}
	if c, err := record.Read(j.c.File); err != nil || !slices.Equal(c.Steps.LeftOff, []string{part}) {
		t.Errorf("on record: %v, %v", c.Steps, err)
	}
}

// firstThing is the first thing on offer: what is to be ticked before a unit goes back,
// else the first button.
func firstThing(c answer.Card) answer.Act {
	for _, i := range c.Items {
		if i.Act != nil && !i.Done {
			return *i.Act
		}
	}
	return c.Doing[0].Act
}
