package placement

import (
	"fmt"
	"io"
	"math"
	"path"
	"regexp"
	"strconv"
	"strings"

	"ohmward/internal/geom"
)

type reader struct {
	name   string
	table  *Table
	h      heading
	unit   float64 // said above the table, nanometres; 0: not said
	side   Side    // from the file's name
	raw    []coordinate
	placed map[string]int // index of the row by reference
	warned map[string]bool
}

// coordinate is a place as written, until the unit is known.
type coordinate struct {
	x, y, ux, uy float64
	has          bool
}

// Read reads one table. The name stands in errors and warnings; it is asked
// for the side only where the table has no column for it. It returns an
// *UnsupportedError where a limit is passed, or what the stream failed with.
func Read(in io.Reader, name string) (*Table, error) {
	data, err := io.ReadAll(io.LimitReader(in, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("placement: reading %s: %w", name, err)
	}
	r := &reader{name: name, table: &Table{}, placed: map[string]int{}, warned: map[string]bool{}}
	if len(data) > maxBytes {
		return nil, r.unsupported(1, "too large: more than %d bytes", maxBytes)
	}
	text, ok := decode(data)
	if !ok || strings.HasPrefix(text, "PK\x03\x04") {
		return none("the file is not text"), nil
	}
	lines := strings.Split(text, "\n")
	at, lay, h, ok := findHeading(lines)
	if !ok {
		return none("no line of titles with a reference and a value, package or place"), nil
	}
	r.h = h
	r.table.Header = at + 1
	r.titles()
	r.unit = unitAbove(lines[:at+1])
	below := lines[at+1:]
	if lay.comma == 0 {
		lay.starts = starts(lines[at], h.titles)
	}
	if err := r.rows(r.records(below, at+2, lay, h)); err != nil {
		return nil, err
	}
	return r.finish(), nil
}

func none(why string) *Table { return &Table{Kind: None, Why: why} }

// titles sets down what each column was taken for.
func (r *reader) titles() {
	for i, t := range r.h.titles {
		c := Column{Title: shorten(t)}
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
			r.side = sideOfName(r.name)
		}
	}
}

var unitLine = regexp.MustCompile(`(?i)\bunits?(?:\s+used)?\b[\s:="',;]*(millimet(?:er|re)s?|mm|metric|mils?|thou|inch(?:es)?|imperial|in|um|microns?)\b`)

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
	for _, w := range strings.FieldsFunc(strings.ToLower(path.Base(name)), func(c rune) bool { return strings.ContainsRune(" -_.()", c) }) {
		switch w {
		case "top", "front":
			found[Top] = true
		case "bottom", "bot", "back":
			found[Bottom] = true
		}
	}
	switch {
	case len(found) != 1:
		return SideUnsaid
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
	last := Row{}
	for i, c := range all {
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
		if len(r.table.Rows) > maxRows {
			return r.unsupported(c.line, "too large: more than %d parts", maxRows)
		}
	}
	return nil
}

func (r *reader) fits(c record) error {
	for _, s := range c.cells {
		if len(s) > maxCell {
			return r.unsupported(c.line, "too large: a cell of more than %d bytes", maxCell)
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
	return ref < len(c.cells) && c.cells[ref] != "" && strings.EqualFold(c.cells[ref], r.h.titles[ref]) && len(c.cells) == len(r.h.titles)
}

// refs are the parts a line names.
func (r *reader) refs(c record) []string {
	cell := r.cell(c, RoleRef)
	if r.table.Kind == Positions { // one part a line
		if !plausible(cell) {
			if !empty(c) {
				r.warnOnce(c.line, "%q is not the name of a part: line left out (first such line is told)", shorten(cell))
			}
			return nil
		}
		return []string{cell}
	}
	quantity, _ := strconv.Atoi(r.cell(c, RoleQuantity))
	refs, rest := expand(cell, quantity)
	if len(rest) > 0 {
		r.warnOnce(c.line, "%q is not the name of a part: left out (first such is told)", shorten(rest[0]))
	}
	return refs
}

// fill reads all but the reference.
func (r *reader) fill(row *Row, c record) coordinate {
	row.Value, row.Package = r.cell(c, RoleValue), r.cell(c, RolePackage)
	row.NotFitted = yes(r.cell(c, RoleNotFitted)) || r.h.has(RoleFitted) && r.cell(c, RoleFitted) != "" && !yes(r.cell(c, RoleFitted))
	row.Side = r.side
	mirrored := yes(r.cell(c, RoleMirror))
	if s := r.cell(c, RoleRotation); s != "" {
		var m bool
		if row.Rotation, m, row.HasRotation = angle(s); !row.HasRotation {
			r.warn(c.line, "rotation %q is no angle", shorten(s))
		}
		mirrored = mirrored || m
	}
	if r.h.has(RoleMirror) {
		row.Side = Top
	}
	if mirrored {
		row.Side = Bottom
	}
	if s := r.cell(c, RoleSide); s != "" {
		side, ok := sideOf(s)
		if !ok {
			r.warn(c.line, "side %q is not known", shorten(s))
		} else if side != SideUnsaid {
			row.Side = side
		}
	}
	return r.place(c)
}

func (r *reader) place(c record) (p coordinate) {
	sx, sy := r.cell(c, RoleX), r.cell(c, RoleY)
	if sx == "" && sy == "" {
		return p
	}
	x, ux, okX := length(sx)
	y, uy, okY := length(sy)
	if !okX || !okY {
		r.warn(c.line, "place %q, %q is no pair of lengths", shorten(sx), shorten(sy))
		return p
	}
	return coordinate{x, y, ux, uy, true}
}

// add takes a row, unless the part was there already.
func (r *reader) add(row Row, place coordinate) {
	if i, had := r.placed[row.Ref]; had {
		if was := r.table.Rows[i]; was.Value != row.Value || r.raw[i] != place {
			r.warn(row.Line, "part %s stands already in line %d, otherwise: the first holds", shorten(row.Ref), was.Line)
		}
		return
	}
	r.placed[row.Ref] = len(r.table.Rows)
	r.table.Rows = append(r.table.Rows, row)
	r.raw = append(r.raw, place)
}

// finish turns places into nanometres and decides whether this is a table.
func (r *reader) finish() *Table {
	t := r.table
	if why := r.doubt(); why != "" {
		return none(why)
	}
	guess := r.guess()
	t.UnitSaid = t.Kind == Positions
	for i, c := range r.raw {
		if !c.has {
			continue
		}
		row := &t.Rows[i]
		ux, uy := r.unitFor(c.ux, RoleX), r.unitFor(c.uy, RoleY)
		if ux == 0 || uy == 0 {
			t.UnitSaid = false
			ux, uy = or(ux, guess), or(uy, guess)
		}
		x, y := math.Round(c.x*ux), math.Round(c.y*uy)
		if math.Abs(x) > geom.MaxCoord || math.Abs(y) > geom.MaxCoord {
			r.warn(row.Line, "part %s lies beyond a metre: place left out", shorten(row.Ref))
			continue
		}
		row.At, row.HasAt = geom.Point{X: int64(x), Y: int64(y)}, true
	}
	return t
}

func or(a, b float64) float64 {
	if a != 0 {
		return a
	}
	return b
}

// unitFor is the unit of a coordinate: of the cell, the title or above.
func (r *reader) unitFor(cell float64, role Role) float64 {
	return or(cell, or(r.h.unit[role], r.unit))
}

// guess is millimetres, unless the parts would lie over more than a metre.
func (r *reader) guess() float64 {
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, c := range r.raw {
		if c.has && r.unitFor(c.ux, RoleX) == 0 {
			lowest, highest = min(lowest, c.x, c.y), max(highest, c.x, c.y)
		}
	}
	if max(highest, -lowest) > geom.MaxCoord/nmPerMM {
		r.warn(r.table.Header, "unit not said: taken as mils, since millimetres would be beyond a metre")
		return nmPerMil
	}
	return nmPerMM
}

// doubt says why what looked like a table is none; "": it is one.
func (r *reader) doubt() string {
	named := 0
	for _, row := range r.table.Rows {
		if numbered.MatchString(row.Ref) {
			named++
		}
	}
	rows := len(r.table.Rows)
	switch {
	case rows == 0 && (r.table.LeftOut > 0 || r.h.known < 3):
		return "no part under the titles"
	case rows > 0 && (2*named < rows || 2*rows < r.table.LeftOut):
		return "the lines under the titles name few parts"
	}
	if r.table.Kind == Positions && rows > 0 {
		places := 0
		for _, c := range r.raw {
			if c.has {
				places++
			}
		}
		if 2*places < rows {
			if !r.h.has(RoleValue) && !r.h.has(RolePackage) {
				return "most lines under the titles have no place"
			}
			r.warn(r.table.Header, "most parts have no place: taken as a bill of materials")
			r.table.Kind = Parts
		}
	}
	return ""
}
