package record

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
	"time"
)

// kept gives the acts that a case keeps: those that led to what its file says, and
// those of the branches that somebody settled on that way, gone on from or overruled.
// What only hangs beside is not among them. Lines of one identity, which is that of
// parent and text, are one revision: an act, and that somebody went on from it.
func kept(t *testing.T, path string) map[string]bool {
	t.Helper()
	of, head := map[string][]*Revision{}, ""
	for r, err := range ReadJournal(path + JournalEnding) {
		if err != nil {
			t.Fatal(err)
		}
		if of[r.ID] = append(of[r.ID], r); string(r.content()) == content(t, path) {
			head = r.ID
		}
	}
	acts := map[string]bool{}
	for next := []string{head}; len(next) > 0; next = next[1:] {
		for _, r := range of[next[0]] {
			acts[string(r.Act)] = true
			next = append(next, r.Parent, r.Other)
		}
		delete(of, next[0])
	}
	return acts
}

// cutOffAct adds an act to the journal that did not come to the file, as by a kill in
// between.
func cutOffAct(t *testing.T, path, act string, change func(*Case)) {
	t.Helper()
	before := content(t, path)
	if _, err := Update(path, bench("killed"), act, func(c *Case) error { change(c); return nil }); err != nil {
		t.Fatal(err)
	}
	putBack(t, path, before, time.Now().Add(-time.Hour))
}

func putBack(t *testing.T, path, text string, when time.Time) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(path, when, when); err != nil {
		t.Fatal(err)
	}
}

func looked(t *testing.T, s *Store, c *Case) *Foreign {
	t.Helper()
	f, err := s.Look(c)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestCutOffWhileOpen: what a kill cut off is carried out by a bench that has the case
// open, too, be it one act behind or two; neither a look nor an act makes a branch of
// it, and nobody is asked.
func TestCutOffWhileOpen(t *testing.T) {
	for _, acts := range []int{1, 2} {
		path, s, c := opened(t, "case.toml", written)
		for range acts - 1 {
			changeNote(t, path, "before")
		}
		cutOffAct(t, path, "cut", func(c *Case) { c.Note = "cut" })
		next := *c
		next.Note = "ours"
		if err := s.Commit(&next, "ours"); !errors.Is(err, ErrChanged) {
			t.Errorf("%d: written beside what was cut off: %v", acts, err)
		}
		f := looked(t, s, c)
		if f == nil || !f.Follows || f.Case.Note != "cut" {
			t.Fatalf("%d: %+v", acts, f)
		}
		if err := s.Adopt(f); err != nil {
			t.Fatal(err)
		}
		commit(t, s, f.Case, func(c *Case) { c.Note = "after" })
		if f := looked(t, s, c); f != nil || !kept(t, path)[`"cut"`] {
			t.Errorf("%d: not in the line: %+v", acts, f)
		}
	}
}

// TestPutBackWhileOpen: a file that this bench saw as its act left it, and that a hand
// put back with its old time, was not cut off.
func TestPutBackWhileOpen(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	before := content(t, path)
	c = commit(t, s, c, func(c *Case) { c.Note = "ours" })
	putBack(t, path, before, time.Now().Add(-time.Hour))
	if f := looked(t, s, c); f == nil || f.OnlyAdds || content(t, path) != before {
		t.Errorf("overwritten: %+v", f)
	}
}

// TestOverruledBench: where another bench went on from an edit by hand, a press that
// overrules it names that bench's own revision, so that its acts are kept as a
// branch and nobody is asked twice.
func TestOverruledBench(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	editByHand(t, path)
	changeNote(t, path, "theirs")
	theirs := content(t, path)
	f := looked(t, s, c)
	if f == nil || f.Follows || f.OnlyAdds {
		t.Fatalf("no conflict: %+v", f)
	}
	if err := s.Overrule(f, c); err != nil {
		t.Fatal(err)
	}
	if f := looked(t, s, c); f != nil {
		t.Errorf("asked again: %v", f.Changes)
	}
	var copies int
	for r, err := range ReadJournal(path + JournalEnding) {
		if err != nil {
			t.Fatal(err)
		}
		if string(r.content()) == theirs {
			copies++
		}
	}
	if acts := kept(t, path); copies != 1 || !acts[`{"do":"value"}`] || !acts[`"kept"`] {
		t.Errorf("%d copies; kept: %v", copies, acts)
	}
}

// beside makes a case with two branches, ours and theirs, of which the file holds ours.
func beside(t *testing.T) (path string, s *Store, c *Case, theirs string) {
	t.Helper()
	path, _, _ = opened(t, "case.toml", written)
	mine := content(t, path+JournalEnding)
	changeNote(t, path, "theirs")
	theirs = content(t, path)
	branch := strings.TrimPrefix(content(t, path+JournalEnding), mine)
	putBack(t, path, written, time.Now())
	putBack(t, path+JournalEnding, mine, time.Now())
	s, c, err := OpenStore(path, bench("one"))
	if err != nil {
		t.Fatal(err)
	}
	c = commit(t, s, c, func(c *Case) { c.Note = "ours" })
	putBack(t, path+JournalEnding, content(t, path+JournalEnding)+branch, time.Now())
	return path, s, c, theirs
}

// TestAdoptedOverOurs: going on from another's branch that stands in the file settles
// ours, which is then no conflict; a bench that stood at that branch goes on from there.
func TestAdoptedOverOurs(t *testing.T) {
	path, s, c, theirs := beside(t)
	putBack(t, path, theirs, time.Now())
	two, c2, err := OpenStore(path, bench("two"))
	if err != nil {
		t.Fatal(err)
	}
	f := looked(t, s, c)
	if f == nil || f.Beside() || f.OnlyAdds {
		t.Fatalf("no conflict: %+v", f)
	}
	if err := s.Adopt(f); err != nil {
		t.Fatal(err)
	}
	if f := looked(t, s, f.Case); f != nil {
		t.Errorf("asked again: %v", f.Changes)
	}
	commit(t, two, c2, func(c *Case) { c.Note = "on" })
	if acts := kept(t, path); !acts[`"test"`] || !acts[`{"do":"value"}`] {
		t.Errorf("kept: %v", acts)
	}
}

// TestChangedSinceTold: what was told is neither gone on from nor overruled once the
// case has moved on or another bench holds it.
func TestChangedSinceTold(t *testing.T) {
	onBranch := func(t *testing.T) (string, *Store, *Case) {
		path, s, c, _ := beside(t)
		return path, s, c
	}
	inFile := func(t *testing.T) (string, *Store, *Case) {
		path, s, c := opened(t, "case.toml", written)
		editByHand(t, path)
		return path, s, c
	}
	gone := func(t *testing.T) (string, *Store, *Case) {
		path, s, c := opened(t, "case.toml", written)
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
		return path, s, c
	}
	note := func(t *testing.T, path string) { changeNote(t, path, "since") }
	for name, test := range map[string]struct {
		told  func(*testing.T) (string, *Store, *Case)
		since func(*testing.T, string)
	}{
		"a branch, then an act":         {onBranch, note},
		"a branch, then an edit":        {onBranch, editByHand},
		"a branch, then the file goes":  {onBranch, func(t *testing.T, path string) { _ = os.Remove(path) }},
		"the file, then an act":         {inFile, note},
		"the file, then it goes":        {inFile, func(t *testing.T, path string) { _ = os.Remove(path) }},
		"no file, then one":             {gone, func(t *testing.T, path string) { putBack(t, path, written, time.Now()) }},
		"a branch, settled by another":  {onBranch, settleBranch},
		"a branch, then another's hold": {onBranch, holdIt},
	} {
		t.Run(name, func(t *testing.T) {
			path, s, c := test.told(t)
			f := looked(t, s, c)
			test.since(t, path)
			was, _ := os.ReadFile(path)
			refused := func(err error) bool {
				var held *HeldError
				return errors.Is(err, ErrChanged) || errors.As(err, &held)
			}
			if err := s.Overrule(f, c); !refused(err) {
				t.Errorf("overruled: %v", err)
			}
			if err := s.Adopt(f); f.Case != nil && !refused(err) {
				t.Errorf("gone on from: %v", err)
			}
			if is, _ := os.ReadFile(path); !bytes.Equal(is, was) {
				t.Errorf("overwritten:\n%s", is)
			}
		})
	}
}

// settleBranch overrules a branch and leaves the file as it is.
func settleBranch(t *testing.T, path string) {
	t.Helper()
	s, c, err := OpenStore(path, bench("three"))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Overrule(looked(t, s, c), c); err != nil {
		t.Fatal(err)
	}
}

func holdIt(t *testing.T, path string) {
	t.Helper()
	s, _, err := OpenStore(path, bench("three"))
	if err == nil {
		err = s.Hold(true)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// TestJournalOfOneSize: a line that took the place of a cut-off one of its length is
// read.
func TestJournalOfOneSize(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	old := content(t, path+JournalEnding)
	changeNote(t, path, "theirs")
	whole := content(t, path+JournalEnding)
	putBack(t, path+JournalEnding, old+strings.Repeat("x", len(whole)-len(old)), time.Now())
	if f := looked(t, s, c); f == nil || f.Follows {
		t.Fatalf("a line that is none was read: %+v", f)
	}
	putBack(t, path+JournalEnding, whole, time.Now())
	if f := looked(t, s, c); f == nil || !f.Follows {
		t.Errorf("the line was not read: %+v", f)
	}
}
