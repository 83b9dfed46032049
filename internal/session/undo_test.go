package session

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// walk goes from act to act through a case and keeps the text that stood before
// each one that was written.
type walk struct {
	t      *testing.T
	dir    string
	j      *Session
	states []string
	done   map[string]bool // acts that were granted, by name
}

// walkFolder gives a folder whose clock stands still, so that an act done twice is
// the same.
func walkFolder(t *testing.T, dir string) *CaseFolder {
	t.Helper()
	s, err := OpenFolder(dir, FolderOptions{Options: engine.Options{Cache: shared}, Pace: time.Millisecond,
		Now: func() time.Time { return time.Date(2026, 3, 2, 14, 5, 0, 0, time.UTC) }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s
}

var revisionLine = regexp.MustCompile(`(?m)^revision = \d+$`)

// state is the case file but for its count of revisions.
func (w *walk) state() string {
	w.t.Helper()
	w.j.mu.Lock()
	file := w.j.c.File
	w.j.mu.Unlock()
	text, err := os.ReadFile(file)
	if err != nil {
		w.t.Fatal(err)
	}
	return revisionLine.ReplaceAllString(string(text), "revision = …")
}

// do carries out an act, takes it back, and carries it out again: in between the
// case is as before, and the second time as the first.
func (w *walk) do(a answer.Act) *answer.View {
	w.t.Helper()
	was, before := settled(w.t, w.j), w.state()
	v := must(w.t, w.j, a)
	after := w.state()
	readsBack(w.t, w.j, a)
	w.done[a.Do] = true
	if v.Revision == was.Revision { // nothing was confirmed
		if after != before {
			w.t.Errorf("%s changed the file, but not the revision", a.Do)
		}
		return v
	}
	w.states = append(w.states, before)
	if testing.Short() {
		return v
	}
	w.undo(a.Do)
	if back := settled(w.t, w.j); back.Step != was.Step || len(back.Readings) != len(was.Readings) {
		w.t.Errorf("%s taken back: at %s with %d readings, was at %s with %d", a.Do, back.Step,
			len(back.Readings), was.Step, len(was.Readings))
	}
	if a.Do == "nets" && a.Nets == nil { // the taps are gone
		a.Nets = was.Picked
	}
	v = must(w.t, w.j, a)
	if again := w.state(); again != after && a.Do != "touch" { // a touch differs each time
		w.t.Errorf("%s done again:\n%s\nwas:\n%s", a.Do, again, after)
	}
	w.states = append(w.states, before)
	return v
}

// undo takes the last act back.
func (w *walk) undo(name string) {
	w.t.Helper()
	a := answer.Act{Do: "undo"}
	must(w.t, w.j, a)
	readsBack(w.t, w.j, a)
	last := len(w.states) - 1
	if got := w.state(); got != w.states[last] {
		w.t.Fatalf("%s taken back to:\n%s\nnot to:\n%s", name, got, w.states[last])
	}
	w.states = w.states[:last]
}

// toTheBeginning takes back all that was done, the program being started anew
// half-way.
func (w *walk) toTheBeginning() {
	w.t.Helper()
	half := len(w.states) / 2
	for n := len(w.states); n > 0; n-- {
		if n == half {
			id := w.j.id
			w.j.folder.Close()
			w.j = openJob(w.t, walkFolder(w.t, w.dir), id)
		}
		w.undo(fmt.Sprintf("act %d", n))
	}
	v := settled(w.t, w.j)
	if v.CanUndo || v.NoUndo != "" {
		w.t.Errorf("at the beginning: can be taken back: %v, %q", v.CanUndo, v.NoUndo)
	}
	noUndo(w.t, w.j, "there is nothing to take back")
}

// noUndo fails where taking back is granted, or refused in other words.
func noUndo(t *testing.T, j *Session, words string) {
	t.Helper()
	v := settled(t, j)
	var e *answer.Error
	if err := j.Do(answer.Act{Do: "undo", Revision: v.Revision}); !errors.As(err, &e) ||
		!strings.Contains(e.What, words) || strings.Contains(e.What, "\n") {
		t.Errorf("taking back ended with %v, not %q", err, words)
	}
	if after := settled(t, j); after.Revision != v.Revision {
		t.Error("refused, and still counted")
	}
}

// practiceWalk does what can be done to an invented unit, to the first rework.
func practiceWalk(t *testing.T) *walk {
	t.Helper()
	dir := t.TempDir()
	s := walkFolder(t, dir)
	id, err := s.BeginPractice(2)
	if err != nil {
		t.Fatal(err)
	}
	w := &walk{t: t, dir: dir, j: openJob(t, s, id), done: map[string]bool{}}
	for _, a := range []answer.Act{
		{Do: "cautions"}, {Do: "value", Text: "19m"}, {Do: "pass-swap"}, {Do: "touch"}, {Do: "tips", Text: "held"}, {Do: "lift"},
		{Do: "aim", N: 1}, {Do: "advice"}, {Do: "value", Text: "18.7m"}, {Do: "doubt"}, {Do: "edit", Text: "18.9m"},
	} {
		w.do(a)
	}
	for _, a := range []answer.Act{
		{Do: "again"}, {Do: "value", Text: "18.6m"}, {Do: "read"}, {Do: "value", Text: "25m"}, {Do: "drop", N: 1},
		{Do: "rotate", N: 1}, {Do: "mend"}, {Do: "move", N: 1}, {Do: "move"}, {Do: "start"},
		{Do: "edit", Text: "18.7m"},
	} {
		w.do(a)
	}
	if v := settled(t, w.j); v.Step != stepRework || len(w.j.c.Readings[0].Touches) != 0 {
		t.Errorf("ended at %s", v.Step)
	}
	return w
}

// repairWalk does what can be done from the first reading to the closed case, where
// values are typed and what is claimed is taken.
func repairWalk(t *testing.T) *walk {
	t.Helper()
	dir := t.TempDir()
	w := &walk{t: t, dir: dir, j: typedOn(t, walkFolder(t, dir), 2), done: map[string]bool{}}
	for _, a := range []answer.Act{
		{Do: "cannot", Text: "red"}, {Do: "value", Text: "18.7m"}, {Do: "four-wire"}, {Do: "advice"}, {Do: "mend"},
		{Do: "start"}, {Do: "value", Text: "19.5m"}, {Do: "saw", Text: "bridge"},
	} {
		w.do(a)
	}
	seen := settled(t, w.j).Card.Doing[0].Act
	for _, a := range []answer.Act{seen, {Do: "seen-what", Text: "dirt"}, {Do: "see-again"}, {Do: "saw", Text: "nothing"},
		{Do: "mend"}} {
		w.do(a)
	}
	off := slices.IndexFunc(w.j.moves(), func(m answer.Repair) bool { return m.What == "remove" })
	for _, a := range []answer.Act{
		{Do: "move", N: off}, {Do: "start"}, {Do: "outcome", Text: "open"}, {Do: "cool"}, {Do: "value", Text: "0.2"},
		{Do: "value", Text: "OL"}, {Do: "leave-off"},
	} {
		w.do(a)
	}
	w.undo("leave-off")
	for _, a := range []answer.Act{
		{Do: "refit"}, {Do: "outcome", Text: "open"}, {Do: "cool"}, {Do: "value", Text: "0.2"}, {Do: "value", Text: "OL"},
		{Do: "check", Text: "tapped"}, {Do: "check", Text: "powered"}, {Do: "check", Text: "tapped"},
		{Do: "cause", Text: "seen"}, {Do: "close"}, {Do: "back"}, {Do: "close"},
	} {
		w.do(a)
	}
	v := settled(t, w.j)
	w.do(v.Card.Doing[1].Act)
	if v := settled(t, w.j); v.Step != stepClosed {
		t.Errorf("ended at %s", v.Step)
	}
	return w
}

// typedWalk does what can be done to a case whose values are typed, on a board whose
// files and figures can be said to be otherwise.
func typedWalk(t *testing.T) *walk {
	t.Helper()
	dir := t.TempDir()
	s := walkFolder(t, dir)
	id, err := s.BeginOn(record.Demo)
	if err != nil {
		t.Fatal(err)
	}
	w := &walk{t: t, dir: dir, j: openJob(t, s, id), done: map[string]bool{}}
	w.do(answer.Act{Do: "pick", Text: "GND"})
	w.do(answer.Act{Do: "pick", Text: "NRST"})
	w.do(answer.Act{Do: "nets"})
	for v := w.do(answer.Act{Do: "polarity", Text: "GND"}); v.Step == stepMetal; {
		v = w.do(answer.Act{Do: "metal", Text: "yes"})
	}
	for _, a := range []answer.Act{
		{Do: "cautions"}, {Do: "pass-swap"}, {Do: "tips", Text: "clipped"}, {Do: "nulled"},
		{Do: "value", Text: "18.7m"}, {Do: "assume", Place: "plating", Text: "30um"},
		{Do: "assume", Place: "meter", Text: handHeldMeter}, {Do: "copy", Text: "all"},
		{Do: "meter", Text: "TCPIP0::127.0.0.1::1::SOCKET"}, {Do: "meter"},
		{Do: "as-read"}, {Do: "role", Place: "RL-40-plated.drl", Text: "ignore"},
	} {
		w.do(a)
	}
	v := settled(t, w.j)
	if len(v.Board.Doubts) == 0 {
		t.Fatal("no doubt without the holes")
	}
	w.do(answer.Act{Do: "settle", Text: v.Board.Doubts[0].Key})
	v = w.do(answer.Act{Do: "role", Place: "RL-40-copper-top.gbr", Text: "copper bottom"})
	if v.Board != nil || v.Trouble == nil || !v.CanUndo {
		t.Errorf("two files for one layer: %+v", v.Trouble)
	}
	return w
}

// TestEveryActIsTakenBack: one press takes back one act, whichever it was: the case
// file is then as before it, and readable. Pressed again it goes on to the very
// beginning, also after the program was started anew.
func TestEveryActIsTakenBack(t *testing.T) {
	done := map[string]bool{"undo": true}
	for name, through := range map[string]func(*testing.T) *walk{"practice": practiceWalk, "typed": typedWalk,
		"repair": repairWalk} {
		t.Run(name, func(t *testing.T) {
			w := through(t)
			w.toTheBeginning()
			maps.Copy(done, w.done)
		})
	}
	for _, do := range slices.Sorted(maps.Keys(actions)) {
		if !done[do] && !slices.Contains(ofHolding, do) { // those are in TestNotBeyondAnotherHand
			t.Errorf("act %q is in no walk", do)
		}
	}
}

// TestNotBeyondAnotherHand: what another hand wrote is never taken back, whether it
// was taken up, chosen or overruled; the page says so in a line, and what was done
// since is still taken back. Another bench's acts are acts of the case.
func TestNotBeyondAnotherHand(t *testing.T) {
	if testing.Short() {
		t.Skip("a file is looked at once a second: three seconds: left out of -short")
	}
	const words = "another hand changed the case file"
	dir := t.TempDir()
	j := begun(t, newTestShelf(t, dir))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	steps := []struct {
		from, to, do string
	}{
		{"board = ", "# cold\nboard = ", ""}, // it only adds: it is taken up
		{"ohms = 0.0187", "ohms = 0.0188", "keep-file"},
		{"ohms = 0.0188", "ohms = 0.0189", "keep-ours"},
	}
	for _, s := range steps {
		rewrite(t, j.c.File, func(text string) string { return strings.Replace(text, s.from, s.to, 1) })
		until(t, j, "not seen", func(v *answer.View) bool {
			return s.do == "" && v.NoUndo != "" || slices.ContainsFunc(v.Card.Doing,
				func(o answer.Option) bool { return o.Act.Do == s.do })
		})
		if s.do != "" {
			must(t, j, answer.Act{Do: s.do})
		}
		if v := settled(t, j); v.CanUndo || !strings.Contains(strings.ToLower(v.NoUndo), words) {
			t.Errorf("after %q: can be taken back: %v, %q", s.do, v.CanUndo, v.NoUndo)
		}
		noUndo(t, j, words)
		must(t, j, answer.Act{Do: "doubt"})
		must(t, j, answer.Act{Do: "undo"})
		noUndo(t, j, words)
	}
	text, err := os.ReadFile(j.c.File)
	if err != nil || !strings.Contains(string(text), "# cold\n") || !strings.Contains(string(text), "0.0188") {
		t.Errorf("what was written by hand is gone: %v\n%s", err, text)
	}
	must(t, j, answer.Act{Do: "doubt"})
	two := onCase(t, dir, "the bench at the window", j.id)
	if err := two.Do(answer.Act{Do: "take-over", Revision: two.View().Revision}); err != nil {
		t.Fatal(err)
	}
	if v := must(t, two, answer.Act{Do: "undo"}); v.Readings[0].Doubtful {
		t.Error("the other bench's act was not taken back")
	}
	if err := j.Do(answer.Act{Do: "undo", Revision: j.View().Revision}); !conflicts(err) {
		t.Errorf("taken back after the case was taken over: %v", err)
	}
}

// TestNoJournal: with its journal gone a case is worked on as before, and what was
// done before is not guessed at.
func TestNoJournal(t *testing.T) {
	dir := t.TempDir()
	s := newTestShelf(t, dir)
	j := begun(t, s)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	s.Close()
	if err := os.Remove(j.c.File + record.JournalEnding); err != nil {
		t.Fatal(err)
	}
	j = openJob(t, newTestShelf(t, dir), j.id)
	if v := settled(t, j); v.CanUndo || v.NoUndo == "" {
		t.Errorf("can be taken back: %v, %q", v.CanUndo, v.NoUndo)
	}
	noUndo(t, j, "does not hold what came before")
	must(t, j, answer.Act{Do: "doubt"})
	if v := must(t, j, answer.Act{Do: "undo"}); v.Readings[0].Doubtful || v.CanUndo {
		t.Errorf("not as it was found: %+v", v.Readings)
	}
}

// TestTakeBackAfterStart: a repair that was begun and taken back changes nothing of
// the unit, however long the meter is looked at afterwards.
func TestTakeBackAfterStart(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	must(t, j, answer.Act{Do: "start"})
	must(t, j, answer.Act{Do: "undo"})
	j.sim.mu.Lock()
	working, toCome := j.sim.working, j.sim.samplesToChange
	j.sim.mu.Unlock()
	if working || toCome >= 0 {
		t.Errorf("the rework goes on: %v, %d samples to come", working, toCome)
	}
	if j.live.stop != nil {
		t.Error("the tips stay down")
	}
}

// TestStartTakenBackShowsItsMove: whichever move was begun, taking that back shows
// the same one again, also after the program was started anew.
func TestStartTakenBackShowsItsMove(t *testing.T) {
	dir := t.TempDir()
	s := newTestShelf(t, dir)
	j := begun(t, s)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	heads := map[string]bool{}
	for n := range min(len(j.moves()), mostMoves+1) {
		v := must(t, j, answer.Act{Do: "move", N: n})
		shown := v.Card.Head
		heads[shown] = true
		must(t, j, answer.Act{Do: "start"})
		if v = must(t, j, answer.Act{Do: "undo"}); v.Step != stepRepair || v.Card.Head != shown {
			t.Errorf("move %d, %q, taken back shows %q at %s", n, shown, v.Card.Head, v.Step)
		}
	}
	if len(heads) < 3 {
		t.Fatalf("only %d moves", len(heads))
	}
	must(t, j, answer.Act{Do: "move", N: 2})
	shown := j.View().Card.Head
	must(t, j, answer.Act{Do: "start"})
	s.Close()
	j = openJob(t, newTestShelf(t, dir), j.id)
	settled(t, j)
	if v := must(t, j, answer.Act{Do: "undo"}); v.Card.Head != shown {
		t.Errorf("after a new start %q is shown, not %q", v.Card.Head, shown)
	}
}
