package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"time"

	"ohmward/internal/atomicfile"
)

// Writer is a program that writes cases.
type Writer struct {
	Bench string           // tells this running program from any other
	Who   string           // the account it runs under; may be ""
	Now   func() time.Time // the clock
}

// Account is the name that the program runs under, "" where the system has none.
func Account() string {
	u, err := user.Current()
	if err != nil {
		return ""
	}
	return u.Username
}

// Store is a case file with its journal as one program works on it. What others
// write meanwhile is never overwritten: Commit refuses with ErrChanged, Look tells
// what changed. It may be used by one goroutine at a time.
type Store struct {
	path    string
	writer  Writer
	text    []byte // as last read or written
	head    string // the revision that this is
	journal journal
}

// ErrChanged says that the case file is not as it was last read.
var ErrChanged = errors.New("the case file was changed by another hand")

// OpenStore reads a case file to work on it. A revision that was confirmed to its
// journal, but cut off before it came to the file, is carried out.
func OpenStore(path string, w Writer) (*Store, *Case, error) {
	s := &Store{path: followed(path), writer: w}
	s.journal.path = s.path + JournalEnding
	var c *Case
	err := locked(s.path, func() (err error) {
		c, err = s.load()
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	return s, c, nil
}

// Create writes a new case file with its first revision.
func Create(path string, c *Case, act any, w Writer) error {
	s := &Store{path: path, writer: w}
	s.journal.path = path + JournalEnding
	return locked(path, func() error {
		if _, err := os.Lstat(path); err == nil {
			return &Error{File: path, What: "is there already"}
		}
		text, err := textOf(path, nil, c)
		if err != nil {
			return err
		}
		return s.write(text, act, links{})
	})
}

// followed is the file that a link leads to, so that a link stays one.
func followed(path string) string {
	if to, err := filepath.EvalSymlinks(path); err == nil {
		return to
	}
	return path
}

func (s *Store) load() (*Case, error) {
	text, err := readSmall(s.path)
	if err != nil {
		return nil, err
	}
	if text, err = s.carryOut(text); err != nil {
		return nil, err
	}
	c, err := Decode(s.path, text)
	if err != nil {
		return nil, err
	}
	return c, s.adopt(text)
}

// carryOut brings the journal up to date; what a kill cut off before it came to the
// file, which holds text, is written there. It gives what the file holds then.
func (s *Store) carryOut(text []byte) ([]byte, error) {
	if err := s.journal.load(); err != nil {
		return nil, err
	}
	cut := s.journal.last
	if cut == nil || !s.cutOff(text, cut) {
		return text, nil
	}
	if err := atomicfile.Write(s.path, cut.content(), 0o644); err != nil {
		return nil, fileError(s.path, err)
	}
	return cut.content(), nil
}

// cutOff tells whether the journal's last revision did not come to the file: the
// file holds the one before, was not touched since, and never was seen to hold it.
func (s *Store) cutOff(text []byte, last *Revision) bool {
	info, err := os.Stat(s.path)
	before := s.journal.before
	return err == nil && before != nil && last.ID != s.head && bytes.Equal(text, before.content()) &&
		!bytes.Equal(text, last.content()) && !info.ModTime().After(last.At)
}

// adopt makes a text that stands in the file the one that is worked on; where the
// journal lacks it, another hand wrote it.
func (s *Store) adopt(text []byte) error {
	s.text = text
	if id := s.journal.headOf(text); id != "" {
		s.head = id
		return nil
	}
	if s.head = ""; s.journal.last != nil {
		s.head = s.journal.last.ID
	}
	_, err := s.add(text, actFound, links{})
	return err
}

// links are what a revision has to do with others than its parent: the one beside
// it that it settles, and the one whose act it takes back.
type links struct{ other, takes string }

// add confirms a text to the journal, as made on the head; undo takes it off again.
func (s *Store) add(text []byte, act any, to links) (undo func(), err error) {
	told, err := json.Marshal(act)
	if err != nil {
		return nil, err
	}
	r := &Revision{Parent: s.head, Other: to.other, Takes: to.takes, At: s.writer.Now().UTC(),
		Bench: s.writer.Bench, Who: s.writer.Who, Act: told, Text: string(text)}
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(s.path); err == nil {
		mode = info.Mode().Perm()
	}
	take, err := s.journal.add(r, mode)
	if err != nil {
		return nil, err
	}
	was := s.head
	s.head = r.ID
	return func() {
		s.head = was
		take()
	}, nil
}

// write confirms a text to the journal, then to the file.
func (s *Store) write(text []byte, act any, to links) error {
	undo, err := s.add(text, act, to)
	if err != nil {
		return err
	}
	if err := atomicfile.Write(s.path, text, 0o644); err != nil {
		undo()
		return fileError(s.path, err)
	}
	s.text = text
	return nil
}

// Commit confirms a case that was made of the one last read or written: it is on
// the disk when Commit returns nil. A HeldError, ErrChanged and ErrUnreadable
// leave everything as it was.
func (s *Store) Commit(c *Case, act any) error { return s.confirm(c, act, nil) }

// confirm writes a case over the text that it was last read or written as, or over
// a past one.
func (s *Store) confirm(c *Case, act any, back *Past) error {
	return locked(s.path, func() error {
		if l := readLease(s.path); s.heldBy(l) {
			return &HeldError{l}
		}
		text, err := readSmall(s.path)
		if err != nil {
			return ErrChanged
		}
		if text, err = s.carryOut(text); err != nil {
			return err
		}
		if !bytes.Equal(text, s.text) {
			return ErrChanged
		}
		if err := s.keepUp(); err != nil {
			return err
		}
		over, to := s.text, links{}
		if back != nil {
			if back.head != s.head {
				return ErrNotKept
			}
			over, to.takes = back.text, back.taken
		}
		if text, err = textOf(s.path, over, c); err != nil {
			return err
		}
		return s.write(text, act, to)
	})
}

// keepUp goes on from where the text that is worked on stands in the journal: what
// was built on its revision may have led to the same text, and the journal may have
// been taken away.
func (s *Store) keepUp() error {
	if s.journal.heads[s.head] != nil {
		return nil
	}
	if id := s.journal.headOf(s.text); id != "" {
		s.head = id
	}
	if s.journal.holds(s.head) {
		return nil
	}
	return s.adopt(s.text)
}

// Hold takes or renews the right to work on the case for half a minute; take
// takes it from whoever has it. It is a HeldError where another bench has it.
func (s *Store) Hold(take bool) error {
	return locked(s.path, func() error {
		if l := readLease(s.path); s.heldBy(l) && !take {
			return &HeldError{l}
		}
		host, err := os.Hostname()
		if err != nil {
			host = ""
		}
		return writeLease(s.path, Lease{s.writer.Bench, host, os.Getpid(), s.writer.Now().Add(leaseTime).UTC()})
	})
}

// Release gives that right back.
func (s *Store) Release() error {
	return locked(s.path, func() error {
		if readLease(s.path).Bench != s.writer.Bench {
			return nil
		}
		return removeLease(s.path)
	})
}

// heldBy tells whether a lease is another bench's, and in force.
func (s *Store) heldBy(l Lease) bool {
	left := l.Until.Sub(s.writer.Now())
	return l.Bench != s.writer.Bench && left > 0 && left <= leaseTime && !l.ofTheDead()
}

// Update changes a case file in one go, whatever else works on it: change gets the
// case as it stands.
func Update(path string, w Writer, act any, change func(*Case) error) (*Case, error) {
	s := &Store{path: followed(path), writer: w}
	s.journal.path = s.path + JournalEnding
	var c *Case
	err := locked(s.path, func() (err error) {
		if c, err = s.load(); err != nil {
			return err
		}
		if err := change(c); err != nil {
			return err
		}
		if c.Steps != nil {
			c.Steps.Revision++
		}
		text, err := textOf(s.path, s.text, c)
		if err != nil {
			return err
		}
		return s.write(text, act, links{})
	})
	return c, err
}
