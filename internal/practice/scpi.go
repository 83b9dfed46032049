package practice

import (
	"fmt"
	"strings"
)

// scpiError is an error as SYST:ERR? sends it (SCPI-99 volume 2, 21.8).
type scpiError struct {
	code int
	text string
}

func (e scpiError) Error() string { return fmt.Sprintf("%d,%q", e.code, e.text) }

// The errors that are used.
var (
	errNone       = scpiError{0, "No error"}
	errSyntax     = scpiError{-102, "Syntax error"}
	errNotAllowed = scpiError{-108, "Parameter not allowed"}
	errMissing    = scpiError{-109, "Missing parameter"}
	errHeader     = scpiError{-113, "Undefined header"}
	errDataType   = scpiError{-104, "Data type error"}
	errSuffix     = scpiError{-131, "Invalid suffix"}
	errIgnored    = scpiError{-213, "Init ignored"}
	errDeadlock   = scpiError{-214, "Trigger deadlock"}
	errRange      = scpiError{-222, "Data out of range"}
	errValue      = scpiError{-224, "Illegal parameter value"}
	errStale      = scpiError{-230, "Data corrupt or stale"}
	errOverflow   = scpiError{-350, "Queue overflow"}
)

// message is one program message unit: a header with its parameters.
type message struct {
	header []string // its key words, upper case; one for a common command
	query  bool
	params []string // quoted ones still quoted
}

// splitOutside splits at a separator that stands outside quotes.
func splitOutside(text string, sep byte) (parts []string, closed bool) {
	begin, quote := 0, byte(0)
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == sep:
			parts = append(parts, text[begin:i])
			begin = i + 1
		}
	}
	return append(parts, text[begin:]), quote == 0
}

// parseMessages reads a line: units with ";" between them. A header that begins
// with no colon goes on from the path of the one before it (SCPI-99 volume 1,
// 6.2.4); a common command leaves that path as it is.
func parseMessages(line string) (list []message, err error) {
	units, closed := splitOutside(line, ';')
	if !closed {
		return nil, errSyntax
	}
	var path []string
	for _, text := range units {
		text = strings.TrimSpace(text)
		if text == "" {
			continue
		}
		head, rest, _ := strings.Cut(strings.ReplaceAll(text, "\t", " "), " ")
		m := message{}
		head, m.query = strings.CutSuffix(strings.ToUpper(head), "?")
		if rest = strings.TrimSpace(rest); rest != "" {
			params, _ := splitOutside(rest, ',')
			for _, p := range params {
				m.params = append(m.params, strings.TrimSpace(p))
			}
		}
		if strings.HasPrefix(head, "*") {
			m.header = []string{head}
		} else {
			below, absolute := strings.CutPrefix(head, ":")
			if absolute {
				path = nil
			}
			m.header = append(append([]string{}, path...), strings.Split(below, ":")...)
			path = m.header[:len(m.header)-1]
		}
		list = append(list, m)
	}
	return list, nil
}

// keyword is one node of a command: "RESistance" is known as RES and RESISTANCE.
type keyword struct {
	short, long string
	optional    bool
}

// pattern reads a command as manuals write it: "[SENSe]:FUNCtion[:ON]".
func pattern(text string) (words []keyword) {
	text = strings.NewReplacer("[:", ":[", "]:", "]:").Replace(text)
	for _, w := range strings.Split(text, ":") {
		if w == "" {
			continue
		}
		inner, optional := strings.CutPrefix(w, "[")
		inner = strings.TrimSuffix(inner, "]")
		short := strings.TrimRight(inner, "abcdefghijklmnopqrstuvwxyz")
		words = append(words, keyword{short, strings.ToUpper(inner), optional})
	}
	return words
}

// matches tells whether a header is one way of writing a pattern.
func matches(words []keyword, header []string) bool {
	if len(words) == 0 {
		return len(header) == 0
	}
	w := words[0]
	if len(header) > 0 && (header[0] == w.short || header[0] == w.long) && matches(words[1:], header[1:]) {
		return true
	}
	return w.optional && matches(words[1:], header)
}

// unquoted takes the quotes off a string; a text without any stays as it is.
func unquoted(text string) string {
	for _, q := range []string{`"`, `'`} {
		if inner, has := strings.CutPrefix(text, q); has {
			if inner, has = strings.CutSuffix(inner, q); has {
				return strings.ReplaceAll(inner, q+q, q)
			}
		}
	}
	return text
}
