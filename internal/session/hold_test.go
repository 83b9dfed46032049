package session

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// onCase opens one case in a folder under a bench's name.
func onCase(t *testing.T, dir, bench, id string) *Session {
	t.Helper()
	s, err := OpenFolder(dir, FolderOptions{Options: engine.Options{Cache: shared}, Pace: time.Millisecond,
		Bench: bench})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return openJob(t, s, id)
}

func conflicts(err error) bool {
	var e *answer.Error
	return errors.As(err, &e) && e.Kind == answer.Conflict
}

func rewrite(t *testing.T, path string, edit func(string) string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	after := edit(string(text))
	if after == string(text) {
		t.Fatal("the edit changed nothing")
	}
	if err := os.WriteFile(path, []byte(after), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestTwoBenches: two programs on one folder: one works on the case, the other
// shows it; taken over, it goes on from every confirmed reading, and the first is
// told.
func TestTwoBenches(t *testing.T) {
	dir := t.TempDir()
	one := begun(t, newTestShelf(t, dir))
	must(t, one, answer.Act{Do: "value", Text: "18.7m"})
	two := onCase(t, dir, "the bench at the window", one.id)
	v := two.View()
	if err := two.Do(answer.Act{Do: "value", Text: "20m", Revision: v.Revision}); !conflicts(err) {
		t.Fatalf("two benches work on one case: %v", err)
	}
	v = two.View()
	if v.Card.Doing[0].Act.Do != "take-over" || !strings.Contains(v.Card.Text[0], ownName()) {
		t.Errorf("the other bench is not named: %+v", v.Card)
	}
	must(t, one, answer.Act{Do: "value", Text: "21m"})
	_, end := two.Watch()
	defer end()
	until(t, two, "the other's reading is not shown", func(v *answer.View) bool { return len(v.Readings) == 2 })
	if err := two.Do(answer.Act{Do: "take-over", Revision: two.View().Revision}); err != nil {
		t.Fatal(err)
	}
	must(t, two, answer.Act{Do: "value", Text: "22m"})
	if err := one.Do(answer.Act{Do: "value", Text: "23m", Revision: one.View().Revision}); !conflicts(err) {
		t.Errorf("written after the case was taken over: %v", err)
	}
	c, err := record.Read(two.c.File)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(c.Readings); n != 3 {
		t.Errorf("%d readings of 3", n)
	}
}

// TestEditedByHand: what a hand edit of the file of an open case adds is taken up;
// what it changes is told, and nothing is overwritten until somebody says which
// counts.
func TestEditedByHand(t *testing.T) {
	dir := t.TempDir()
	j := begun(t, newTestShelf(t, dir))
	v := must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	file, first := j.c.File, j.c.Readings[0]
	rewrite(t, file, func(s string) string {
		return fmt.Sprintf("# by hand\n%s\n[[reading]]\nfrom = %q\nto = %q\nohms = 0.03\n", s, first.From, first.To)
	})
	if err := j.Do(answer.Act{Do: "value", Text: "19.9m", Revision: v.Revision}); !conflicts(err) {
		t.Fatalf("a value for the places that were shown went to those that are advised now: %v", err)
	}
	if v = must(t, j, answer.Act{Do: "value", Text: "19.9m"}); len(v.Readings) != 3 {
		t.Fatalf("%d readings of 3", len(v.Readings))
	}
	for _, ours := range []bool{true, false} {
		rewrite(t, file, func(s string) string { return strings.Replace(s, "ohms = 0.03\n", "ohms = 0.04\n", 1) })
		edited, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		v = j.View()
		if err := j.Do(answer.Act{Do: "value", Text: "20m", Revision: v.Revision}); !conflicts(err) {
			t.Fatalf("written over an edit by hand: %v", err)
		}
		if now, err := os.ReadFile(file); err != nil || string(now) != string(edited) {
			t.Fatal("the edit was overwritten")
		}
		v = j.View()
		if len(v.Card.Items) == 0 || !strings.Contains(v.Card.Items[0].Words, "0.03 → 0.04") {
			t.Errorf("what differs is not told: %+v", v.Card)
		}
		act := map[bool]string{true: "keep-ours", false: "keep-file"}[ours]
		v = must(t, j, answer.Act{Do: act})
		if got := v.Readings[1].Value; strings.Contains(got, "40") == ours {
			t.Errorf("after %s reading 2 is %s", act, got)
		}
		must(t, j, answer.Act{Do: "read"})
	}
	if text, err := os.ReadFile(file); err != nil || !strings.HasPrefix(string(text), "# by hand\n") {
		t.Error("the comment is lost")
	}
}

// TestUnreadableByHand: a file that was spoilt by hand is told with its line, and
// what the bench has can be put back.
func TestUnreadableByHand(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	rewrite(t, j.c.File, func(s string) string { return strings.Replace(s, "board", "bored", 1) })
	if err := j.Do(answer.Act{Do: "value", Text: "20m", Revision: j.View().Revision}); !conflicts(err) {
		t.Fatal(err)
	}
	if v := j.View(); len(v.Card.Doing) != 1 || !strings.Contains(v.Card.Items[0].Words, ":1: unknown key") {
		t.Errorf("%+v", v.Card)
	}
	must(t, j, answer.Act{Do: "keep-ours"})
	if c, err := record.Read(j.c.File); err != nil || len(c.Readings) != 1 {
		t.Errorf("not put back: %v", err)
	}
}

// TestIdleCases: a case that nobody watches is closed, and stands as it stood when
// it is opened again.
func TestIdleCases(t *testing.T) {
	s := newTestShelf(t, t.TempDir())
	j := begun(t, s)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	_, end := j.Watch()
	later := time.Now().Add(leftAlone + time.Minute)
	if s.closeIdle(later); s.sessions[j.id] == nil {
		t.Fatal("a case that is watched was closed")
	}
	end()
	if s.closeIdle(later); s.sessions[j.id] != nil {
		t.Fatal("a case that nobody watches stays open")
	}
	if v := settled(t, openJob(t, s, j.id)); len(v.Readings) != 1 {
		t.Errorf("%d readings of 1", len(v.Readings))
	}
}

// TestLeftovers: what a kill left of a file that was being written goes, and
// nothing else does.
func TestLeftovers(t *testing.T) {
	dir := t.TempDir()
	s := newTestShelf(t, dir)
	id, err := s.BeginPractice(1)
	if err != nil {
		t.Fatal(err)
	}
	in := filepath.Join(dir, "cases", id)
	old := time.Now().Add(-time.Hour)
	for _, name := range []string{".new-123", ".new-456", "notes.txt"} {
		if err := os.WriteFile(filepath.Join(in, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if name != ".new-456" {
			if err := os.Chtimes(filepath.Join(in, name), old, old); err != nil {
				t.Fatal(err)
			}
		}
	}
	s.Close()
	newTestShelf(t, dir)
	for name, stays := range map[string]bool{".new-123": false, ".new-456": true, "notes.txt": true, caseFile: true} {
		if _, err := os.Stat(filepath.Join(in, name)); (err == nil) != stays {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestFaultInBackground: a fault in the program ends the work that it is in, is
// told, and leaves the case usable.
func TestFaultInBackground(t *testing.T) {
	told := make(chan string, 1)
	s, err := OpenFolder(t.TempDir(), FolderOptions{Options: engine.Options{Cache: shared}, Pace: time.Millisecond,
		Errors: func(what string) { told <- what }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	j := begun(t, s)
	j.stage("falling over")
	j.background(func() { panic("on purpose") })
	if what := <-told; !strings.Contains(what, "on purpose") {
		t.Errorf("told %q", what)
	}
	v := settled(t, j)
	if v.Trouble == nil || !strings.Contains(v.Trouble.What, "on purpose") {
		t.Errorf("not shown: %+v", v.Trouble)
	}
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
}

// TestPipeAsCase: a pipe where a case should be hangs nothing.
func TestPipeAsCase(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), late)
	defer stop()
	for _, name := range []string{caseFile, snapshotFile, caseFile + record.JournalEnding} {
		dir := t.TempDir()
		s := newTestShelf(t, dir)
		id, err := s.BeginPractice(1)
		if err != nil {
			t.Fatal(err)
		}
		makePipe(t, filepath.Join(dir, "cases", id, name))
		done := make(chan error, 1)
		go func() {
			_, err := s.Open(id)
			done <- err
		}()
		select {
		case err := <-done:
			if err == nil && name == caseFile {
				t.Error("a pipe was read as a case")
			}
		case <-ctx.Done():
			t.Fatalf("opening a case hangs on a pipe as %s", name)
		}
	}
}

// TestOneNameTwice: two files of one name are told when they are brought.
func TestOneNameTwice(t *testing.T) {
	s := newTestShelf(t, t.TempDir())
	u, err := s.Bring("board")
	if err != nil {
		t.Fatal(err)
	}
	if err := u.Add("a/top.gbr", strings.NewReader("1")); err != nil {
		t.Fatal(err)
	}
	for _, again := range []string{"a/top.gbr", "a/Top.gbr", "./a/top.gbr"} {
		if err := u.Add(again, strings.NewReader("2")); err == nil || !strings.Contains(err.Error(), "two files") {
			t.Errorf("%s: %v", again, err)
		}
	}
	if err := u.Add("b/top.gbr", strings.NewReader("3")); err != nil {
		t.Error(err)
	}
}

// TestFollowsAnotherBench: what another bench did to the case, and confirmed, is gone
// on from without a question once that bench is gone, edits too; an act made on what
// stood before is told so.
func TestFollowsAnotherBench(t *testing.T) {
	dir := t.TempDir()
	shelf := newTestShelf(t, dir)
	one := begun(t, shelf)
	must(t, one, answer.Act{Do: "value", Text: "18.7m"})
	two := onCase(t, dir, "the bench at the window", one.id)
	must(t, one, answer.Act{Do: "edit", Text: "18.8m"})
	must(t, one, answer.Act{Do: "doubt"})
	shelf.Close()
	v := settled(t, two)
	if err := two.Do(answer.Act{Do: "doubt", Revision: v.Revision}); !conflicts(err) {
		t.Fatalf("done to what was not shown: %v", err)
	}
	if v = settled(t, two); v.Card.Tone == "care" || !v.Readings[0].Doubtful || v.Readings[0].Value != "18.8 mΩ" {
		t.Errorf("the other's acts are not taken up: %+v, %+v", v.Card, v.Readings)
	}
	if v = must(t, two, answer.Act{Do: "doubt"}); v.Readings[0].Doubtful {
		t.Error("the act was not carried out")
	}
}
