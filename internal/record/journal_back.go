package record

import (
	"encoding/json"
	"errors"
	"os"
)

// Past is what a case was before the last act that was not itself taken back.
type Past struct {
	Case *Case           // as it stood then, its count of revisions too
	Led  json.RawMessage // the bench's act that led to it; nil where none did

	text  []byte
	taken string // the revision that is taken back
	head  string // the revision that it was looked up at
}

// Why nothing more is taken back.
var (
	// ErrFirst: the case begins here.
	ErrFirst = errors.New("nothing was done before this")
	// ErrOtherHand: what comes before was not done at a bench, so that no press takes it back.
	ErrOtherHand = errors.New("another hand changed the case file here: nothing before that is taken back")
	// ErrNotKept: the journal is missing, younger than the case, or damaged.
	ErrNotKept = errors.New("the journal beside the case file does not hold what came before")
)

// entry is what is kept in memory of a line of a journal.
type entry struct {
	parent, takes string
	act           string // its name; "begun", "found" and so on; "": another program's
	ofBench       bool   // it was done at a bench
	at, length    int64  // of its line in the file, bytes
}

// actName names what was done in a revision: a bench tells it as an object with
// "do", the program itself as a word.
func actName(told json.RawMessage) (name string, ofBench bool) {
	var act struct{ Do string }
	if json.Unmarshal(told, &act) == nil && act.Do != "" {
		return act.Do, true
	}
	_ = json.Unmarshal(told, &name) // no word either: the act of another program
	return name, false
}

// lastAct gives the last act that led to a revision and was not itself taken back.
func (j *journal) lastAct(head string) (id string, err error) {
	id = head
	for {
		e, known := j.entries[id]
		switch {
		case !known:
			return "", ErrNotKept
		case e.takes == "":
			return id, j.mayBeTakenBack(e)
		}
		taken, known := j.entries[e.takes]
		before, alsoKnown := j.entries[taken.parent]
		if !known || !alsoKnown || before.at >= e.at { // no such thing was ever written
			return "", ErrNotKept
		}
		id = taken.parent
	}
}

// mayBeTakenBack tells why an act cannot be taken back, nil where it can.
func (j *journal) mayBeTakenBack(e entry) error {
	_, known := j.entries[e.parent]
	switch {
	case e.parent == "" && e.act != actFound:
		return ErrFirst
	case !known:
		return ErrNotKept
	case !e.ofBench:
		return ErrOtherHand
	}
	return nil
}

// read reads a revision again.
func (j *journal) read(id string) (*Revision, error) {
	e, known := j.entries[id]
	if !known {
		return nil, ErrNotKept
	}
	f, err := os.Open(j.path)
	if err != nil {
		return nil, fileError(j.path, err)
	}
	defer f.Close()
	line := make([]byte, e.length)
	r := &Revision{}
	if _, err := f.ReadAt(line, e.at); err != nil || json.Unmarshal(line, r) != nil ||
		r.ID != id || id != revisionID(r.Parent, r.content()) {
		return nil, ErrNotKept // another journal was put in its place
	}
	return r, nil
}

// LastAct names the act that would be taken back; ErrFirst, ErrOtherHand and
// ErrNotKept say why there is none.
func (s *Store) LastAct() (name string, err error) {
	id, err := s.journal.lastAct(s.head)
	return s.journal.entries[id].act, err
}

// Before gives what the case was before the last act that was not itself taken
// back. Its errors are those of LastAct, and those of reading.
func (s *Store) Before() (p *Past, err error) {
	err = locked(s.path, func() error {
		if err := s.journal.load(); err != nil {
			return err
		}
		taken, err := s.journal.lastAct(s.head)
		if err != nil {
			return err
		}
		r, err := s.journal.read(s.journal.entries[taken].parent)
		if err != nil {
			return err
		}
		c, err := Decode(s.path, r.content())
		p = &Past{Case: c, text: r.content(), taken: taken, head: s.head}
		if led, none := s.journal.lastAct(r.ID); none == nil && err == nil {
			if r, err = s.journal.read(led); err == nil {
				p.Led = r.Act
			}
		}
		return err
	})
	return p, err
}

// TakeBack confirms c, which is p's case but for the count of revisions, as a
// revision that takes back the last act: the text of the case file is the one of
// that time, comments and all. It is refused as Commit is.
func (s *Store) TakeBack(p *Past, c *Case, act any) error { return s.confirm(c, act, p) }
