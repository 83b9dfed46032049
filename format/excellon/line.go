package excellon

import (
	"bytes"
	"strings"
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
		n := 1
		for n < len(s) && strings.IndexByte("0123456789+-.", s[n]) >= 0 {
			n++
		}
		out = append(out, token{c, s[1:n]})
		s = s[n:]
	}
	return out, true
}

// eachLine hands every line (ended by LF, CR LF or bare CR) to do, trimmed;
// last tells that the data ends with it, without a line end.
func eachLine(data []byte, do func(line int, s string, last bool) error) error {
	line := 1
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
		if s := string(bytes.Trim(text, " \t\x00\xef\xbb\xbf")); s != "" {
			if err := do(line, s, n < 0); err != nil {
				return err
			}
		}
		line++
	}
	return nil
}
