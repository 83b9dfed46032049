package record

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"iter"
	"os"
	"time"
	"unicode/utf8"
)

// JournalEnding is what a journal is called after its case file.
const JournalEnding = ".journal"

// Revision is one confirmed state of a case file: a line of its journal, which is
// only ever added to.
type Revision struct {
	ID     string          `json:"id"`                   // SHA-256 of parent, a line break and text, in hex
	Parent string          `json:"parent"`               // the revision it was made on; "" of the first
	Other  string          `json:"other,omitempty"`      // the revision beside it that it settles
	Takes  string          `json:"takes_back,omitempty"` // the revision whose act it takes back
	At     time.Time       `json:"at"`                   // UTC
	Bench  string          `json:"bench"`                // the program that wrote it
	Who    string          `json:"who,omitempty"`        // the account it ran under
	Act    json.RawMessage `json:"act"`                  // what was done; "found": by another hand
	Text   string          `json:"text"`                 // the whole case file
	Bytes  []byte          `json:"bytes,omitempty"`      // the same where it is no UTF-8
}

// content is the case file as it was in the revision.
func (r *Revision) content() []byte {
	if r.Bytes != nil {
		return r.Bytes
	}
	return []byte(r.Text)
}

func revisionID(parent string, text []byte) string {
	sum := sha256.New()
	io.WriteString(sum, parent+"\n")
	sum.Write(text)
	return hex.EncodeToString(sum.Sum(nil))
}

// journal is the file that keeps all revisions of a case.
type journal struct {
	path string
	size int64 // up to which it was read
	end  int64 // of the last whole line: what stands behind it was cut off
	// Of the lines read: the last, and all that nothing was built upon.
	last *Revision
	// before is the one that last was made on, where that stood just before it.
	before  *Revision
	built   map[string]bool      // revisions that another was made on or settled
	heads   map[string]*Revision // those that none was made on
	entries map[string]entry     // all, by their identity
}

// What is told as the act of a revision that no bench's act made.
const (
	actFound   = "found"   // another hand had changed the file
	actAdopted = "adopted" // what another bench had written beside it is gone on from
	actKept    = "kept"    // what another hand had written is overruled
)

// mostLine bounds a line: a case file as JSON writes it.
const mostLine = 8 * maxFile

// load reads what was added since the last time.
func (j *journal) load() error {
	info, err := os.Stat(j.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		*j = journal{path: j.path}
		return nil
	case err != nil:
		return fileError(j.path, err)
	case !info.Mode().IsRegular():
		return &Error{File: j.path, What: "is no file: move it away"}
	case info.Size() == j.size && j.size == j.end: // an end that was cut off may have been written over
		return nil
	case info.Size() < j.size: // another one was put in its place
		*j = journal{path: j.path}
	}
	f, err := os.Open(j.path)
	if err != nil {
		return fileError(j.path, err)
	}
	defer f.Close()
	if _, err := f.Seek(j.end, io.SeekStart); err != nil {
		return fileError(j.path, err)
	}
	for r, err := range revisions(f, j.path) {
		var damaged *Error
		if err != nil && !errors.As(err, &damaged) {
			return err
		}
		if err == nil {
			j.note(&r.Revision, r.length)
		}
		j.end += r.length
	}
	j.size = info.Size()
	return nil
}

// stored is a revision with the length of its line, which alone is set where the
// line is damaged.
type stored struct {
	Revision
	length int64
}

// revisions hands out the whole lines of a journal.
func revisions(from io.Reader, path string) iter.Seq2[stored, error] {
	return func(yield func(stored, error) bool) {
		lines := bufio.NewScanner(from)
		lines.Buffer(nil, mostLine)
		lines.Split(wholeLines)
		for n := 1; lines.Scan(); n++ {
			s := stored{length: int64(len(lines.Bytes()))}
			err := json.Unmarshal(lines.Bytes(), &s.Revision)
			switch {
			case err != nil:
				err = &Error{path, n, "is no line of a journal: " + err.Error()}
			case s.ID != revisionID(s.Parent, s.content()):
				err = &Error{path, n, "was changed: its text is not the one that was written"}
			}
			if !yield(s, err) {
				return
			}
		}
		if err := lines.Err(); err != nil {
			yield(stored{}, fileError(path, err))
		}
	}
}

// wholeLines splits at line breaks, which stay; an end without one is left out.
func wholeLines(data []byte, atEnd bool) (advance int, token []byte, err error) {
	if i := bytes.IndexByte(data, '\n'); i >= 0 {
		return i + 1, data[:i+1], nil
	}
	return 0, nil, nil
}

// note takes up the line of a revision that ends what was read so far.
func (j *journal) note(r *Revision, length int64) {
	if j.heads == nil {
		j.heads, j.built, j.entries = map[string]*Revision{}, map[string]bool{}, map[string]entry{}
	}
	if _, again := j.entries[r.ID]; !again {
		act, ofBench := actName(r.Act)
		j.entries[r.ID] = entry{r.Parent, r.Takes, act, ofBench, j.end, length}
	}
	for _, id := range []string{r.Parent, r.Other} {
		j.built[id] = true
		delete(j.heads, id)
	}
	if !j.built[r.ID] {
		j.heads[r.ID] = r
	}
	j.before = nil
	if j.last != nil && j.last.ID == r.Parent {
		j.before = j.last
	}
	j.last = r
}

// holds tells whether a revision is in the journal.
func (j *journal) holds(id string) bool { return j.built[id] || j.heads[id] != nil }

// headOf gives the latest revision of a text that nothing was built upon; "" where
// there is none.
func (j *journal) headOf(text []byte) (id string) {
	for of, r := range j.heads {
		if bytes.Equal(r.content(), text) && (id == "" || j.entries[of].at > j.entries[id].at) {
			id = of
		}
	}
	return id
}

// add appends a revision and waits until it outlasts a power cut; take takes it
// off again.
func (j *journal) add(r *Revision, mode fs.FileMode) (take func(), err error) {
	if text := r.content(); !utf8.Valid(text) {
		r.Text, r.Bytes = "", text
	}
	r.ID = revisionID(r.Parent, r.content())
	line, err := json.Marshal(r)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(j.path, os.O_CREATE|os.O_WRONLY, mode)
	if err != nil {
		return nil, fileError(j.path, err)
	}
	was := *j
	_, err = f.WriteAt(append(line, '\n'), j.end)
	if err == nil {
		err = f.Truncate(j.end + int64(len(line)) + 1)
	}
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		err = errors.Join(fileError(j.path, err), f.Truncate(was.end), f.Close())
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, fileError(j.path, err)
	}
	j.note(r, int64(len(line))+1)
	j.end += int64(len(line)) + 1
	j.size = j.end
	return func() {
		if err := os.Truncate(j.path, was.end); err == nil {
			*j = journal{path: j.path} // to be read again
		}
	}, nil
}

// ReadJournal hands out the revisions of a journal in their order. A damaged line
// is an Error, after which the next ones follow; an end that was cut off was never
// confirmed, and is left out.
func ReadJournal(path string) iter.Seq2[*Revision, error] {
	return func(yield func(*Revision, error) bool) {
		f, err := os.Open(path)
		if err != nil {
			yield(nil, fileError(path, err))
			return
		}
		defer f.Close()
		for r, err := range revisions(f, path) {
			if !yield(&r.Revision, err) {
				return
			}
		}
	}
}
