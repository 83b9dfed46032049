package session

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/engine"
	"ohmward/internal/meter"
	"ohmward/internal/meter/metertest"
	"ohmward/internal/record"
)

// servedBench is the practice meter behind a line that can be cut.
type servedBench struct {
	*metertest.Bench
	t    *testing.T
	nets []string
}

func serveBench(t *testing.T) *servedBench {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	p, err := bench.ServePractice(ctx, bench.PracticeOptions{Options: engine.Options{Cache: shared}, Seed: 2}, "127.0.0.1:0")
	if err != nil {
		stop()
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- p.Serve(ctx) }()
	t.Cleanup(func() { stop(); <-ended })
	return &servedBench{metertest.NewBench(t, p.Answer.Address), t, p.Answer.Nets}
}

// wiredCase gives a case whose meter is on the line, at its null.
func (b *servedBench) wiredCase(s *CaseFolder) *Session {
	b.t.Helper()
	c := &record.Case{Board: record.Demo, Nets: [2]string{b.nets[0], b.nets[1]},
		Meter: record.Meter{Profile: handHeldMeter},
		Steps: &record.Steps{Cautions: true, Skipped: true, Asked: []string{"J2", "J3", "J5"}, BlackNet: b.nets[1]}}
	id, err := s.begin("wired", c)
	if err != nil {
		b.t.Fatal(err)
	}
	j := openJob(b.t, s, id)
	_, end := j.Watch()
	b.t.Cleanup(end)
	must(b.t, j, answer.Act{Do: "meter", Text: b.Address})
	return j
}

// lifted takes the tips off, and waits until the session knows.
func (b *servedBench) lifted(j *Session) {
	b.t.Helper()
	b.Hand("SIM:PROB:LIFT")
	until(b.t, j, "the tips do not count as lifted", func(*answer.View) bool {
		j.mu.Lock()
		defer j.mu.Unlock()
		return j.wire != nil && !j.wire.lift && j.wire.lost == ""
	})
}

// underWay counts the touches of the reading under way.
func (j *Session) underWay() int {
	j.mu.Lock()
	defer j.mu.Unlock()
	return len(j.live.touches)
}

// touchOnce touches the places asked for, and waits until the touch has counted.
func (b *servedBench) touchOnce(j *Session, n int) *answer.View {
	b.t.Helper()
	b.lifted(j)
	v := j.View()
	b.Hand(fmt.Sprintf("SIM:PROB %q,%q", v.Target.Red.Place, v.Target.Black.Place))
	after := func(*answer.View) bool {
		j.mu.Lock()
		defer j.mu.Unlock()
		return len(j.live.touches) == n || j.c.Steps.Revision > v.Revision
	}
	return until(b.t, j, fmt.Sprintf("touch %d does not count", n), after)
}

// TestMeterOnWire: from the null to a reading no key is pressed. The line is cut
// between two touches of it: that is told, the meter comes back by itself, and the
// touches before count. What was read is in the case file, raw, and one press takes
// the reading back.
func TestMeterOnWire(t *testing.T) {
	if testing.Short() {
		t.Skip("the meter takes its time: eight seconds: left out of -short")
	}
	b := serveBench(t)
	s := newTestShelf(t, t.TempDir())
	j := b.wiredCase(s)
	until(t, j, "the meter is not heard", func(v *answer.View) bool { return strings.Contains(v.Meter.Words, "PRACTICE METER") })
	at, err := meter.ParseAddress(b.Address)
	if err != nil {
		t.Fatal(err)
	}
	var busy *meter.Fault
	if _, err := meter.Open(t.Context(), at, meter.Options{}); !errors.As(err, &busy) || busy.Problem != meter.Busy {
		t.Errorf("a second program is told %v", err)
	}
	b.Hand("SIM:PROB:SHOR")
	v := until(t, j, "no null was taken", func(v *answer.View) bool { return v.Step == stepRead })
	for _, words := range []string{"range 100", "integration 1 NPLC", "null ", "a minute old"} {
		if !strings.Contains(v.Meter.Words, words) {
			t.Errorf("the small print is %q, without %q", v.Meter.Words, words)
		}
	}
	b.touchOnce(j, 1)
	b.SetCut(true)
	v = until(t, j, "a cut line is not told", func(v *answer.View) bool { return v.Meter.Lost != "" })
	if text := strings.Join(v.Card.Text, " "); !strings.Contains(text, "not heard") {
		t.Errorf("the card says %q", text)
	}
	b.SetCut(false)
	until(t, j, "the meter does not come back", func(v *answer.View) bool { return v.Meter.Lost == "" })
	for n := 2; len(j.View().Readings) == 0; n++ {
		b.touchOnce(j, n)
	}
	c, err := record.Read(s.caseName(j.id))
	if err != nil {
		t.Fatal(err)
	}
	r := c.Readings[0]
	if n := len(r.Touches); n < readingTouches || len(c.Touches) != n+1 || !isShort(float64(r.Ohms)) {
		t.Fatalf("%+v of %d touches", r, len(c.Touches))
	}
	for i, kept := range c.Touches {
		want := "reading"
		if i == 0 {
			want = "null"
		}
		if kept.Of != want || kept.Number != 1 || !strings.Contains(kept.Meter, "PRACTICE METER 2") || len(kept.Samples) < 5 ||
			kept.Range == nil || *kept.Range != wiredRange || kept.NPLC == nil || (kept.Null == nil) != (i == 0) {
			t.Errorf("kept %d as %+v", i, kept)
		}
		if i > 0 {
			if off := float64(kept.Ohms - *kept.Null - r.Touches[i-1]); off > 1e-9 || off < -1e-9 {
				t.Errorf("touch %d counts as %v, was %v less %v", i, r.Touches[i-1], kept.Ohms, *kept.Null)
			}
		}
	}
	v = must(t, j, answer.Act{Do: "undo"})
	if c, err = record.Read(s.caseName(j.id)); err != nil || len(v.Readings) != 0 || len(c.Touches) != 1 {
		t.Errorf("taken back, %d readings and %d touches are left, %v", len(v.Readings), len(c.Touches), err)
	}
	_ = j.locked(func() error { j.endWire(); return nil }) // as where nobody watches any more
	s.Close()
	again, err := meter.Open(t.Context(), at, meter.Options{})
	if err != nil {
		t.Fatalf("the meter was not let go: %v", err)
	}
	_ = again.Close(t.Context())
}

// TestSameTouchOnce: tips that stay where they are give one touch, also over a line
// that is cut and mended: the places asked for next are others.
func TestSameTouchOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("the meter takes its time: six seconds: left out of -short")
	}
	b := serveBench(t)
	j := b.wiredCase(newTestShelf(t, t.TempDir()))
	b.Hand("SIM:PROB:SHOR")
	until(t, j, "no null was taken", func(v *answer.View) bool { return v.Step == stepRead })
	b.touchOnce(j, 1)
	b.SetCut(true)
	until(t, j, "a cut line is not told", func(v *answer.View) bool { return v.Meter.Lost != "" })
	b.SetCut(false)
	heard := 0
	until(t, j, "no samples come again", func(*answer.View) bool {
		j.mu.Lock()
		defer j.mu.Unlock()
		if j.live.has {
			heard++
		}
		return heard > 100 // more than a window, at one period of the mains each
	})
	if n := j.underWay(); n != 1 {
		t.Errorf("one touch counts as %d", n)
	}
	must(t, j, answer.Act{Do: "undo"})
	if v, n := j.View(), j.underWay(); n != 0 || v.Step != stepRead {
		t.Errorf("taken back: at %s, %d touches", v.Step, n)
	}
}

// TestMetersOffered: an instrument that was found is offered before the first probe,
// beside typing by hand, never as what the one key does; one press takes it, and one
// press takes that back. An invented unit is offered none.
func TestMetersOffered(t *testing.T) {
	const address = "TCPIP0::127.0.0.1::1::SOCKET"
	s, err := OpenFolder(t.TempDir(), FolderOptions{Options: engine.Options{Cache: shared},
		FindMeters: func(context.Context) (*answer.Meters, error) {
			return &answer.Meters{Instruments: []answer.MeterFound{{Address: address, Name: "bench meter", Kind: "network", Known: true}}}, nil
		}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	offered := func(v *answer.View) (found *answer.Option) {
		for i, o := range v.Card.Doing {
			if o.Act.Do == "meter" && o.Act.Text == address && i > 0 && o.Aside {
				found = &v.Card.Doing[i]
			}
		}
		return found
	}
	q, _ := bench.PracticeOf(2, "")
	id, err := s.begin("offered", &record.Case{Board: record.Demo, Nets: [2]string{q.Nets[0], q.Nets[1]},
		Steps: &record.Steps{Asked: []string{"J2", "J3", "J5"}, BlackNet: q.Nets[1]}})
	if err != nil {
		t.Fatal(err)
	}
	j := openJob(t, s, id)
	v := until(t, j, "no meter is offered", func(v *answer.View) bool { return v.Step == stepCautions && offered(v) != nil })
	if o := offered(v); !strings.HasSuffix(o.Note, "answered before") {
		t.Errorf("it is offered as %+v", o)
	}
	v = must(t, j, offered(v).Act)
	if v.Meter.Kind != "wire" || v.Meter.Address != address || v.Step != stepCautions || offered(v) != nil {
		t.Errorf("taken: %+v at %s", v.Meter, v.Step)
	}
	if v = must(t, j, answer.Act{Do: "undo"}); v.Meter.Kind != "typed" || offered(v) == nil {
		t.Errorf("taken back: %+v", v.Meter)
	}
	must(t, j, answer.Act{Do: "cautions"})
	if v = must(t, j, answer.Act{Do: "pass-swap"}); v.Step != stepNull || offered(v) == nil {
		t.Errorf("at %s it is not offered", v.Step)
	}
	if id, err = s.BeginPractice(2); err != nil {
		t.Fatal(err)
	}
	p := openJob(t, s, id)
	p.findMeters()
	if v := p.View(); offered(v) != nil {
		t.Errorf("offered for an invented unit at %s", v.Step)
	}
}
