package session

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/record"
)

// typedOn gives a case on the nets of a practice unit whose values are typed, with
// no meter on the bench, at its first reading.
func typedOn(t *testing.T, s *CaseFolder, unit uint64) *Session {
	t.Helper()
	q, _ := bench.PracticeOf(unit, "")
	c := &record.Case{Board: record.Demo, Nets: [2]string{q.Nets[0], q.Nets[1]}, Nulls: []record.Null{{}},
		Steps: &record.Steps{Cautions: true, Skipped: true, Asked: []string{"J2", "J3", "J5"}, BlackNet: q.Nets[1]}}
	for _, m := range q.Metal {
		c.Metal = append(c.Metal, record.Metal{Part: m.Part, Net: m.Net})
	}
	id, err := s.begin("by hand", c)
	if err != nil {
		t.Fatal(err)
	}
	j := openJob(t, s, id)
	if v := j.View(); v.Step != stepRead {
		t.Fatalf("at %s, trouble %+v", v.Step, v.Trouble)
	}
	return j
}

// refused gives the words that an act is refused with.
func refused(t *testing.T, j *Session, a answer.Act) string {
	t.Helper()
	a.Revision = settled(t, j).Revision
	err := j.Do(a)
	var e *answer.Error
	if !errors.As(err, &e) {
		t.Fatalf("%+v: %v", a, err)
	}
	if v := j.View(); v.Revision != a.Revision {
		t.Fatalf("%+v was refused, and moved on to revision %d", a, v.Revision)
	}
	return e.What + "; " + e.Hint
}

// TestSignAsked: a four-wire card says which clip and tip are plus and what a
// minus means; a value typed without a sign is asked back once and recorded as
// answered, one with its sign at once, an overload too.
func TestSignAsked(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	place := func(g, i int) string { return j.pair.PlaceText(j.pair.Probes[g][i].Spot) }
	four := answer.Choice{Kind: "four-wire", Current: []string{place(0, 0), place(1, 0)},
		Sense: []string{place(0, 1), place(0, 2)}}
	aimed := func() { j.aim = &four }
	for i, typed := range []struct {
		text  string
		ohms  float64
		asked bool
	}{{"0.11m", -0.11e-3, true}, {"-0.11m", -0.11e-3, false}, {"+0,2m", 0.2e-3, false}} {
		aimed()
		v := j.View()
		if text := strings.Join(v.Card.Text, " "); !strings.Contains(text, "Plus of the current is the clip") ||
			!strings.Contains(text, "A minus") || v.Card.Entry == nil || !strings.Contains(v.Card.Entry.Label, "sign") {
			t.Fatalf("the card says %q, and asks for %+v", text, v.Card.Entry)
		}
		v = must(t, j, answer.Act{Do: "value", Text: typed.text})
		if asked := v.Card.Head == "Plus or minus?"; asked != typed.asked || asked && len(v.Readings) != i {
			t.Fatalf("%q: %s with %d readings", typed.text, v.Card.Head, len(v.Readings))
		}
		if typed.asked {
			at := slices.IndexFunc(v.Card.Doing, func(o answer.Option) bool { return strings.HasPrefix(o.Words, "A minus") })
			v = must(t, j, v.Card.Doing[at].Act)
		}
		if n := len(v.Readings); n != i+1 || !j.c.Readings[i].FourWire || float64(j.c.Readings[i].Ohms) != typed.ohms {
			t.Errorf("%q: %d readings, the last %+v", typed.text, n, j.c.Readings[n-1])
		}
		if v.Step == stepRepair {
			must(t, j, answer.Act{Do: "read"})
		}
	}
}

// TestMeterWins: what is claimed against the meter on the bench is asked back at
// once with what it shows, both ways; what agrees with it is taken.
func TestMeterWins(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "touch"})
	must(t, j, answer.Act{Do: "mend"})
	must(t, j, answer.Act{Do: "start"})
	reworkedTo(t, j, false)
	for _, a := range []answer.Act{{Do: "outcome", Text: "open"}, {Do: "value", Text: "OL"}} {
		if says := refused(t, j, a); !strings.Contains(says, "mΩ: touch again") {
			t.Errorf("claimed %s: %s", a.Text, says)
		}
	}
	reworkedTo(t, j, true)
	for _, text := range []string{"remains", "nothing"} {
		if says := refused(t, j, answer.Act{Do: "outcome", Text: text}); !strings.Contains(says, "kΩ: touch again") {
			t.Errorf("claimed %s: %s", text, says)
		}
	}
	if v := must(t, j, answer.Act{Do: "outcome", Text: "open"}); v.Step != stepCool {
		t.Errorf("open, and so it reads: at %s", v.Step)
	}
}

// reworkedTo ends the simulated rework as the test has it, the short cleared or
// not, and waits until the meter stands.
func reworkedTo(t *testing.T, j *Session, cleared bool) {
	t.Helper()
	j.sim.mu.Lock()
	j.sim.samplesToChange = -1
	err := j.sim.setState(unitState{cleared: cleared})
	j.sim.mu.Unlock()
	if err != nil {
		t.Fatal(err)
	}
	until(t, j, "the meter never settles", func(*answer.View) bool {
		j.mu.Lock()
		defer j.mu.Unlock()
		return j.live.steadySeen && j.live.open == cleared && isShort(float64(j.live.now.Ohms)) != cleared
	})
}
