package session

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"ohmward/internal/answer"
)

// A stored case shows its step, its readings and its last answer at once, before
// its board is read, and the same once it is; what was kept of another case
// text is not shown.
func TestShownAtOnce(t *testing.T) {
	dir := t.TempDir()
	s := newTestShelf(t, dir)
	j := begun(t, s)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	was := must(t, j, answer.Act{Do: "value", Text: "0.0231"})
	s.Close()
	name := filepath.Join(dir, "cases", j.id, snapshotFile)
	waitFor(t, name)

	next := newTestShelf(t, dir)
	began := time.Now()
	again, err := next.Open(j.id)
	if err != nil {
		t.Fatal(err)
	}
	again.mu.Lock()
	v, unread := again.fromSnapshot(), again.pair == nil
	again.mu.Unlock()
	t.Logf("shown after %v", time.Since(began).Round(time.Microsecond))
	if v == nil || !unread {
		t.Fatalf("nothing is shown while the board is read")
	}
	if v.Busy == "" || v.CanUndo || v.Step != was.Step || v.Revision != was.Revision || !reflect.DeepEqual(v.Readings, was.Readings) || !reflect.DeepEqual(v.Where.Places, was.Where.Places) {
		t.Errorf("shown %+v, was %+v", v, was)
	}
	if err := again.Do(answer.Act{Revision: v.Revision, Do: "undo"}); err == nil {
		t.Error("an act is taken before the board is read")
	}
	if ready := settled(t, again); ready.Busy != "" || !reflect.DeepEqual(ready.Readings, was.Readings) || ready.Card.Head != v.Card.Head {
		t.Errorf("ready: %+v", ready)
	}
	next.Close()

	file := filepath.Join(dir, "cases", j.id, caseFile)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, append(text, "\n# touched\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	third, err := newTestShelf(t, dir).Open(j.id)
	if err != nil {
		t.Fatal(err)
	}
	third.mu.Lock()
	defer third.mu.Unlock()
	if third.snapshot != nil {
		t.Error("what was kept of another case text is shown")
	}
}

func waitFor(t *testing.T, name string) {
	t.Helper()
	for end := time.Now().Add(late); time.Now().Before(end); {
		if _, err := os.Stat(name); err == nil {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("%s is not written", name)
}
