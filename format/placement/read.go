package placement

import (
	"io"
	"path"
	"regexp"
	"strings"

	"ohmward/format/fault"
)

type reader struct {
	fault.Log
	limits limits
	table  *Table
	h      heading
	unit   float64 // said above the table, nanometres; 0: not said
	side   Side    // from the file's name
	raw    []coordinate
	placed map[string]int // index of the row by reference

	fromZero bool // sides are numbered 0 and 1
}

// coordinate is a place as written, until the unit is known.
type coordinate struct {
	x, y, ux, uy float64
	has          bool
}

// Read reads one table. The name stands in errors and warnings; it is asked
// for the side only where the table has no column for it. It returns a
// *fault.Error where a limit is passed, or what the stream failed with.
func Read(in io.Reader, name string) (*Table, error) { return read(in, name, usual) }

func read(in io.Reader, name string, l limits) (*Table, error) {
	r := &reader{Log: fault.NewLog("placement", name), limits: l, table: &Table{}, placed: map[string]int{}}
	data, err := r.ReadAll(in, l.bytes)
	if err != nil {
		return nil, err
	}
	text, ok := decode(data)
	if !ok || strings.HasPrefix(text, "PK\x03\x04") {
		return none("the file is not text"), nil
	}
	if strings.Count(text, "\n") > l.lines {
		return nil, r.Unsupported("too large: more than %d lines", l.lines)
	}
	lines := strings.Split(text, "\n")
	at, split, h, ok := findHeading(lines)
	if !ok {
		if split, h, ok = untitled(lines, name); !ok {
			return none("no line of titles with a reference and a value, package or place"), nil
		}
		at = -1
		r.Warn("no line of titles: the columns are guessed from what they hold")
	}
	r.h = h
	r.table.Header = at + 1
	r.titles()
	r.unit = unitAbove(lines[:at+1])
	below := lines[at+1:]
	if split.comma == 0 && at >= 0 {
		split.starts = starts(lines[at], h.titles)
	}
	if err := r.rows(r.records(below, at+2, split, h)); err != nil {
		return nil, err
	}
	t := r.finish()
	if t.Kind != None {
		t.Warnings = r.Warnings
	}
	return t, nil
}

func none(why string) *Table { return &Table{Kind: None, Why: why} }

// titles sets down what each column was taken for.
func (r *reader) titles() {
	for i, t := range r.h.titles {
		c := Column{Title: fault.Short(t)}
		for role := RoleRef; role < roles; role++ {
			if r.h.column[role] == i {
				c.Role = role
			}
		}
		r.table.Columns = append(r.table.Columns, c)
	}
	r.table.Kind = Parts
	if r.h.places() {
		r.table.Kind = Positions
		if !r.h.has(RoleSide) && !r.h.has(RoleMirror) {
			r.side = sideOfName(r.File)
		}
	}
}

var unitLine = regexp.MustCompile(`(?i)\bu?units?(?:\s+used)?\b[\s:="',;]*(millimet(?:er|re)s?|mm|metric|` +
	`mils?|thou|inch(?:es)?|imperial|in|um|microns?)\b`)

// unitAbove is the unit said above the titles, or beside them; 0: none.
func unitAbove(lines []string) float64 {
	for _, l := range lines {
		if m := unitLine.FindStringSubmatch(l[:min(len(l), 1000)]); m != nil {
			return unitOf(m[1])
		}
	}
	return 0
}

// sideOfName takes the side from a word of the file's name, when it is the
// only one.
func sideOfName(name string) Side {
	found := map[Side]bool{}
	for _, w := range strings.FieldsFunc(strings.ToLower(path.Base(name)),
		func(c rune) bool { return strings.ContainsRune(" -_.()", c) }) {
		switch w {
		case "top", "front", "mnt":
			found[Top] = true
		case "bottom", "bot", "back", "mnb":
			found[Bottom] = true
		}
	}
	switch {
	case len(found) != 1:
		return SideUnknown
	case found[Top]:
		return Top
	}
	return Bottom
}

// cell gives the cell of a role, "" where the line has none.
func (r *reader) cell(c record, role Role) string {
	i := r.h.column[role]
	if i < 0 || i >= len(c.cells) {
		return ""
	}
	if s, ok := strings.CutPrefix(c.cells[i], `="`); ok { // a spreadsheet's text
		return strings.TrimSuffix(s, `"`)
	}
	return c.cells[i]
}

func (r *reader) rows(all []record) error {
	r.fromZero = r.countsFromZero(all)
	last := Row{}
	for i, c := range all {
		r.Line = c.line
		if err := r.fits(c); err != nil {
			return err
		}
		row := Row{Line: c.line}
		if i == 0 && r.unitRow(c) || r.titlesAgain(c) {
			continue
		}
		var refs []string
		if len(c.cells) > 1 || len(r.h.titles) == 1 { // else a line of text
			refs = r.refs(c)
		}
		if len(refs) == 0 {
			if !empty(c) {
				r.table.LeftOut++
			}
			continue
		}
		place := r.fill(&row, c)
		if r.table.Kind == Parts && len(r.table.Rows) > 0 && r.alone(c) { // more references of the line before
			last.Line = c.line
			row = last
		}
		last = row
		for _, ref := range refs {
			row.Ref = ref
			r.add(row, place)
		}
		if len(r.table.Rows) > r.limits.rows {
			return r.Unsupported("too large: more than %d parts", r.limits.rows)
		}
	}
	return nil
}

// countsFromZero tells whether the sides are 0 and 1, not 1 and 2.
func (r *reader) countsFromZero(all []record) bool {
	zero := false
	for _, c := range all {
		switch r.cell(c, RoleSide) {
		case "0":
			zero = true
		case "1", "":
		default:
			return false
		}
	}
	return zero
}

func (r *reader) fits(c record) error {
	for _, s := range c.cells {
		if len(s) > maxCell {
			return r.Unsupported("too large: a cell of more than %d bytes", maxCell)
		}
	}
	return nil
}

func empty(c record) bool { return strings.TrimSpace(strings.Join(c.cells, "")) == "" }

// alone tells whether a line has nothing but its references.
func (r *reader) alone(c record) bool {
	for i, s := range c.cells {
		if s != "" && i != r.h.column[RoleRef] {
			return false
		}
	}
	return true
}

// unitRow is a line of units under the titles.
func (r *reader) unitRow(c record) bool {
	x, y := unitOf(r.cell(c, RoleX)), unitOf(r.cell(c, RoleY))
	if x == 0 || y == 0 {
		return false
	}
	r.h.unit[RoleX], r.h.unit[RoleY] = x, y
	return true
}

// titlesAgain is the titles repeated, as on every page of a long list.
func (r *reader) titlesAgain(c record) bool {
	ref := r.h.column[RoleRef]
	return ref < len(c.cells) && c.cells[ref] != "" && strings.EqualFold(c.cells[ref], r.h.titles[ref]) &&
		len(c.cells) == len(r.h.titles)
}
