// Package scan is what the readers of text formats share: lines, plain decimal
// numbers and units of length.
package scan

import (
	"bytes"
	"iter"
	"math"
	"strconv"
	"strings"
)

// Nanometres in the units that files are written in.
const (
	MM         = 1_000_000
	Micrometre = 1_000
	Inch       = 25_400_000
	Mil        = Inch / 1000
)

// Line is one line of a text.
type Line struct {
	Number int    // from 1
	Text   []byte // without its end
	Open   bool   // the text ends here, without a line end
}

// Lines gives the lines of a text, ended by LF, CR LF or bare CR.
func Lines(text []byte) iter.Seq[Line] {
	return func(yield func(Line) bool) {
		for number := 1; len(text) > 0; number++ {
			l := Line{Number: number, Text: text, Open: true}
			n := bytes.IndexAny(text, "\r\n")
			if n < 0 {
				yield(l)
				return
			}
			l.Text, l.Open = text[:n], false
			if text[n] == '\r' && n+1 < len(text) && text[n+1] == '\n' {
				n++
			}
			if text = text[n+1:]; !yield(l) {
				return
			}
		}
	}
}

// Decimal parses a plain signed decimal number without exponent; ok is false
// where s is anything else.
func Decimal(s string) (v float64, ok bool) {
	s = strings.TrimSpace(s)
	if s == "" || strings.Trim(s, "0123456789+-.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, false
	}
	return v, true
}

// Whole parses a signed whole number.
func Whole(s string) (n int, ok bool) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	return n, err == nil
}
