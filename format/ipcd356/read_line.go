package ipcd356

import (
	"strings"
	"unicode/utf8"
)

// columns are the characters of a line, tabs opened to every eighth column
// and every non-ASCII character in one.
type columns []rune

func toColumns(s string) columns {
	out := make(columns, 0, 80)
	if !utf8.ValidString(s) { // Latin-1
		for i := range len(s) {
			out = append(out, rune(s[i]))
		}
	} else {
		out = append(out, []rune(s)...)
	}
	if !strings.ContainsRune(s, '\t') {
		return out
	}
	open := make(columns, 0, 2*len(out))
	for _, c := range out {
		if c != '\t' {
			open = append(open, c)
			continue
		}
		for more := true; more; more = len(open)%8 != 0 {
			open = append(open, ' ')
		}
	}
	return open
}

// cut gives the columns from to before (0-based) without blanks around.
func (c columns) cut(from, before int) string {
	from, before = min(from, len(c)), min(before, len(c))
	if from >= before {
		return ""
	}
	return strings.TrimSpace(string(c[from:before]))
}

// at gives one column (0-based), a blank beyond the end.
func (c columns) at(i int) rune {
	if i < len(c) {
		return c[i]
	}
	return ' '
}
