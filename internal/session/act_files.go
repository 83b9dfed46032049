package session

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
	"ohmward/internal/record"
)

// offeredRoles are roles that the page offers for a file; any that --role takes may
// be typed.
var offeredRoles = func() []string {
	out := []string{"copper top", "copper bottom"}
	const inner = 15 // offered; up to 64 may be typed
	for l := 2; l <= inner; l++ {
		out = append(out, fmt.Sprintf("copper L%d", l))
	}
	return append(out, "mask top", "mask bottom", "paste top", "paste bottom", "profile",
		"drill", "drill plated", "drill unplated", "drill fitted", "drill plated 1-2", "drill plated 2-3",
		"netlist", "parts list", "ignore")
}()

func (j *Session) fileViews() []answer.FileView {
	out := []answer.FileView{}
	for _, f := range j.board.Layout.Files {
		out = append(out, answer.FileView{Path: f.Path, Role: f.Role, Why: f.Why})
	}
	return out
}

func (j *Session) copyViews() []answer.CopyView {
	out := []answer.CopyView{}
	for i, c := range j.board.Layout.Copies {
		x, y := c.Box.Min.MM()
		words := fmt.Sprintf("copy %d, from %.1f, %.1f mm", i+1, x, y)
		if c.Turned {
			words += ", turned"
		}
		out = append(out, answer.CopyView{N: i + 1, Words: words})
	}
	return out
}

// boardKey names a board, the overrides of its files and the figures it is read
// with: boards of one such name are read alike.
func boardKey(c *record.Case) string {
	return c.BoardPath() + "\n" + overridesKey(c.Steps) + "\n" + figuresKey(c)
}

// overridesKey is the overrides of a board's files.
func overridesKey(s *record.Steps) string {
	return strings.Join(append(slices.Clone(s.Roles), s.Copy), "|")
}

// doubtViews lists the doubts of the session's board with the ways to settle them.
func (j *Session) doubtViews() []answer.DoubtView {
	out := []answer.DoubtView{}
	for _, d := range bench.Doubts(j.board.Board) {
		v := answer.DoubtView{Doubt: d, Key: keyOf(d), Ways: waysFor(board.Code(d.Code), d.File)}
		v.Settled = slices.Contains(j.c.Steps.Settled, v.Key)
		for _, f := range j.board.Layout.Files {
			if f.Path == d.File {
				v.As = f.Role
			}
		}
		v.Says, v.Advice = plainFigures(d.What), adviceFor(v)
		out = append(out, v)
	}
	return out
}

func keyOf(d answer.Doubt) string { return d.File + ": " + d.What }

// waysFor gives what can be tapped about a doubt or an error of a code. Which
// copy of a panel is meant is asked beside the doubt: BoardView.Copies.
func waysFor(code board.Code, file string) []answer.Option {
	switch code {
	case board.DrillUnit:
		return []answer.Option{{Words: "Find its unit by the pads", Note: "read as the holes fit them",
			Act: answer.Act{Do: "role", Place: file, Text: "drill fitted"}}}
	case board.Hairline:
		return []answer.Option{{Words: "Fill them", Note: "below 20 µm, in all nets",
			Act: answer.Act{Do: "assume", Place: "close", Text: "20um"}}}
	case board.NoCopy:
		return []answer.Option{{Words: "Leave the copy out", Act: answer.Act{Do: "copy"}}}
	}
	return []answer.Option{}
}

// readFailure says what can be done about a board that failed to read.
func readFailure(c *record.Case, failed error) *answer.ReadFailure {
	m := &answer.ReadFailure{Files: boardread.Names(c.BoardPath()), Roles: offeredRoles, Ways: []answer.Option{}}
	var p *boardread.Problem
	if errors.As(failed, &p) {
		m.File, m.Ways = p.File, waysFor(p.Code, p.File)
	}
	if m.File == "" { // readers' errors begin with their file
		for _, f := range m.Files {
			if len(f) > len(m.File) && strings.Contains(failed.Error(), f) {
				m.File = f
			}
		}
	}
	if len(c.Steps.Roles) > 0 || c.Steps.Copy != "" {
		m.Ways = append(m.Ways, answer.Option{Words: "Read it as the files say", Note: "takes back what was chosen",
			Act: answer.Act{Do: "as-read"}})
	}
	if len(m.Files) == 0 && len(m.Ways) == 0 {
		return nil
	}
	return m
}

// withoutBoard are the acts that need no board.
var withoutBoard = []string{"role", "copy", "as-read", "undo"}

// settleDoubt notes that a doubt was looked at and is so; a second time takes
// that back.
func settleDoubt(j *Session, next *record.Case, a answer.Act) (bool, error) {
	s := next.Steps
	if i := slices.Index(s.Settled, a.Text); i >= 0 {
		s.Settled = slices.Delete(s.Settled, i, i+1)
		return true, nil
	}
	if !slices.ContainsFunc(bench.Doubts(j.board.Board),
		func(d answer.Doubt) bool { return keyOf(d) == a.Text }) {
		return false, &answer.Error{Kind: answer.Misuse, What: "there is no such doubt about this board"}
	}
	s.Settled = append(s.Settled, a.Text)
	return true, nil
}

// setRole says what a file is; no role leaves it to the file.
func setRole(j *Session, next *record.Case, a answer.Act) (bool, error) {
	known := j.roleFiles()
	switch {
	case !slices.Contains(known, a.Place):
		return false, &answer.Error{Kind: answer.Misuse,
			What: fmt.Sprintf("there is no file %.60q in this board's folder", a.Place)}
	case strings.Contains(a.Place, "="):
		return false, &answer.Error{Kind: answer.Misuse, What: "a file with = in its name can be given no role",
			Hint: "rename the file and bring the folder again"}
	}
	if a.Text != "" {
		if err := boardread.CheckRole(a.Text); err != nil {
			return false, &answer.Error{Kind: answer.Misuse, What: err.Error()}
		}
	}
	s := next.Steps
	s.Roles = slices.DeleteFunc(s.Roles, func(r string) bool { return strings.HasPrefix(r, a.Place+"=") })
	if a.Text != "" {
		s.Roles = append(s.Roles, a.Place+"="+a.Text)
	}
	return true, nil
}

// roleFiles are the files that a role can be given to.
func (j *Session) roleFiles() []string {
	if j.board == nil {
		return boardread.Names(j.c.BoardPath())
	}
	var out []string
	for _, f := range j.board.Layout.Files {
		out = append(out, f.Path)
	}
	return out
}

// setCopy says which copy of a panel is read: "1", "all", or "" for not said.
func setCopy(_ *Session, next *record.Case, a answer.Act) (bool, error) {
	if a.Text != "" {
		if _, err := boardread.ParseCopy(a.Text); err != nil {
			return false, &answer.Error{Kind: answer.Misuse, What: "copy " + err.Error()}
		}
	}
	next.Steps.Copy = a.Text
	return true, nil
}

// clearOverrides takes back all overrides of the files.
func clearOverrides(_ *Session, next *record.Case, _ answer.Act) (bool, error) {
	next.Steps.Roles, next.Steps.Copy = nil, ""
	return true, nil
}

// overrideWords puts into words how the files are read other than by themselves.
func overrideWords(s *record.Steps) []string {
	out := []string{}
	for _, r := range s.Roles {
		file, role, _ := strings.Cut(r, "=")
		out = append(out, file+" as "+role)
	}
	switch s.Copy {
	case "":
	case "all":
		out = append(out, "all copies of the panel")
	default:
		out = append(out, "copy "+s.Copy+" of the panel alone")
	}
	return out
}
