package excellon

import (
	"bytes"
	"iter"
	"strings"

	"ohmward/format/internal/scan"
)

// token is one letter with what follows it.
type token struct {
	letter byte
	value  string
}

// tokens takes a line of letters and numbers apart; ok is false where it is
// made otherwise.
func tokens(s string) (out []token, ok bool) {
	for s != "" {
		if s[0] == ' ' || s[0] == '\t' || s[0] == ',' {
			s = s[1:]
			continue
		}
		c := s[0]
		if c < 'A' || c > 'Z' {
			return nil, false
		}
		rest := strings.TrimLeft(s[1:], "0123456789+-.")
		out = append(out, token{c, s[1 : len(s)-len(rest)]})
		s = rest
	}
	return out, true
}

// trimmed gives the lines that are not blank, without blanks and marks of byte
// order around.
func trimmed(data []byte) iter.Seq2[scan.Line, string] {
	return func(yield func(scan.Line, string) bool) {
		for l := range scan.Lines(data) {
			if s := string(bytes.Trim(l.Text, " \t\x00\xef\xbb\xbf")); s != "" && !yield(l, s) {
				return
			}
		}
	}
}
