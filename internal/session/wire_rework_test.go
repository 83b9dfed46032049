package session

import (
	"fmt"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/record"
	"ohmward/unit"
)

// wiredFrom gives a case whose meter is on the line, as its steps have it.
func (b *servedBench) wiredFrom(s *CaseFolder, nulls []record.Null, steps record.Steps) *Session {
	b.t.Helper()
	steps.Cautions, steps.Asked, steps.BlackNet = true, []string{"J2", "J3", "J5"}, b.nets[1]
	id, err := s.begin("wired", &record.Case{Board: record.Demo, Nets: [2]string{b.nets[0], b.nets[1]},
		Meter: record.Meter{Profile: handHeldMeter}, Nulls: nulls, Steps: &steps})
	if err != nil {
		b.t.Fatal(err)
	}
	j := openJob(b.t, s, id)
	_, end := j.Watch()
	b.t.Cleanup(end)
	must(b.t, j, answer.Act{Do: "meter", Text: b.Address})
	return j
}

// put sets the tips down where the session asks for them; in the other order where swapped.
func (b *servedBench) put(j *Session, swapped bool) {
	b.t.Helper()
	v := settled(b.t, j)
	j.mu.Lock()
	at, ok := j.choice()
	j.mu.Unlock()
	if !ok {
		b.t.Fatalf("at %s no places are asked for", v.Step)
	}
	red, black := at.From, at.To
	if swapped {
		red, black = black, red
	}
	b.Hand(fmt.Sprintf("SIM:PROB %q,%q", red, black))
}

// samples waits for so many more values, or words of the meter.
func (j *Session) samples(t *testing.T, n int) {
	t.Helper()
	from := -1
	until(t, j, "the meter sends nothing", func(*answer.View) bool {
		j.mu.Lock()
		defer j.mu.Unlock()
		if from < 0 {
			from = j.live.seq
		}
		return j.live.seq >= from+n
	})
}

// TestFallenLeadOnWire: while reworking the bar is the meter's, and is told when
// it opens. A lead that falls off reads so too, before the short is gone and
// after: it never comes to "cleared". That takes both leads shown to touch, and
// the nets read again.
func TestFallenLeadOnWire(t *testing.T) {
	if testing.Short() {
		t.Skip("touches take their time: some seconds: left out of -short")
	}
	b := serveBench(t)
	j := b.wiredFrom(newTestShelf(t, t.TempDir()), []record.Null{{}}, record.Steps{Skipped: true})
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	if v := must(t, j, answer.Act{Do: "start"}); v.Step != stepRework || !v.Card.Bar {
		t.Fatalf("at %s, bar %v", v.Step, v.Card.Bar)
	}
	seen := func(what string, open bool) {
		t.Helper()
		until(t, j, what, func(*answer.View) bool {
			j.mu.Lock()
			defer j.mu.Unlock()
			return j.live.steadySeen && j.live.open == open && isShort(float64(j.live.now.Ohms)) != open
		})
	}
	b.put(j, false)
	seen("the short is not seen", false)
	if says := refused(t, j, answer.Act{Do: "outcome", Text: "open"}); says == "" {
		t.Error("a short that is read counts as open")
	}
	b.Hand("SIM:PROB:LIFT")
	seen("a lead that falls is not seen open", true)
	if v := j.View(); v.Step != stepRework || v.Card.Tone != "good" {
		t.Errorf("at %s, tone %q", v.Step, v.Card.Tone)
	}
	if v := must(t, j, answer.Act{Do: "outcome", Text: "open"}); v.Step != stepCool {
		t.Fatalf("at %s", v.Step)
	}
	must(t, j, answer.Act{Do: "cool"})
	j.samples(t, 100)
	if v := j.View(); v.Step != stepLeads {
		t.Fatalf("tips in the air: at %s", v.Step)
	}
	b.lifted(j)
	b.put(j, false)
	until(t, j, "two leads on one net do not count", func(v *answer.View) bool { return v.Step == stepAcross })
	j.samples(t, 60) // the same touch still
	b.lifted(j)
	j.samples(t, 100)
	if v := j.View(); v.Step != stepAcross || isCleared(j.c) {
		t.Fatalf("a lead has fallen: at %s, the short %s", v.Step, lastOutcome(j.c))
	}
	b.put(j, false)
	v := until(t, j, "the nets are not read", func(v *answer.View) bool { return v.Step != stepAcross })
	if v.Step != stepRepair || lastOutcome(j.c) != "remains" {
		t.Errorf("with the short there: at %s, it %s", v.Step, lastOutcome(j.c))
	}
}

// TestClearedOnWire: what is truly cleared comes to "cleared", with what the meter
// sent for both proofs on record.
func TestClearedOnWire(t *testing.T) {
	if testing.Short() {
		t.Skip("touches take their time: some seconds: left out of -short")
	}
	b := serveBench(t)
	s := newTestShelf(t, t.TempDir())
	j := b.wiredFrom(s, []record.Null{{}}, record.Steps{Skipped: true})
	for _, a := range []answer.Act{{Do: "value", Text: "18.7m"}, {Do: "mend"}, {Do: "start"}} {
		must(t, j, a)
	}
	b.put(j, false)
	until(t, j, "the short is not seen", func(*answer.View) bool {
		j.mu.Lock()
		defer j.mu.Unlock()
		return j.live.steadySeen && !j.live.open
	})
	b.Hand("SIM:SHOR OFF")
	until(t, j, "not seen open", func(v *answer.View) bool { return v.Card.Tone == "good" })
	must(t, j, answer.Act{Do: "outcome", Text: "open"})
	must(t, j, answer.Act{Do: "cool"})
	for _, step := range []string{stepLeads, stepAcross} {
		b.lifted(j)
		b.put(j, false)
		until(t, j, "nothing is taken at "+step, func(v *answer.View) bool { return v.Step != step })
	}
	if !isCleared(j.c) {
		t.Fatalf("the short %s", lastOutcome(j.c))
	}
	c, err := record.Read(s.caseName(j.id))
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]int{}
	for _, kept := range c.Touches {
		of[kept.Of]++
	}
	if of["leads"] != 1 || of["across"] != 1 {
		t.Errorf("on record %v", of)
	}
}

// TestSwapOnWire: is it metal? Two touches, the leads swapped in between, and the
// third value on the next range with the tips where they are.
func TestSwapOnWire(t *testing.T) {
	if testing.Short() {
		t.Skip("touches take their time: some seconds: left out of -short")
	}
	b := serveBench(t)
	s := newTestShelf(t, t.TempDir())
	j := b.wiredFrom(s, nil, record.Steps{})
	if v := j.View(); v.Step != stepSwap {
		t.Fatalf("at %s", v.Step)
	}
	for n := range swapValues - 1 {
		b.lifted(j)
		b.put(j, n == 1)
		until(t, j, fmt.Sprintf("value %d is not taken", n+1), func(*answer.View) bool {
			j.mu.Lock()
			defer j.mu.Unlock()
			return len(j.c.Steps.Swap) > n
		})
	}
	until(t, j, "no value on the next range", func(v *answer.View) bool { return v.Step == stepNull })
	c, err := record.Read(s.caseName(j.id))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []unit.Resistance{wiredRange, wiredRange, wiredNextRange} {
		if len(c.Touches) <= i || c.Touches[i].Of != "swap" || c.Touches[i].Number != i+1 ||
			c.Touches[i].Range == nil || *c.Touches[i].Range != want {
			t.Fatalf("touch %d of %d is not on the range of %v: %+v", i+1, len(c.Touches), want, c.Touches)
		}
	}
}
