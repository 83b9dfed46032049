package cli

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// page lays out text. On a terminal it keeps to the columns that this has;
// elsewhere prose is wrapped all the same, and a table's row is one line.
type page struct {
	out     *bytes.Buffer
	colour  bool
	columns int // of the terminal; 0: not a terminal
}

// Prose is wrapped at mostColumns, however wide the terminal is; no terminal is
// taken for narrower than leastColumns.
const mostColumns, leastColumns = 80, 40

// wide is how many columns prose takes.
func (p *page) wide() int {
	if p.columns == 0 {
		return mostColumns
	}
	return min(max(p.columns, leastColumns), mostColumns)
}

// Headline is the answer itself: what must be read at arm's length.
func (p *page) Headline(format string, args ...any) {
	text := oneLine(fmt.Sprintf(format, args...))
	for _, line := range wrap(p.broken(text, p.wide()), p.wide()) {
		if p.colour {
			line = "\x1b[1m" + line + "\x1b[0m"
		}
		fmt.Fprintf(p.out, "%s\n", line)
	}
}

// Heading opens a block.
func (p *page) Heading(format string, args ...any) {
	fmt.Fprintf(p.out, "\n%s\n", oneLine(fmt.Sprintf(format, args...)))
}

// Line prints an indented line, wrapped.
func (p *page) Line(format string, args ...any) {
	p.hang("  ", "    ", fmt.Sprintf(format, args...), p.wide()-6)
}

// Facts prints names and values in two columns; empty values are left out.
func (p *page) Facts(pairs ...string) {
	wide := 0
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			wide = max(wide, utf8.RuneCountInString(pairs[i]))
		}
	}
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			p.hang("  "+pad(pairs[i], wide)+"  ", strings.Repeat(" ", wide+4), pairs[i+1], p.wide()-wide-4)
		}
	}
}

// hang wraps text, with one indent before its first line and another before
// the others.
func (p *page) hang(first, others, text string, wide int) {
	for _, line := range wrap(p.broken(oneLine(text), wide), wide) {
		fmt.Fprintf(p.out, "%s%s\n", first, line)
		first = others
	}
}

// Table prints rows under a head. Columns whose head starts with ">" are set
// right. Of a row that is wider than the terminal the rest stands below.
func (p *page) Table(head []string, rows [][]string) {
	wide := make([]int, len(head))
	right := make([]bool, len(head))
	names := make([]string, len(head))
	for i, h := range head {
		names[i], right[i] = strings.CutPrefix(h, ">")
		wide[i] = utf8.RuneCountInString(names[i])
	}
	for _, row := range rows {
		for i := range row {
			row[i] = oneLine(row[i])
			wide[i] = max(wide[i], utf8.RuneCountInString(row[i]))
		}
	}
	for _, row := range append([][]string{names}, rows...) {
		var b strings.Builder
		for i, cell := range row {
			cell = pad(cell, wide[i])
			if text := strings.TrimRight(cell, " "); right[i] {
				cell = cell[len(text):] + text
			}
			b.WriteString("  " + cell)
		}
		line := strings.TrimRight(b.String(), " ")
		if most := max(p.columns, leastColumns); p.columns > 0 && utf8.RuneCountInString(line) > most {
			p.hang("  ", "      ", line, most-6)
			continue
		}
		fmt.Fprintf(p.out, "%s\n", line)
	}
}

// table shows the first most of some things under a heading, a row each, and
// how many more there are; of no things, nothing.
func table[T any](p *page, heading, head string, things []T, most int, row func(T) []any) {
	if len(things) == 0 {
		return
	}
	if heading != "" {
		p.Heading("%s", heading)
	}
	var rows [][]string
	for _, t := range things[:min(most, len(things))] {
		var cells []string
		for _, cell := range row(t) {
			cells = append(cells, fmt.Sprint(cell))
		}
		rows = append(rows, cells)
	}
	p.Table(strings.Split(head, "|"), rows)
	p.More(len(things) - most)
}

// asIs is for table: the things are rows already.
func asIs(row []any) []any { return row }

// lines shows things under a heading, a line each; of no things, nothing.
func lines[T any](p *page, heading string, things []T, line func(i int, t T) string) {
	if len(things) > 0 {
		p.Heading("%s", heading)
	}
	for i, t := range things {
		p.Line("%s", line(i, t))
	}
}

// all is for table: no row is left out.
const all = math.MaxInt

// More tells how many of a list are not shown.
func (p *page) More(n int) {
	if n > 0 {
		p.Line("and %d more; --json lists all", n)
	}
}

// Notes prints each text that is not empty as a line.
func (p *page) Notes(texts ...string) {
	for _, text := range texts {
		if text != "" {
			p.Line("%s", text)
		}
	}
}

// either chooses between two values.
func either[T any](first bool, value, other T) T {
	if first {
		return value
	}
	return other
}

func pad(s string, wide int) string {
	return s + strings.Repeat(" ", max(0, wide-utf8.RuneCountInString(s)))
}

// broken breaks words that are wider than a terminal's line.
func (p *page) broken(text string, wide int) string {
	if p.columns == 0 {
		return text
	}
	var b strings.Builder
	n := 0
	for _, r := range text {
		if n++; r == ' ' {
			n = 0
		} else if n > wide {
			b.WriteByte(' ')
			n = 1
		}
		b.WriteRune(r)
	}
	return b.String()
}

// wrap breaks text at spaces into lines of at most wide columns; a longer
// word stands on its own line.
func wrap(text string, wide int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= wide:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}
