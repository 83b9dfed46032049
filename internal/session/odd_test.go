package session

import (
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// TestOddOneFirst: where readings disagree the main thing is to touch the odd one
// again, on every card that goes by readings, until it was touched three times.
func TestOddOneFirst(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "touch"})
	must(t, j, answer.Act{Do: "touch"})
	if v := j.View(); v.Step == stepRepair {
		must(t, j, answer.Act{Do: "read"})
	}
	v := must(t, j, answer.Act{Do: "value", Text: "0.9"})
	if v.Where.Verdict != answer.Disagree {
		t.Fatalf("verdict %s", v.Where.Verdict)
	}
	first := func(v *answer.View) string {
		t.Helper()
		again := 0
		for _, o := range v.Card.Doing {
			if o.Act.Do == "again" {
				again++
			}
		}
		if again > 1 {
			t.Errorf("at %s it is on offer %d times", v.Step, again)
		}
		return v.Card.Doing[0].Act.Do
	}
	if do := first(v); v.Step != stepRead || do != "again" {
		t.Errorf("at %s the main thing is %s", v.Step, do)
	}
	if v = must(t, j, answer.Act{Do: "mend"}); v.Step != stepRepair || first(v) != "again" {
		t.Errorf("at %s the main thing is %s", v.Step, first(v))
	}
	n := v.Card.Doing[0].Act.N
	for range 2 {
		must(t, j, answer.Act{Do: "again", N: n})
		v = must(t, j, answer.Act{Do: "value", Text: "0.9"})
	}
	if do := first(v); do == "again" {
		t.Errorf("touched %d times, and still the main thing", len(j.c.Readings[n].Touches))
	}
}

// TestLittleMoreMeansEnough: a card that says that the next reading says little more
// has "Enough" as its main thing; where a reading is wanted all the same, to check
// the others, the card says that instead.
func TestLittleMoreMeansEnough(t *testing.T) {
	for _, j := range []*Session{begun(t, newTestShelf(t, t.TempDir())),
		typedOn(t, newTestShelf(t, t.TempDir()), 2)} {
		must(t, j, answer.Act{Do: "value", Text: "18.7m"})
		must(t, j, answer.Act{Do: "read"})
		a := *j.answer
		a.Next = slices.Clone(a.Next)
		a.Next[0].Bits, a.Next[0].Why = 0.1, "says little more"
		j.mu.Lock()
		j.answer = &a
		j.mu.Unlock()
		for _, enough := range []bool{true, false} {
			a.Enough, a.EnoughWhy = enough, "one more reading checks the others"
			c := j.View().Card
			says := strings.Join(c.Text, " ")
			main := len(c.Doing) > 0 && !c.Doing[0].Aside && c.Doing[0].Act.Do == "mend"
			if strings.Contains(says, "It says little more.") != enough || main != enough ||
				strings.Contains(says, "One more reading checks the others.") == enough {
				t.Errorf("%s, enough %v: %q, on offer %+v", j.View().Meter.Kind, enough, says, c.Doing)
			}
		}
	}
}

// TestBeforeTheNets: a board on which no nets are chosen yet has its cards too, up to
// the cautions.
func TestBeforeTheNets(t *testing.T) {
	s := newTestShelf(t, t.TempDir())
	id, err := s.BeginOn(record.Demo)
	if err != nil {
		t.Fatal(err)
	}
	j := openJob(t, s, id)
	if v := j.View(); v.Step != stepNets || v.Card.Head == "" {
		t.Fatalf("at %s: %+v", v.Step, v.Card)
	}
	v := must(t, j, answer.Act{Do: "nets", Nets: []string{"GND", "+3V3"}})
	for v.Step == stepMetal {
		v = must(t, j, answer.Act{Do: "metal", Text: "no"})
	}
	if v.Step != stepCautions || len(v.Card.Doing) == 0 {
		t.Errorf("at %s: %+v, trouble %+v", v.Step, v.Card, v.Trouble)
	}
}

// TestOddOneAtEveryStep: the odd reading comes first at every step at which touching it
// again is one more touch of the same, and at no other.
func TestOddOneAtEveryStep(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "read"})
	must(t, j, answer.Act{Do: "value", Text: "18.9m"})
	set := func(fourWire bool) {
		odd, a := 0, *j.answer
		a.Fit.Verdict, a.Fit.WorstReading = answer.Disagree, &odd
		j.answer, j.c.Readings[0].FourWire = &a, fourWire
	}
	all := []string{stepNets, stepPolarity, stepMetal, stepCautions, stepSwap, stepNull, stepCheck, stepRead,
		stepRepair, stepRework, stepSeen, stepCool, stepLeads, stepAcross, stepRefit, stepProven, stepClosed}
	j.mu.Lock()
	defer j.mu.Unlock()
	for _, fourWire := range []bool{false, true} {
		for _, doing := range []*record.Doing{nil, {Done: "wicked", Place: "L1@2,2"}, {Done: "cleaned"}} {
			set(fourWire)
			j.c.Steps.Doing = doing
			for _, step := range all {
				c := answer.Card{Doing: []answer.Option{{Act: answer.Act{Do: "main"}}}}
				j.oddFirst(step, &c)
				look := doing != nil && doing.Done == "cleaned"
				want := step == stepRead || step == stepCheck || step == stepRepair || step == stepNull && fourWire ||
					step == stepRework && look
				if got := c.Doing[0].Act.Do == "again"; got != want || !slices.ContainsFunc(c.Doing,
					func(o answer.Option) bool { return o.Act.Do == "main" }) {
					t.Errorf("at %s, four-wire %v, under way %+v: first is %+v", step, fourWire, doing, c.Doing)
				}
			}
		}
	}
	j.c.Steps.Doing, j.c.Steps.Drifted = nil, true
	j.c.Steps.Turn = "read"
	for _, fourWire := range []bool{false, true} { // and pressed at the null it leads to the reading
		set(fourWire)
		j.aimAgain(&j.c.Readings[0], 0)
		if at := j.step(); (at == stepRead) != fourWire {
			t.Errorf("four-wire %v: touched again at %s", fourWire, at)
		}
	}
}

// TestOddOneFromALook: pressed during a look, the look is left and the reading aimed at.
func TestOddOneFromALook(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	if must(t, j, answer.Act{Do: "start"}); !j.lookUnderWay() {
		t.Fatal("no look is advised first")
	}
	v := must(t, j, answer.Act{Do: "again"})
	if v.Step != stepRead || j.retouch != 1 || len(j.c.Findings) > 0 {
		t.Errorf("at %s, reading %d, findings %+v", v.Step, j.retouch, j.c.Findings)
	}
}
