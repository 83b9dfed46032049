package gerber

import (
	"bufio"
	"bytes"
	"errors"
	"io"
)

// word is the text up to an asterisk, and where it began.
type word struct {
	text     string
	line     int
	extended bool // inside a pair of percent signs
	ends     bool // the closing percent sign, no text
}

var errWordTooLong = errors.New("word too long")

// lexer cuts the stream into words. Line ends (LF, CR LF or bare CR) count
// lines and are otherwise dropped.
type lexer struct {
	in       *bufio.Reader
	line     int
	extended bool
	buf      []byte
	cr       bool // the last byte was a CR
	stray    bool // the last word lacked its asterisk
	cut      bool // because the file ends there
}

func newLexer(in io.Reader) *lexer {
	l := &lexer{in: bufio.NewReaderSize(in, 1<<16), line: 1}
	if mark, _ := l.in.Peek(3); string(mark) == "\ufeff" {
		l.in.Discard(3)
	}
	return l
}

// next gives the next word, or io.EOF. A word at the end of the file without
// its asterisk is given with stray and cut set.
func (l *lexer) next() (word, error) {
	l.buf, l.stray, l.cut = l.buf[:0], false, false
	start, fresh := l.line, true
	for {
		c, err := l.in.ReadByte()
		if err != nil {
			if err == io.EOF && !blank(l.buf) {
				l.stray, l.cut = true, true
				return word{string(l.buf), start, l.extended, false}, nil
			}
			return word{line: l.line}, err
		}
		if c == '\n' || c == '\r' {
			if c == '\r' || !l.cr {
				l.line++
			}
			l.cr, fresh = c == '\r', true
			if len(l.buf) == 0 {
				start = l.line
			}
			continue
		}
		l.cr = false
		switch {
		case c == '*':
			return word{string(l.buf), start, l.extended, false}, nil
		case c == '%' && (fresh || !l.inComment()):
			if !blank(l.buf) { // the asterisk before it is missing
				l.stray = true
				l.in.UnreadByte()
				return word{string(l.buf), start, l.extended, false}, nil
			}
			l.buf = l.buf[:0]
			l.extended = !l.extended
			if !l.extended {
				return word{line: l.line, extended: true, ends: true}, nil
			}
		case c == ' ' || c == '\t' || c == 0:
			if len(l.buf) > 0 {
				l.buf = append(l.buf, ' ')
			}
		default:
			if len(l.buf) == 0 {
				start = l.line
			}
			l.buf = append(l.buf, c)
			if len(l.buf) > maxWord {
				return word{line: start}, errWordTooLong
			}
		}
		fresh = false
	}
}

// inComment tells whether the word under way is a G04 comment, in which a
// percent sign that does not begin a line is only text.
func (l *lexer) inComment() bool {
	return !l.extended && isComment(string(l.buf))
}

// isComment tells whether a function word is a comment.
func isComment(s string) bool {
	if len(s) < 2 || s[0] != 'G' && s[0] != 'g' {
		return false
	}
	s = s[1:]
	for len(s) > 1 && s[0] == '0' {
		s = s[1:]
	}
	return s[0] == '4' && (len(s) == 1 || s[1] < '0' || s[1] > '9')
}

func blank(b []byte) bool { return len(bytes.TrimLeft(b, " ")) == 0 }
