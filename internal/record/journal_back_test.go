package record

import (
	"encoding/json"
	"errors"
	"os"
	"regexp"
	"strings"
	"testing"

	"ohmward/unit"
)

// press is an act as a bench tells it.
func press(name string) map[string]string { return map[string]string{"do": name} }

func act(t *testing.T, s *Store, c *Case, name string, change func(*Case)) *Case {
	t.Helper()
	next := *c
	steps := *c.Steps
	next.Steps = &steps
	next.Readings = append([]Reading(nil), c.Readings...)
	change(&next)
	next.Steps.Revision++
	if err := s.Commit(&next, press(name)); err != nil {
		t.Fatal(err)
	}
	return &next
}

// back takes the last act back, as of the revision that the case stands at.
func back(t *testing.T, s *Store, c *Case) *Case {
	t.Helper()
	p, err := s.Before()
	if err != nil {
		t.Fatal(err)
	}
	p.Case.Steps.Revision = c.Steps.Revision + 1
	if err := s.TakeBack(p, p.Case, press("undo")); err != nil {
		t.Fatal(err)
	}
	return p.Case
}

var revisionLine = regexp.MustCompile(`(?m)^"? *revision"? *[=:] *\d+,?$`)

// stateOf is a text but for its count of revisions.
func stateOf(text string) string { return revisionLine.ReplaceAllString(text, "revision") }

func reading(ohms unit.Resistance) func(*Case) {
	return func(c *Case) {
		c.Readings = append(c.Readings, Reading{From: "C1.1", To: "C1.2", Ohms: ohms})
	}
}

// TestTakeBack: acts are taken back one by one, to the text that stood before each,
// comments and all; what is done in between goes first, and a program started anew
// goes on going back.
func TestTakeBack(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	var states []string
	do := func(name string, change func(*Case)) {
		t.Helper()
		states = append(states, stateOf(content(t, path)))
		c = act(t, s, c, name, change)
	}
	undo := func() {
		t.Helper()
		c = back(t, s, c)
		last := len(states) - 1
		if got := stateOf(content(t, path)); got != states[last] {
			t.Fatalf("taken back to:\n%s\nnot to:\n%s", got, states[last])
		}
		states = states[:last]
	}
	do("value", reading(0.02))
	do("drop", func(c *Case) { c.Readings = c.Readings[1:] }) // the one with the comments
	undo()
	do("edit", func(c *Case) { c.Readings[0].Ohms = 0.019 })
	do("value", reading(0.03))
	undo()
	undo()
	if name, err := s.LastAct(); name != "value" || err != nil {
		t.Errorf("next goes %q, %v", name, err)
	}
	do("tips", func(c *Case) { c.Meter.Profile = "bench-6.5-digit-hand" })
	s, c, err := OpenStore(path, bench("two"))
	if err != nil {
		t.Fatal(err)
	}
	c = back(t, s, c)
	c = back(t, s, c)
	if got := stateOf(content(t, path)); got != stateOf(written) {
		t.Errorf("not at the beginning:\n%s", got)
	}
	if _, err := s.Before(); !errors.Is(err, ErrNotKept) {
		t.Errorf("went beyond what the journal holds: %v", err)
	}
	if c.Steps.Revision != 3+10 { // five acts, five taken back
		t.Errorf("the count of revisions went back to %d", c.Steps.Revision)
	}
}

// TestTakeBackTells: the journal says of each revision that takes an act back, which.
func TestTakeBackTells(t *testing.T) {
	path, s, c := opened(t, "case.json", `{"board": "demo", "nets": ["A", "B"], "bench": {"revision": 1}}`)
	c = act(t, s, c, "value", reading(0.02))
	one := s.head
	c = act(t, s, c, "value", reading(0.03))
	two := s.head
	c = back(t, s, c)
	back(t, s, c)
	var takes []string
	for r, err := range ReadJournal(path + JournalEnding) {
		if err != nil {
			t.Fatal(err)
		}
		if r.Takes != "" {
			takes = append(takes, r.Takes)
		}
	}
	if len(takes) != 2 || takes[0] != two || takes[1] != one {
		t.Errorf("takes back %v, not %v", takes, []string{two, one})
	}
}

// TestNoWayBack: beyond the beginning, another hand's edit, a command's reading, a
// settled conflict and a journal that is missing, older or damaged nothing is taken
// back, and the case stays as it is.
func TestNoWayBack(t *testing.T) {
	two := func(t *testing.T) (string, *Store, *Case) {
		t.Helper()
		path, s, c := opened(t, "case.toml", written)
		c = act(t, s, c, "value", reading(0.02))
		return path, s, act(t, s, c, "value", reading(0.03))
	}
	edit := func(t *testing.T, path string) {
		t.Helper()
		text := strings.Replace(content(t, path), "18.7m", "19.7m", 1)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	look := func(t *testing.T, s *Store, c *Case) *Foreign {
		t.Helper()
		f, err := s.Look(c)
		if f == nil || err != nil {
			t.Fatal(f, err)
		}
		return f
	}
	journalOf := func(t *testing.T, path string, change func([]string) []string) {
		t.Helper()
		lines := change(strings.SplitAfter(content(t, path+JournalEnding), "\n"))
		if err := os.WriteFile(path+JournalEnding, []byte(strings.Join(lines, "")), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for name, test := range map[string]struct {
		do   func(t *testing.T, path string, s *Store, c *Case)
		want error
		acts int // that are taken back first
	}{
		"edited by hand": {func(t *testing.T, path string, s *Store, c *Case) {
			edit(t, path)
			if err := s.Adopt(look(t, s, c)); err != nil {
				t.Fatal(err)
			}
		}, ErrOtherHand, 0},
		"edited by hand, overruled": {func(t *testing.T, path string, s *Store, c *Case) {
			edit(t, path)
			if err := s.Overrule(look(t, s, c), c); err != nil {
				t.Fatal(err)
			}
		}, ErrOtherHand, 0},
		"edited while closed": {func(t *testing.T, path string, _ *Store, _ *Case) { edit(t, path) }, ErrOtherHand, 0},
		"a command's reading": {func(t *testing.T, path string, _ *Store, _ *Case) {
			_, err := Update(path, bench("command"), map[string]int{"readings added": 1}, func(c *Case) error {
				reading(0.04)(c)
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
		}, ErrOtherHand, 0},
		"no journal": {func(t *testing.T, path string, _ *Store, _ *Case) {
			if err := os.Remove(path + JournalEnding); err != nil {
				t.Fatal(err)
			}
		}, ErrNotKept, 0},
		"an older journal": {func(t *testing.T, path string, _ *Store, _ *Case) {
			journalOf(t, path, func(lines []string) []string { return lines[:len(lines)-2] })
		}, ErrOtherHand, 0},
		"a damaged line": {func(t *testing.T, path string, _ *Store, _ *Case) {
			journalOf(t, path, func(lines []string) []string {
				lines[1] = strings.Replace(lines[1], "0.02", "0.05", 1)
				return lines
			})
		}, ErrNotKept, 0},
		"its own beginning": {func(t *testing.T, path string, _ *Store, _ *Case) {
			journalOf(t, path, func(lines []string) []string {
				lines[0] = strings.Replace(lines[0], `"found"`, `"begun"`, 1)
				return lines
			})
		}, ErrFirst, 2},
		"what takes itself back": {func(t *testing.T, path string, s *Store, _ *Case) {
			journalOf(t, path, func(lines []string) []string {
				lines[2] = strings.Replace(lines[2], `"at"`, `"takes_back":"`+s.head+`","at"`, 1)
				return lines
			})
		}, nil, -1},
	} {
		t.Run(name, func(t *testing.T) {
			path, s, c := two(t)
			test.do(t, path, s, c)
			s, c, err := OpenStore(path, bench("two"))
			if err != nil {
				t.Fatal(err)
			}
			if test.acts < 0 { // it ends, and that is all that can be asked of it
				_, _ = s.LastAct()
				return
			}
			for range test.acts {
				c = back(t, s, c)
			}
			before := content(t, path)
			if _, err := s.LastAct(); !errors.Is(err, test.want) {
				t.Errorf("may be taken back: %v, not %v", err, test.want)
			}
			if _, err := s.Before(); !errors.Is(err, test.want) {
				t.Errorf("taken back: %v, not %v", err, test.want)
			}
			if got := content(t, path); got != before {
				t.Errorf("the case has changed:\n%s", got)
			}
		})
	}
}

// TestTakeBackWhileChanged: what another hand wrote since is not overwritten, and a
// state that was looked up before another act is not gone back to.
func TestTakeBackWhileChanged(t *testing.T) {
	path, s, c := opened(t, "case.toml", written)
	c = act(t, s, c, "value", reading(0.02))
	p, err := s.Before()
	if err != nil {
		t.Fatal(err)
	}
	mine := content(t, path)
	if err := os.WriteFile(path, []byte(mine+"# seen\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := s.TakeBack(p, p.Case, press("undo")); !errors.Is(err, ErrChanged) {
		t.Errorf("overwritten: %v", err)
	}
	if err := os.WriteFile(path, []byte(mine), 0o600); err != nil {
		t.Fatal(err)
	}
	act(t, s, c, "value", reading(0.03))
	if err := s.TakeBack(p, p.Case, press("undo")); !errors.Is(err, ErrNotKept) {
		t.Errorf("took two acts back at once: %v", err)
	}
}

// Journals of before keep their form: what a line says of taking back may be missing.
func TestActName(t *testing.T) {
	for told, want := range map[string]struct {
		name    string
		ofBench bool
	}{
		`{"rev":3,"do":"value","text":"18.7m"}`: {"value", true}, `"found"`: {"found", false},
		`{"readings added":2}`: {"", false}, `null`: {"", false}, `7`: {"", false}, `{"do":3}`: {"", false},
	} {
		if name, ofBench := actName(json.RawMessage(told)); name != want.name || ofBench != want.ofBench {
			t.Errorf("%s: %q, %v", told, name, ofBench)
		}
	}
}
