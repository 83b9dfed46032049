package session

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// newTestShelf gives a folder in a folder of its own, with a quick simulated
// meter.
func newTestShelf(t *testing.T, dir string) *CaseFolder {
	t.Helper()
	s, err := OpenFolder(dir, FolderOptions{Options: engine.Options{Cache: shared}, Pace: time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s
}

// late is how long a test waits for an event before it fails: a machine may be
// loaded many times over.
const late = 3 * time.Minute

// until waits, from one change of a job to the next, until something holds of it.
func until(t testing.TB, j *Session, what string, holds func(v *answer.View) bool) *answer.View {
	t.Helper()
	told, end := j.Watch()
	defer end()
	for limit := time.After(late); ; {
		select {
		case <-told:
			if v := j.View(); holds(v) {
				return v
			}
		case <-limit:
			v := j.View()
			t.Fatalf("%s: at %s, %s", what, v.Step, v.Busy)
		}
	}
}

// settled waits until a job is done with what it is at.
func settled(t testing.TB, j *Session) *answer.View {
	t.Helper()
	return until(t, j, "still at work", func(v *answer.View) bool { return v.Busy == "" })
}

// must carries out an act and waits for what comes of it.
func must(t *testing.T, j *Session, a answer.Act) *answer.View {
	t.Helper()
	v := settled(t, j)
	a.Revision = v.Revision
	if err := j.Do(a); err != nil {
		t.Fatalf("%s at %s: %v", a.Do, v.Step, err)
	}
	if a.Do == "touch" {
		return captured(t, j, v.Revision)
	}
	return settled(t, j)
}

// captured waits until a steady value was taken.
func captured(t *testing.T, j *Session, revision int) *answer.View {
	t.Helper()
	return until(t, j, "no steady value", func(v *answer.View) bool { return v.Revision > revision })
}

// reworked waits until the simulated rework has told: it is done, and as many
// samples have come since as a reading takes to be steady again.
func reworked(t *testing.T, j *Session) *answer.View {
	t.Helper()
	from := -1
	return until(t, j, "the rework is not done", func(*answer.View) bool {
		j.mu.Lock()
		defer j.mu.Unlock()
		j.sim.mu.Lock()
		done := j.sim.samplesToChange < 0
		j.sim.mu.Unlock()
		if done && from < 0 {
			from = int(j.live.seq)
		}
		return done && int(j.live.seq) > from+steadySamples+settling
	})
}

// openJob opens a case and waits for it.
func openJob(t *testing.T, s *CaseFolder, id string) *Session {
	t.Helper()
	j, err := s.Open(id)
	if err != nil {
		t.Fatal(err)
	}
	settled(t, j)
	return j
}

// solvePractice leads a practice unit to cleared by the first thing on offer,
// and tells every step.
func solvePractice(t *testing.T, j *Session) []string {
	t.Helper()
	var steps []string
	for range 80 {
		v := settled(t, j)
		steps = append(steps, v.Step)
		if v.Trouble != nil {
			t.Fatalf("%s: %s", v.Step, v.Trouble.What)
		}
		if v.Step == stepClosed {
			return steps
		}
		if len(v.Card.Doing) == 0 {
			t.Fatalf("%s: nothing on offer: %+v", v.Step, v.Card)
		}
		if v.Step == stepRework {
			v = reworked(t, j)
		}
		if a := firstThing(v.Card); a.Do != "lift" {
			must(t, j, a)
		}
	}
	t.Fatalf("not closed after %v", steps)
	return nil
}

// A practice unit goes from its first caution to a closed case by the first
// thing on offer at each step, and the case file says what the page says.
func TestPracticeToCleared(t *testing.T) {
	for _, number := range []int{2, 3, 1}[:check.Draws(t, 1, 3, 3)] {
		t.Run(fmt.Sprint(number), func(t *testing.T) {
			dir := t.TempDir()
			s := newTestShelf(t, dir)
			id, err := s.BeginPractice(number)
			if err != nil {
				t.Fatal(err)
			}
			j := openJob(t, s, id)
			steps := solvePractice(t, j)
			t.Log(steps)
			v := j.View()
			for _, text := range v.Card.Text {
				t.Log(text)
			}
			c, err := record.Read(filepath.Join(dir, "cases", id, "case.toml"))
			if err != nil {
				t.Fatal(err)
			}
			if len(c.Readings) != len(v.Readings) || c.Steps.Revision != v.Revision || lastOutcome(c) != "cleared" || c.Steps.Closed.IsZero() {
				t.Errorf("the file has %d readings, revision %d, outcome %q; the page %d, %d", len(c.Readings), c.Steps.Revision, lastOutcome(c), len(v.Readings), v.Revision)
			}
			if _, err := bench.Locate(context.Background(), c.File, "", engine.Options{Cache: shared}); err != nil {
				t.Errorf("the command line on the same case: %v", err)
			}
		})
	}
}

// begun gives a practice case that is at its first reading.
func begun(t *testing.T, s *CaseFolder) *Session {
	t.Helper()
	id, err := s.BeginPractice(2)
	if err != nil {
		t.Fatal(err)
	}
	j := openJob(t, s, id)
	must(t, j, answer.Act{Do: "cautions"})
	must(t, j, answer.Act{Do: "pass-swap"})
	v := must(t, j, answer.Act{Do: "touch"})
	if v.Step != stepRead {
		t.Fatalf("at %s", v.Step)
	}
	if w := v.Where; w.Verdict != answer.NoReading || w.OneShort || w.Best != nil || w.Words+w.Radius+w.Chance != "" {
		t.Errorf("found before the first reading: %+v", w)
	}
	return j
}

// Two windows that answer the same question: the second is told, and nothing
// is taken twice.
func TestTwoWindows(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	rev := j.View().Revision
	if err := j.Do(answer.Act{Revision: rev, Do: "value", Text: "18.7m"}); err != nil {
		t.Fatal(err)
	}
	err := j.Do(answer.Act{Revision: rev, Do: "value", Text: "18m7"})
	var e *answer.Error
	if !errors.As(err, &e) || e.Kind != answer.Conflict {
		t.Errorf("the second window got %v", err)
	}
	if n := len(j.View().Readings); n != 1 {
		t.Errorf("%d readings", n)
	}
}

// What was confirmed is there when the folder is opened anew, as after a crash,
// and the job stands at the same step with the same answer.
func TestOpenedAnew(t *testing.T) {
	dir := t.TempDir()
	j := begun(t, newTestShelf(t, dir))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "doubt", N: 0})
	was := must(t, j, answer.Act{Do: "value", Text: "0.0231"})
	again := openJob(t, newTestShelf(t, dir), j.id).View()
	if again.Revision != was.Revision || again.Step != was.Step || len(again.Readings) != 2 || !again.Readings[0].Doubtful {
		t.Errorf("was at %s, revision %d; is at %s, revision %d with %+v", was.Step, was.Revision, again.Step, again.Revision, again.Readings)
	}
	if was.Where.Words != again.Where.Words || was.Where.Radius != again.Where.Radius {
		t.Errorf("the place was %s %s, is %s %s", was.Where.Words, was.Where.Radius, again.Where.Words, again.Where.Radius)
	}
}

// A value that is none, or of a wrong unit, is refused in words and changes
// nothing.
func TestWrongValues(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	rev := j.View().Revision
	for _, text := range []string{"", "12V", "abc", "18.7 mF", "-0.5"} {
		err := j.Do(answer.Act{Revision: rev, Do: "value", Text: text})
		var e *answer.Error
		if !errors.As(err, &e) || e.Kind != answer.Misuse {
			t.Errorf("%q: %v", text, err)
		}
	}
	if v := j.View(); v.Revision != rev || len(v.Readings) != 0 {
		t.Errorf("revision %d, %d readings", v.Revision, len(v.Readings))
	}
}

// A disk that takes nothing more: the value does not count, what was there
// stays, and the next try after room was made succeeds.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	j := begun(t, newTestShelf(t, dir))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	v := j.View()
	file := filepath.Join(dir, "cases", j.id)
	away := file + "-away"
	if err := os.Rename(file, away); err != nil { // no folder to write in, as root too
		t.Fatal(err)
	}
	err := j.Do(answer.Act{Revision: v.Revision, Do: "value", Text: "20m"})
	if err == nil || len(j.View().Readings) != 1 || j.View().Revision != v.Revision {
		t.Errorf("error %v, %d readings", err, len(j.View().Readings))
	}
	if err := os.Rename(away, file); err != nil {
		t.Fatal(err)
	}
	if v := must(t, j, answer.Act{Do: "value", Text: "20m"}); len(v.Readings) != 2 {
		t.Errorf("%d readings", len(v.Readings))
	}
}

// Undo takes back one thing at a time, to the very beginning.
func TestUndo(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	must(t, j, answer.Act{Do: "start"})
	reworkedTo(t, j, true)
	must(t, j, answer.Act{Do: "outcome", Text: "open"})
	must(t, j, answer.Act{Do: "cool"})
	var seen []string
	for j.View().CanUndo {
		seen = append(seen, must(t, j, answer.Act{Do: "undo"}).Step)
	}
	want := []string{stepCool, stepRework, stepRepair, stepRead, stepRead, stepNull, stepSwap, stepCautions}
	if fmt.Sprint(seen) != fmt.Sprint(want) {
		t.Errorf("took back to %v, want %v", seen, want)
	}
}

// "Seen open" is not cleared before it is cool, both leads touch, and the nets
// read open again; a short value there takes the claim back.
func TestNotClearedBySlippedLead(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	must(t, j, answer.Act{Do: "start"})
	reworkedTo(t, j, true)
	if v := must(t, j, answer.Act{Do: "outcome", Text: "open"}); v.Step != stepCool {
		t.Fatalf("at %s", v.Step)
	}
	must(t, j, answer.Act{Do: "cool"})
	if err := j.Do(answer.Act{Revision: j.View().Revision, Do: "value", Text: "OL"}); err == nil {
		t.Error("leads in the air count as touching")
	}
	must(t, j, answer.Act{Do: "value", Text: "0.2"})
	if v := must(t, j, answer.Act{Do: "value", Text: "19m"}); v.Step != stepRepair || lastOutcome(j.c) != "remains" {
		t.Errorf("at %s, the short %s", v.Step, lastOutcome(j.c))
	}
	if err := j.Do(answer.Act{Revision: j.View().Revision, Do: "close"}); err == nil {
		t.Error("closed with the short there")
	}
}

// A reading that cannot be is told of, and touched again in its own places
// before anything is advised on it.
func TestMisfit(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "touch"})
	must(t, j, answer.Act{Do: "touch"})
	if v := j.View(); v.Step == stepRepair {
		must(t, j, answer.Act{Do: "read"})
	}
	v := must(t, j, answer.Act{Do: "value", Text: "0.9"})
	if v.Step != stepRead || v.Where.Verdict != answer.Disagree || v.Card.Tone != "care" {
		t.Fatalf("at %s, %s: %v", v.Step, v.Where.Verdict, v.Card.Text)
	}
	for _, o := range v.Card.Doing {
		if o.Act.Do == "again" {
			was := j.c.Readings[o.Act.N]
			must(t, j, o.Act)
			if c, _ := j.choice(); c.From != was.From || c.To != was.To {
				t.Errorf("aims at %v, not %s and %s", c, was.From, was.To)
			}
			v = must(t, j, answer.Act{Do: "touch"})
			if r := j.c.Readings[o.Act.N]; len(v.Readings) != 3 || len(r.Touches) != 2 || r.Ohms >= was.Ohms || v.Where.Verdict != answer.OneShort {
				t.Errorf("%d readings, %v of %v, %s", len(v.Readings), r.Ohms, r.Touches, v.Where.Verdict)
			}
			dir, id := j.folder.dir, j.id
			j.folder.Close() // and the program is started anew
			j = openJob(t, newTestShelf(t, dir), id)
			must(t, j, answer.Act{Do: "undo"})
			if r := j.c.Readings[o.Act.N]; len(j.c.Readings) != 3 || len(r.Touches) != 0 || r.Ohms != was.Ohms {
				t.Errorf("taken back to %d readings, %v of %v", len(j.c.Readings), r.Ohms, r.Touches)
			}
			return
		}
	}
	t.Errorf("no offer to touch again: %+v", v.Card.Doing)
}

// A null grows old between two acts, never under the eyes of who reads: the
// value typed six minutes later is the reading that was asked for.
func TestNullAge(t *testing.T) {
	var minutes atomic.Int64
	s, err := OpenFolder(t.TempDir(), FolderOptions{Options: engine.Options{Cache: shared}, Pace: time.Millisecond, Now: func() time.Time {
		return time.Date(2026, 3, 2, 14, int(minutes.Load()), 0, 0, time.UTC)
	}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	j := begun(t, s)
	minutes.Store(6)
	if v := j.View(); v.Step != stepRead {
		t.Fatalf("the step turned into %s by itself", v.Step)
	}
	if v := must(t, j, answer.Act{Do: "value", Text: "18.7m"}); len(v.Readings) != 1 || v.Step != stepNull {
		t.Errorf("%d readings, at %s", len(v.Readings), v.Step)
	}
}

// After five readings the fixed place is touched again: near its first value
// the null is good; moved, what lies between is doubtful and the leads are
// nulled again.
func TestNullDrift(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	for _, value := range []string{"21.0m", "21.3m", "21.1m", "21.2m", "21.4m"} {
		if v := j.View(); v.Step == stepRepair {
			must(t, j, answer.Act{Do: "read"})
		}
		must(t, j, answer.Act{Do: "value", Text: value})
	}
	if v := j.View(); v.Step == stepRepair {
		must(t, j, answer.Act{Do: "read"})
	}
	if v := j.View(); v.Step != stepCheck || v.Target.Red.Place != j.c.Readings[0].From {
		t.Fatalf("at %s, aimed at %+v", v.Step, v.Target)
	}
	if v := must(t, j, answer.Act{Do: "value", Text: "22.1m"}); v.Step == stepCheck || v.Step == stepNull || len(v.Readings) != 5 {
		t.Errorf("1.1 mohm off: at %s with %d readings", v.Step, len(v.Readings))
	}
	if v := must(t, j, answer.Act{Do: "undo"}); v.Step != stepCheck {
		t.Fatalf("taken back to %s", v.Step)
	}
	v := must(t, j, answer.Act{Do: "value", Text: "27m"})
	if v.Step != stepNull || !v.Readings[0].Doubtful || !v.Readings[4].Doubtful {
		t.Errorf("6 mohm off: at %s, %+v", v.Step, v.Readings)
	}
	if v := must(t, j, answer.Act{Do: "touch"}); v.Step == stepNull || v.Step == stepCheck {
		t.Errorf("nulled again, at %s", v.Step)
	}
}
