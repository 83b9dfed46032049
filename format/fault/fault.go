// Package fault is how the readers of fabrication files report what is wrong
// in a file: one positioned error that ends the reading, and a bounded list of
// warnings of what is left out, doubtful or taken for granted.
//
// A Log belongs to one reading of one file and to one goroutine. A reader whose
// grammar is deep panics with its error, and its Read has Catch deferred.
package fault

import (
	"fmt"
	"io"
	"runtime"
	"strings"
)

// Kind says why a file is refused.
type Kind uint8

// The kinds of errors.
const (
	Malformed   Kind = iota // breaks the format's rules
	Unsupported             // keeps the rules, but asks for what the reader does not do, or not to this size
)

// String gives the kind in a word.
func (k Kind) String() string { return [...]string{"malformed", "unsupported"}[k] }

// Error ends the reading of a file.
type Error struct {
	Format  string // the reader: "gerber", "excellon" and so on
	File    string // the name that the reader was given
	Line    int    // from 1
	Element string // the open XML elements, "Ecad/CadData/Step"; empty in other formats
	Kind    Kind   // malformed or unsupported
	What    string // what is wrong, in words
}

// Error gives format, file, line and words.
func (e *Error) Error() string {
	return fmt.Sprintf("%s: %s:%d: %s", e.Format, e.File, e.Line, e.What)
}

// Where gives the place in the file.
func (e *Error) Where() string {
	if e.Element != "" {
		return fmt.Sprintf("%s:%d %s", e.File, e.Line, e.Element)
	}
	return fmt.Sprintf("%s:%d", e.File, e.Line)
}

// Warning tells of something left out, doubtful or taken for granted.
type Warning struct {
	Line  int    // from 1
	What  string // in words
	Guess bool   // tells how the file was read where it does not say so itself
	Lost  bool   // what was left out may have been copper or holes
}

// MaxWarnings is how many warnings a Log keeps, besides the closing one.
const MaxWarnings = 1000

// Log collects what a reader reports of one file.
type Log struct {
	Format   string    // the reader's name, first in every error
	File     string    // the file's name
	Line     int       // where the reader is, from 1
	Warnings []Warning // in the order in which they were given

	once map[string]bool // warnings that are given once only
}

// NewLog begins the log of a file in its first line.
func NewLog(format, file string) Log {
	return Log{Format: format, File: file, Line: 1, once: map[string]bool{}}
}

// Malformed makes the error for input that breaks the format's rules.
func (l *Log) Malformed(format string, args ...any) error { return l.fail(Malformed, format, args) }

// Unsupported makes the error for input that keeps the rules but is not read,
// or only up to a limit.
func (l *Log) Unsupported(format string, args ...any) error {
	return l.fail(Unsupported, format, args)
}

func (l *Log) fail(k Kind, format string, args []any) error {
	return &Error{Format: l.Format, File: l.File, Line: l.Line, Kind: k, What: fmt.Sprintf(format, args...)}
}

// Catch, deferred where a reading begins, makes its result the error that a
// reader panicked with, from however deep in the file. What is a fault of the
// program panics on.
func Catch(err *error) {
	switch p := recover().(type) {
	case nil:
	case runtime.Error:
		panic(p)
	case error:
		*err = p
	default:
		panic(p)
	}
}

// Stream makes the error for a stream that fails; it wraps err.
func (l *Log) Stream(err error) error {
	return fmt.Errorf("%s: reading %s: %w", l.Format, l.File, err)
}

// ReadAll reads a whole file of at most so many bytes.
func (l *Log) ReadAll(in io.Reader, most int) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(in, int64(most)+1))
	if err != nil {
		return nil, l.Stream(err)
	}
	if len(data) > most {
		return nil, l.Unsupported("too large: more than %d bytes", most)
	}
	return data, nil
}

// Warn adds a warning of the line where the reader is. Beyond MaxWarnings only
// a closing one is added, so that a file of rubbish stays small in memory.
func (l *Log) Warn(format string, args ...any) { l.WarnAt(l.Line, format, args...) }

// WarnAt is Warn of another line.
func (l *Log) WarnAt(line int, format string, args ...any) {
	switch n := len(l.Warnings); {
	case n < MaxWarnings:
		l.Warnings = append(l.Warnings, Warning{Line: line, What: fmt.Sprintf(format, args...)})
	case n == MaxWarnings:
		l.Warnings = append(l.Warnings, Warning{Line: line, What: "more warnings left out"})
	}
}

// Guess is Warn of how the file is read where it does not say so itself.
func (l *Log) Guess(format string, args ...any) {
	before := len(l.Warnings)
	l.Warn(format, args...)
	for i := range l.Warnings[before:] {
		l.Warnings[before+i].Guess = true
	}
}

// Lose is Warn of what is left out though it may have been copper or holes.
func (l *Log) Lose(format string, args ...any) { l.mark(func() { l.Warn(format, args...) }) }

// LoseAt is Lose of another line.
func (l *Log) LoseAt(line int, format string, args ...any) {
	l.mark(func() { l.WarnAt(line, format, args...) })
}

// LoseOnce is Lose of what would repeat itself through a whole file.
func (l *Log) LoseOnce(format string, args ...any) { l.mark(func() { l.WarnOnce(format, args...) }) }

// mark makes the warnings that something gives ones of what is lost.
func (l *Log) mark(give func()) {
	before := len(l.Warnings)
	give()
	for i := range l.Warnings[before:] {
		l.Warnings[before+i].Lost = true
	}
}

// WarnOnce is Warn of what would repeat itself through a whole file: the same
// words are given once.
func (l *Log) WarnOnce(format string, args ...any) { l.WarnOnceAt(l.Line, format, args...) }

// WarnOnceAt is WarnOnce of another line.
func (l *Log) WarnOnceAt(line int, format string, args ...any) {
	if len(l.Warnings) <= MaxWarnings {
		what := fmt.Sprintf(format, args...)
		l.first(what, line, "%s", what)
	}
}

// WarnFirst is Warn of the first case of its kind only, whatever its words.
func (l *Log) WarnFirst(format string, args ...any) { l.first(format, l.Line, format, args...) }

func (l *Log) first(key string, line int, format string, args ...any) {
	if !l.once[key] {
		l.once[key] = true
		l.WarnAt(line, format, args...)
	}
}

// Short cuts text from a file to what a message can hold.
func Short(s string) string { return Clip(s, 40) }

// Clip is Short to a number of bytes.
func Clip(s string, most int) string {
	if len(s) > most {
		return strings.ToValidUTF8(s[:most], "") + "..."
	}
	return s
}
