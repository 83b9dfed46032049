package bench

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"ohmward/internal/record"
)

// What was last shown of a case is kept beside it, so that a case opened again
// shows its step, its readings and its last answer at once, while the board and
// the copper are made ready. It stands only for the very case and board files
// it was made of, and only until the answer is worked out again.

// shownFile is its name in the case's folder, and shownSchema the version of
// what it holds.
const (
	shownFile   = "shown.json"
	shownSchema = 2
	mostShown   = 8 << 20 // bytes
)

type shownView struct {
	Of   string `json:"of"` // hash of what it came from
	View *View  `json:"view"`
}

// keepShown keeps what is shown of a case at rest. It is a convenience: where
// it cannot be written, the case opens slower.
func (j *Job) keepShown() {
	j.shownMu.Lock()
	defer j.shownMu.Unlock()
	j.mu.Lock()
	rest, c := j.busy == "" && j.trouble == nil && j.desk != nil && j.aim == nil && j.ctx.Err() == nil, j.c
	j.mu.Unlock()
	if !rest {
		return
	}
	v := j.View()
	if v.Revision != c.Steps.Revision || v.Busy != "" {
		return // it moved on: whoever moved it keeps what it then shows
	}
	v.Board, v.Picked, v.CanUndo, v.Meter.Down = nil, []string{}, false, false
	of, err := j.shelf.shownOf(j.id, c)
	if err != nil {
		return
	}
	data, err := json.Marshal(shownView{of, v})
	if err != nil {
		return
	}
	name := filepath.Join(j.shelf.dir, "cases", j.id, shownFile)
	if os.WriteFile(name+".new", data, 0o644) == nil {
		_ = os.Rename(name+".new", name) // an old one does no harm: its hash tells
	}
}

// lastShown gives what was kept of a case; nil where that is of another case
// text or other board files.
func (s *Shelf) lastShown(id string, c *record.Case) *View {
	f, err := s.root.Open(path.Join("cases", id, shownFile))
	if err != nil {
		return nil
	}
	defer f.Close()
	var kept shownView
	if json.NewDecoder(io.LimitReader(f, mostShown)).Decode(&kept) != nil || kept.View == nil {
		return nil
	}
	if of, err := s.shownOf(id, c); err != nil || of != kept.Of {
		return nil
	}
	return kept.View
}

// shownOf hashes what an answer comes from: the case's text, and the names,
// sizes and times of the board's files.
func (s *Shelf) shownOf(id string, c *record.Case) (string, error) {
	text, err := s.root.ReadFile(path.Join("cases", id, caseFile))
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%d\n%d\n", shownSchema, len(text))
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

// asShown is the view of a case that is being made ready, as it was last
// shown; nil where nothing is kept.
func (j *Job) asShown() *View {
	if j.shown == nil || j.busy == "" {
		return nil
	}
	v := *j.shown
	v.Busy = j.busy
	if j.desk != nil {
		v.Board = j.boardView()
	}
	if j.nullIsOld() && (v.Step == stepRead || v.Step == stepCheck) {
		v.Step, v.Target, v.Path = stepNull, nil, milestones(stepNull)
		v.Card = Card{Head: "Null the leads again", Text: []string{"The last null is old."}, Doing: []Option{}, Speak: "Null the leads again."}
	}
	return &v
}
