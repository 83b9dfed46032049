package record

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"reflect"
	"strings"
)

// Foreign is what another hand made of a case file that is being worked on, or a
// branch that another bench wrote beside it.
type Foreign struct {
	Case     *Case    // nil where it cannot be read
	Err      error    // why
	OnlyAdds bool     // all that was there is there as it was
	Follows  bool     // it was confirmed to the journal as made on ours, and no hand edited in between
	Changes  []string // what differs, in words, a line each

	text   []byte
	branch string // revision of a branch; "": it stands in the file
}

// Look tells what another hand made of the case; nil: it is as it was last read or
// written. ours is the case as it is worked on.
func (s *Store) Look(ours *Case) (f *Foreign, err error) {
	err = locked(s.path, func() error {
		text, err := readSmall(s.path)
		if err == nil {
			text, err = s.carryOut(text)
		}
		switch {
		case errors.Is(err, fs.ErrNotExist):
			f = &Foreign{Err: &Error{File: s.path, What: "is gone"}, Changes: []string{"the file is gone"}}
			return nil
		case err != nil:
			return err
		case !bytes.Equal(text, s.text):
			f = s.foreign(text, "", ours)
			return nil
		}
		if err := s.keepUp(); err != nil {
			return err
		}
		for _, r := range s.journal.heads {
			if r.ID != s.head && !bytes.Equal(r.content(), s.text) {
				f = s.foreign(r.content(), r.ID, ours)
			}
		}
		return nil
	})
	return f, err
}

func (s *Store) foreign(text []byte, branch string, ours *Case) *Foreign {
	f := &Foreign{text: text, branch: branch}
	if f.Case, f.Err = Decode(s.path, text); f.Err != nil {
		f.Changes = []string{f.Err.Error()}
		return f
	}
	f.OnlyAdds, f.Changes = compare(ours, f.Case)
	f.Follows = branch == "" && s.follows(text)
	return f
}

// follows tells whether a text came by confirmed acts alone from what is worked on.
func (s *Store) follows(text []byte) bool {
	e, known := s.journal.entries[s.journal.headOf(text)]
	for known && e.act != actFound {
		if e.parent == s.head {
			return true
		}
		before, kept := s.journal.entries[e.parent]
		e, known = before, kept && before.at < e.at
	}
	return false
}

// still brings the journal up to date; it is ErrChanged where the case is no longer
// as it was told.
func (s *Store) still(f *Foreign) error {
	if err := s.journal.load(); err != nil {
		return err
	}
	text, err := readSmall(s.path)
	if err == nil {
		text, err = s.carryOut(text)
	}
	told := f.text
	if f.Beside() {
		told = s.text
	}
	missing := errors.Is(err, fs.ErrNotExist)
	switch {
	case err != nil && !missing:
		return err
	case missing != (told == nil), !bytes.Equal(text, told):
		return ErrChanged
	case f.Beside() && s.journal.heads[f.branch] == nil: // it was settled
		return ErrChanged
	}
	return nil
}

// Adopt goes on from what another hand made of the case. A HeldError, where what it
// adopts stands beside the file, and ErrChanged leave everything as it was.
func (s *Store) Adopt(f *Foreign) error {
	return locked(s.path, func() error {
		if err := s.still(f); err != nil {
			return err
		}
		l := readLease(s.path)
		switch held := s.heldBy(l); {
		case f.Beside() && held:
			return &HeldError{l}
		case f.Beside():
			return s.write(f.text, actAdopted, links{other: f.branch})
		case held: // whoever works on the case settles what stands beside it
			return s.adopt(f.text)
		}
		left := s.head
		if err := s.adopt(f.text); err != nil || left == s.head || s.journal.heads[left] == nil {
			return err
		}
		_, err := s.add(f.text, actAdopted, links{other: left})
		return err
	})
}

// Beside tells whether it is a branch: the file is not changed by it.
func (f *Foreign) Beside() bool { return f.branch != "" }

// Overrule puts back the case as it is worked on over what another hand made of
// it, which the journal keeps: as the revision of the bench that made it, where one
// did. A HeldError, ErrChanged and ErrUnreadable leave everything as it was.
func (s *Store) Overrule(f *Foreign, ours *Case) error {
	return locked(s.path, func() error {
		if err := s.still(f); err != nil {
			return err
		}
		if l := readLease(s.path); s.heldBy(l) {
			return &HeldError{l}
		}
		text, err := textOf(s.path, s.text, ours)
		if err != nil {
			return err
		}
		head, other := s.head, f.branch
		if other == "" && f.text != nil {
			if other = s.journal.headOf(f.text); other == "" {
				if _, err := s.add(f.text, actFound, links{}); err != nil {
					return err
				}
				other, s.head = s.head, head
			}
		}
		return s.write(text, actKept, links{other: other})
	})
}

// compare tells whether theirs holds all that ours does as it was, and what
// differs. The count of revisions may differ.
func compare(ours, theirs *Case) (onlyAdds bool, changes []string) {
	onlyAdds = true
	before, after := tables(ours), tables(theirs)
	for _, name := range sectionNames(before, after) {
		was, is := ofName(before, name), ofName(after, name)
		place := sameList(was, is)
		used := map[int]bool{}
		for i, p := range place {
			label := sectionLabel(name, i, len(was) > 1 || len(is) > 1)
			if p != i {
				onlyAdds = false
			}
			if p < 0 {
				changes = append(changes, label+": is gone")
				continue
			}
			used[p] = true
			kept, differ := comparePairs(label, was[i].pairs, is[p].pairs)
			onlyAdds = onlyAdds && kept
			changes = append(changes, differ...)
		}
		for p := range is {
			if !used[p] {
				changes = append(changes, sectionLabel(name, p, true)+": is new")
			}
		}
	}
	return onlyAdds, changes
}

func sectionLabel(name string, i int, numbered bool) string {
	switch {
	case name == "":
		return "the case"
	case numbered:
		return fmt.Sprintf("%s %d", name, i+1)
	}
	return name
}

func comparePairs(label string, was, is pairs) (kept bool, changes []string) {
	kept = true
	for _, kv := range was {
		now, stays := is.get(kv.key)
		if kv.key == "revision" || stays && reflect.DeepEqual(now, kv.value) {
			continue
		}
		kept = false
		to := "is gone"
		if stays {
			to = "→ " + tomlValue(now)
		}
		changes = append(changes, fmt.Sprintf("%s: %s = %s %s", label, kv.key, tomlValue(kv.value), to))
	}
	for _, kv := range is {
		if _, known := was.get(kv.key); !known && kv.key != "revision" {
			changes = append(changes, fmt.Sprintf("%s: %s = %s is new", label, kv.key, tomlValue(kv.value)))
		}
	}
	return kept, changes
}

// ChangesInWords joins what differs to one line, cut where it is long.
func (f *Foreign) ChangesInWords(most int) string {
	if len(f.Changes) <= most {
		return strings.Join(f.Changes, "; ")
	}
	return fmt.Sprintf("%s; and %d more", strings.Join(f.Changes[:most], "; "), len(f.Changes)-most)
}
