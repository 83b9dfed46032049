package ipcd356

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// eachLine hands every line (ended by LF, CR LF or bare CR) to do, without
// blanks behind it; empty lines are left out.
func eachLine(data []byte, do func(line int, s string) error) error {
	line := 1
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	for len(data) > 0 {
		n := bytes.IndexAny(data, "\r\n")
		text := data
		if n < 0 {
			data = nil
		} else {
			text = data[:n]
			if data[n] == '\r' && n+1 < len(data) && data[n+1] == '\n' {
				n++
			}
			data = data[n+1:]
		}
		if s := string(bytes.TrimRight(text, " \t\x00\x1a")); s != "" {
			if err := do(line, s); err != nil {
				return err
			}
		}
		line++
	}
	return nil
}

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
