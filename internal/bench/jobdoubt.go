package bench

import (
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/record"
)

// DoubtView is a doubt about the files, and what settles it.
type DoubtView struct {
	Doubt
	Key     string   `json:"key"`     // what a case keeps of it
	Settled bool     `json:"settled"` // looked at, and it is so
	Ways    []Option `json:"ways"`
	As      string   `json:"as,omitempty"` // what its file was taken for, where another role can be said
}

// MendView is what can be said of a board that fails to read.
type MendView struct {
	Files []string `json:"files"` // what a role can be said of
	File  string   `json:"file"`  // the one that the failure is about, or ""
	Roles []string `json:"roles"` // that they can be given
	Ways  []Option `json:"ways"`
}

// sayable are the roles that the page offers for a file: those of --role.
var sayable = []string{
	"copper top", "copper bottom", "copper L2", "copper L3", "copper L4", "copper L5", "copper L6", "copper L7", "copper L8", "copper L9", "copper L10",
	"copper L11", "copper L12", "copper L13", "copper L14", "copper L15", "mask top", "mask bottom", "paste top", "paste bottom",
	"profile", "drill", "drill plated", "drill unplated", "drill fitted", "netlist", "parts list", "ignore",
}

// readAs names a board and what was said of its files: boards of one such name
// are read alike.
func readAs(c *record.Case) string { return c.BoardPath() + "\n" + readKey(c.Steps) }

// readKey is what was said of a board's files.
func readKey(s *record.Steps) string {
	return strings.Join(append(slices.Clone(s.Roles), s.Copy), "|")
}

// doubtViews lists the doubts of the job's board with the ways to settle them.
func (j *Job) doubtViews() []DoubtView {
	out := []DoubtView{}
	for _, d := range j.desk.doubts() {
		v := DoubtView{Doubt: d, Key: keyOf(d), Ways: waysFor(d.File, d.What)}
		v.Settled = slices.Contains(j.c.Steps.Settled, v.Key)
		for _, f := range j.desk.board.Files {
			if f.Path == d.File {
				v.As = f.Role
			}
		}
		out = append(out, v)
	}
	return out
}

func keyOf(d Doubt) string { return d.File + ": " + d.What }

// waysFor turns the advice in a doubt or an error into what can be tapped.
func waysFor(file, what string) []Option {
	ways := []Option{}
	if strings.Contains(what, `"drill fitted"`) && file != "" {
		ways = append(ways, Option{Words: "Find its unit by the pads", Note: "read as the holes fit them", Act: Act{Do: "role", Place: file, Text: "drill fitted"}})
	}
	if strings.Contains(what, "--copy 1") {
		ways = append(ways, Option{Words: "Read one copy alone", Act: Act{Do: "copy", Text: "1"}}, Option{Words: "Read all copies", Act: Act{Do: "copy", Text: "all"}})
	}
	if strings.Contains(what, " is asked for, but the ") && strings.Contains(what, "copy ") {
		ways = append(ways, Option{Words: "Leave the copy out", Act: Act{Do: "copy"}})
	}
	return ways
}

// mendFor says what can be done about a board that failed to read.
func mendFor(c *record.Case, t *Trouble) *MendView {
	m := &MendView{Files: board.Names(c.BoardPath()), Roles: sayable}
	for _, f := range m.Files {
		if len(f) > len(m.File) && strings.Contains(t.What, f) {
			m.File = f
		}
	}
	m.Ways = waysFor(m.File, t.What)
	if len(c.Steps.Roles) > 0 || c.Steps.Copy != "" {
		m.Ways = append(m.Ways, Option{Words: "Read it as the files say", Note: "takes back what was chosen", Act: Act{Do: "as-read"}})
	}
	if len(m.Files) == 0 && len(m.Ways) == 0 {
		return nil
	}
	return m
}

// withoutBoard are the acts that need no board.
var withoutBoard = []string{"role", "copy", "as-read"}

// settleDoubt notes that a doubt was looked at and is so; a second time takes
// that back.
func settleDoubt(j *Job, next *record.Case, a Act) (bool, error) {
	s := next.Steps
	if i := slices.Index(s.Settled, a.Text); i >= 0 {
		s.Settled = slices.Delete(s.Settled, i, i+1)
		return true, nil
	}
	if !slices.ContainsFunc(j.desk.doubts(), func(d Doubt) bool { return keyOf(d) == a.Text }) {
		return false, &Error{Kind: Misuse, What: "there is no such doubt about this board"}
	}
	s.Settled = append(s.Settled, a.Text)
	return true, nil
}

// sayRole says what a file is; no role leaves it to the file.
func sayRole(j *Job, next *record.Case, a Act) (bool, error) {
	known := j.sayableFiles()
	switch {
	case !slices.Contains(known, a.Place):
		return false, &Error{Kind: Misuse, What: fmt.Sprintf("there is no file %.60q in this board's folder", a.Place)}
	case strings.Contains(a.Place, "="):
		return false, &Error{Kind: Misuse, What: "a file with = in its name can be given no role", Hint: "rename the file and bring the folder again"}
	case a.Text != "" && !slices.Contains(sayable, a.Text):
		return false, &Error{Kind: Misuse, What: fmt.Sprintf("there is no role %.40q", a.Text)}
	}
	s := next.Steps
	s.Roles = slices.DeleteFunc(s.Roles, func(r string) bool { return strings.HasPrefix(r, a.Place+"=") })
	if a.Text != "" {
		s.Roles = append(s.Roles, a.Place+"="+a.Text)
	}
	return true, nil
}

// sayableFiles are the files that a role can be said of.
func (j *Job) sayableFiles() []string {
	if j.desk == nil {
		return board.Names(j.c.BoardPath())
	}
	var out []string
	for _, f := range j.desk.board.Files {
		out = append(out, f.Path)
	}
	return out
}

// sayCopy says which copy of a panel is read: "1", "all", or "" for not said.
func sayCopy(_ *Job, next *record.Case, a Act) (bool, error) {
	if a.Text != "" {
		if _, err := board.ParseCopy(a.Text); err != nil {
			return false, &Error{Kind: Misuse, What: "copy " + err.Error()}
		}
	}
	next.Steps.Copy = a.Text
	return true, nil
}

// asRead takes back all that was said of the files.
func asRead(_ *Job, next *record.Case, _ Act) (bool, error) {
	next.Steps.Roles, next.Steps.Copy = nil, ""
	return true, nil
}

// saidOfFiles puts into words how the files are read other than by themselves.
func saidOfFiles(s *record.Steps) []string {
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
