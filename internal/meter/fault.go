package meter

import (
	"errors"
	"fmt"
)

// Problem is the class of a Fault.
type Problem uint8

// The classes of what goes wrong with an instrument.
const (
	Unreachable Problem = iota // nothing can be opened, or nothing answers
	Busy                       // another program of this machine speaks with it
	Unsuitable                 // it answers, but is no meter of ohms
	Refused                    // it reports an error of its own
	Garbled                    // what it sent is not to be trusted
)

// Fault is what went wrong with an instrument, in one line.
type Fault struct {
	Problem Problem
	What    string // one line
	Hint    string // what to try, or ""
	Cause   error  // kept for errors.Is; not printed by itself
}

func (f *Fault) Error() string { return f.What }

// Unwrap gives the cause.
func (f *Fault) Unwrap() error { return f.Cause }

// Advice says what to try, or "".
func (f *Fault) Advice() string { return f.Hint }

// ErrTimeout says that nothing came in time.
var ErrTimeout = errors.New("no answer in time")

func fault(p Problem, cause error, hint, format string, args ...any) error {
	return &Fault{Problem: p, What: fmt.Sprintf(format, args...), Hint: hint, Cause: cause}
}

// problemIs tells whether an error is a Fault of a class.
func problemIs(err error, p Problem) bool {
	var f *Fault
	return errors.As(err, &f) && f.Problem == p
}

// clip shows what an instrument sent: in quotes, controls escaped, not too long.
func clip(text string) string {
	const most = 60
	if len(text) > most {
		return fmt.Sprintf("%q…", text[:most])
	}
	return fmt.Sprintf("%q", text)
}
