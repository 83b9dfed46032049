package record

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
)

// What another hand wrote is told and never overwritten; both are kept.
func TestForeign(t *testing.T) {
	edit := func(from, to string) func(string) string {
		return func(text string) string { return strings.Replace(text, from, to, 1) }
	}
	cases := map[string]struct {
		edit     func(string) string
		onlyAdds bool
		tells    string
	}{
		"a reading more": {func(s string) string {
			return s + "[[reading]]\nfrom = \"C2.1\"\nto = \"C2.2\"\nohms = 0.03\n"
		}, true, "reading 2: is new"},
		"a key more":        {edit("ohms = \"18.7m\"", "ohms = \"18.7m\"\nnote = \"warm\""), true, `note = "warm" is new`},
		"another value":     {edit("18.7m", "19.7m"), false, "reading: ohms = 0.0187 → 0.0197"},
		"a key less":        {edit("cautions = true\n", ""), false, "bench: cautions = true is gone"},
		"a finding less":    {edit("[[finding]]\nafter_reading = 1\ndone = \"looked\"\nplace = \"L1@10,10\"\nnote = \"nothing, twice\"\nseen = \"nothing\"\n", ""), false, "finding: is gone"},
		"no case any more":  {edit("board", "boar"), false, `unknown key "boar"`},
		"nothing":           {func(string) string { return "" }, false, "is empty"},
		"a comment":         {edit("# end of page", "# end"), true, ""},
		"one put in before": {edit("# by hand, cold\n", "[[reading]]\nfrom = \"A\"\nto = \"B\"\nohms = 1\n"), false, "reading"},
	}
	for name, test := range cases {
		t.Run(name, func(t *testing.T) {
			path, s, c := opened(t, "case.toml", numbered)
			theirs := test.edit(numbered)
			if theirs == numbered {
				t.Fatal("the edit changed nothing")
			}
			if err := os.WriteFile(path, []byte(theirs), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := s.Commit(c, "test"); !errors.Is(err, ErrChanged) {
				t.Fatalf("committed over it: %v", err)
			}
			f, err := s.Look(c)
			if err != nil || f == nil {
				t.Fatalf("nothing seen: %v", err)
			}
			if f.OnlyAdds != test.onlyAdds || !strings.Contains(f.ChangesInWords(9), test.tells) {
				t.Errorf("only adds %v, %q", f.OnlyAdds, f.ChangesInWords(9))
			}
			if got := content(t, path); got != theirs {
				t.Errorf("it was overwritten:\n%s", got)
			}
			again := theirs + "# once more\n"
			if err := os.WriteFile(path, []byte(again), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := s.Overrule(f, c); !errors.Is(err, ErrChanged) || content(t, path) != again {
				t.Fatalf("a second edit was overwritten: %v", err)
			}
			if err := os.WriteFile(path, []byte(theirs), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := s.Overrule(f, c); err != nil {
				t.Fatal(err)
			}
			if got := content(t, path); got != numbered {
				t.Errorf("ours is not back:\n%s", got)
			}
			if again, err := s.Look(c); err != nil || again != nil {
				t.Errorf("not settled: %+v, %v", again, err)
			}
			if !journalHolds(t, path, theirs) {
				t.Error("the journal does not keep what was overruled")
			}
		})
	}
}

func journalHolds(t *testing.T, path, text string) bool {
	t.Helper()
	for r, err := range ReadJournal(path + JournalEnding) {
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(r.content(), []byte(text)) {
			return true
		}
	}
	return false
}

// The other's may be taken instead, and is gone on from.
func TestAdopt(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	theirs := strings.Replace(written, "18.7m", "19.7m", 1)
	if err := os.WriteFile(path, []byte(theirs), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := s.Look(c)
	if err != nil || f == nil {
		t.Fatal(f, err)
	}
	if err := s.Adopt(f); err != nil {
		t.Fatal(err)
	}
	commit(t, s, f.Case, func(c *Case) { c.Note = "on" })
	if got := content(t, path); !strings.Contains(got, "19.7m") || !strings.Contains(got, "note = \"on\"") {
		t.Errorf("got:\n%s", got)
	}
}

// A file that is gone is told, and comes back from what is worked on.
func TestGone(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	f, err := s.Look(c)
	if err != nil || f == nil || f.Err == nil {
		t.Fatal(f, err)
	}
	if err := s.Overrule(f, c); err != nil {
		t.Fatal(err)
	}
	if got := content(t, path); got != written {
		t.Errorf("got:\n%s", got)
	}
}

// A branch that another bench wrote beside the case is told, and settled once.
func TestBranch(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	mine := content(t, path+JournalEnding)
	theirs := commit(t, s, c, func(c *Case) { c.Steps.Revision, c.Note = 4, "theirs" })
	branch := strings.TrimPrefix(content(t, path+JournalEnding), mine)
	theirText := content(t, path)
	// As if the other had been cut off: its line comes late, beside ours.
	for name, text := range map[string]string{path: written, path + JournalEnding: mine} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	s, c, err := OpenStore(path, bench("one"))
	if err != nil {
		t.Fatal(err)
	}
	c = commit(t, s, c, func(c *Case) { c.Steps.Revision, c.Note = 4, "ours" })
	late, err := os.OpenFile(path+JournalEnding, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := late.WriteString(branch); err != nil {
		t.Fatal(err)
	}
	if err := late.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := s.Look(c)
	if err != nil || f == nil || f.Case == nil || f.Case.Note != theirs.Note {
		t.Fatalf("the branch is not told: %+v, %v", f, err)
	}
	if err := s.Adopt(f); err != nil {
		t.Fatal(err)
	}
	if again, err := s.Look(f.Case); err != nil || again != nil {
		t.Errorf("not settled: %+v, %v", again, err)
	}
	if got := content(t, path); got != theirText {
		t.Errorf("got:\n%s", got)
	}
}

// TestFollows: what came by confirmed acts alone follows what is worked on; with an
// edit by hand on the way, or beside it, it does not.
func TestFollows(t *testing.T) {
	for name, test := range map[string]struct {
		by      func(t *testing.T, path string)
		follows bool
	}{
		"an act": {func(t *testing.T, path string) { changeNote(t, path, "one") }, true},
		"two acts": {func(t *testing.T, path string) {
			changeNote(t, path, "one")
			changeNote(t, path, "two")
		}, true},
		"an edit by hand": {func(t *testing.T, path string) { editByHand(t, path) }, false},
		"an edit by hand, then an act": {func(t *testing.T, path string) {
			editByHand(t, path)
			changeNote(t, path, "one")
		}, false},
		"an act, then an edit by hand": {func(t *testing.T, path string) {
			changeNote(t, path, "one")
			editByHand(t, path)
		}, false},
	} {
		t.Run(name, func(t *testing.T) {
			path, s, c := opened(t, "case.toml", written)
			test.by(t, path)
			f, err := s.Look(c)
			if err != nil || f == nil {
				t.Fatal(f, err)
			}
			if f.Follows != test.follows {
				t.Errorf("follows: %v", f.Follows)
			}
		})
	}
}

func changeNote(t *testing.T, path, note string) {
	t.Helper()
	_, err := Update(path, bench("two"), press("value"), func(c *Case) error {
		c.Note, c.Readings[0].Ohms = note, c.Readings[0].Ohms+1e-3
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func editByHand(t *testing.T, path string) {
	t.Helper()
	text := strings.Replace(content(t, path), "unit = \"17\"", "unit = \"18\"", 1)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
