package placement

import (
	"encoding/csv"
	"slices"
	"strings"

	"ohmward/format/fault"
)

// record is one line of cells.
type record struct {
	cells []string
	line  int
}

// mostLinesInCell is more than a cell of references takes; an open quote
// swallows more.
const mostLinesInCell = 200

// records parts all lines below the titles; first is the number of the first.
func (r *reader) records(lines []string, first int, split layout, h heading) []record {
	if split.comma == 0 {
		return r.blankRecords(lines, first, split, h)
	}
	c := csv.NewReader(strings.NewReader(strings.Join(lines, "\n")))
	c.Comma, c.FieldsPerRecord, c.LazyQuotes, c.TrimLeadingSpace = split.comma, -1, true, split.comma != '\t'
	var out []record
	for {
		got, err := c.Read()
		if err != nil {
			return out
		}
		line, _ := c.FieldPos(0)
		for i, cell := range got {
			if strings.Count(cell, "\n") > mostLinesInCell {
				r.WarnAt(first+line-1, "a quote is not closed: lines read one by one")
				return eachAlone(lines, first, split.comma)
			}
			got[i] = strings.TrimSpace(cell)
		}
		out = append(out, record{got, first + line - 1})
	}
}

func eachAlone(lines []string, first int, comma rune) (out []record) {
	for i, l := range lines {
		if l != "" {
			out = append(out, record{cells(l, comma), first + i})
		}
	}
	return out
}

// blankRecords parts lines whose cells have blanks between.
func (r *reader) blankRecords(lines []string, first int, split layout, h heading) (out []record) {
	for i, l := range lines {
		words := strings.Fields(l)
		if len(words) == 0 || strings.HasPrefix(words[0], "#") || strings.Trim(l, "-=_+ \t") == "" {
			continue
		}
		switch wide := gaps.Split(strings.TrimSpace(l), -1); {
		case len(split.starts) > 0 && under(l, split.starts):
			words = slice(l, split.starts)
		case len(words) == len(h.titles):
		case len(wide) == len(h.titles):
			words = wide
		default:
			words = r.squeeze(words, h, first+i)
		}
		out = append(out, record{words, first + i})
	}
	return out
}

// squeeze fits a line of too many words: the surplus belongs to the value, or
// to the column before the coordinates. In a line that is one word short, the
// value is blank.
func (r *reader) squeeze(words []string, h heading, line int) []string {
	r.Line = line
	surplus := len(words) - len(h.titles)
	at := h.column[RoleValue]
	if at < 0 {
		at = max(h.column[RoleX]-1, 0)
	}
	switch {
	case surplus == -1 && h.has(RoleValue):
		r.WarnFirst("a word less than columns: %q taken as blank (first such line is told)",
			fault.Short(h.titles[at]))
		return slices.Insert(words, at, "")
	case surplus <= 0:
		return words
	}
	r.WarnFirst("more words than columns: the surplus taken for %q (first such line is told)",
		fault.Short(h.titles[at]))
	joined := strings.Join(words[at:at+surplus+1], " ")
	return slices.Replace(words, at, at+surplus+1, joined)
}
