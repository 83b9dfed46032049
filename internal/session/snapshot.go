package session

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"

	"ohmward/internal/answer"
	"ohmward/internal/atomicfile"
	"ohmward/internal/record"
)

// What was last shown of a case is saved beside it, so that a case opened again
// shows its step, its readings and its last answer at once, while the board and
// the copper are made ready. It stands only for the very case and board files
// it was made of, and only until the answer is worked out again.

// snapshotFile is its name in the case's folder, and shownSchema the version of
// what it holds.
const (
	snapshotFile   = "shown.json"
	snapshotSchema = 3
	mostSnapshot   = 8 << 20 // bytes
)

type snapshot struct {
	Of   string       `json:"of"` // hash of what it came from
	View *answer.View `json:"view"`
}

// saveSnapshot keeps what is shown of a case at rest. It is a convenience: where
// it cannot be written, the case opens slower.
func (j *Session) saveSnapshot() {
	j.snapshotMu.Lock()
	defer j.snapshotMu.Unlock()
	j.mu.Lock()
	rest, c := j.busy == "" && j.trouble == nil && j.board != nil && j.aim == nil && j.ask == nil &&
		j.ctx.Err() == nil, j.c
	j.mu.Unlock()
	if !rest || j.folder.one != "" {
		return
	}
	v := j.View()
	if v.Revision != c.Steps.Revision || v.Busy != "" {
		return // it moved on: whoever moved it keeps what it then shows
	}
	v.Board, v.Picked, v.CanUndo, v.NoUndo, v.Meter.Down = nil, []string{}, false, "", false
	of, err := j.folder.snapshotHash(j.id, c)
	if err != nil {
		return
	}
	data, err := json.Marshal(snapshot{of, v})
	if err != nil {
		return
	}
	name := filepath.Join(j.folder.dir, "cases", j.id, snapshotFile)
	_ = atomicfile.WriteUnsynced(name, data, 0o644) // an old one does no harm: its hash tells
}

// lastSnapshot gives what was saved of a case; nil where that is of another case
// text or other board files.
func (s *CaseFolder) lastSnapshot(id string, c *record.Case) *answer.View {
	f, err := s.openFile(path.Join("cases", id, snapshotFile))
	if err != nil {
		return nil
	}
	defer f.Close()
	var stored snapshot
	if json.NewDecoder(io.LimitReader(f, mostSnapshot)).Decode(&stored) != nil || stored.View == nil {
		return nil
	}
	if of, err := s.snapshotHash(id, c); err != nil || of != stored.Of {
		return nil
	}
	return stored.View
}

// snapshotHash hashes what an answer comes from: the case's text, and the names,
// sizes and times of the board's files.
func (s *CaseFolder) snapshotHash(id string, c *record.Case) (string, error) {
	text, err := s.root.ReadFile(path.Join("cases", id, caseFile))
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%d\n%d\n", snapshotSchema, len(text))
	sum.Write(text)
	if where := c.BoardPath(); where != record.Demo {
		err = filepath.WalkDir(where, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			info, err := d.Info()
			if err == nil {
				fmt.Fprintf(sum, "%q %d %d\n", name, info.Size(), info.ModTime().UnixNano())
			}
			return err
		})
	}
	return hex.EncodeToString(sum.Sum(nil)), err
}

// fromSnapshot is the view of a case that is being made ready, as it was last
// shown; nil where nothing is saved.
func (j *Session) fromSnapshot() *answer.View {
	if j.snapshot == nil || j.busy == "" {
		return nil
	}
	v := *j.snapshot
	v.Busy, v.Early = j.busy, j.earlyView()
	if j.board != nil {
		v.Board = j.boardView()
	}
	if j.nullIsOld() && (v.Step == stepRead || v.Step == stepCheck) {
		v.Step, v.Target, v.Path = stepNull, nil, milestones(stepNull)
		v.Card = answer.Card{Head: "Null the leads again", Text: []string{"The last null is old."},
			Doing: []answer.Option{}, Speak: "Null the leads again."}
	}
	return &v
}
