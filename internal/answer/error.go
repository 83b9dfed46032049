package answer

import (
	"context"
	"errors"
	"strings"
)

// Kind is the class of an Error; it decides the exit code.
type Kind uint8

// The classes of error.
const (
	Bad      Kind = iota // the input is bad or the work failed: exit 1
	Misuse               // the command was used wrongly: exit 2
	Doubtful             // done, but not to be trusted: exit 3
	Meter                // the meter could not be reached: exit 4
	Conflict             // made on a state that has changed since: exit 1
	Busy                 // not while work is under way: exit 1
	Unsaved              // answered, but a file that was asked for could not be written: exit 1
)

// Error is a failure as a person should read it: one line that says what,
// where and what to do, and where one helps a hint naming what to try.
type Error struct {
	Kind  Kind   // decides the exit code
	What  string // one line: what went wrong and where
	Where string // the file and line, or the object, once more by itself; "" where there is none
	Hint  string // what to try, or ""
	Cause error  // kept for errors.Is; not printed
}

func (e *Error) Error() string { return e.What }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }

// Trouble is something that went wrong, as the page shows it in place.
type Trouble struct {
	Code string `json:"code"`           // stable: "bad", "misuse", "doubtful", "meter", "conflict", "busy"
	What string `json:"what"`           // went wrong
	Hint string `json:"hint,omitempty"` // what to try
}

// codes name an error's kind for other programs.
var codes = [...]string{Bad: "bad", Misuse: "misuse", Doubtful: "doubtful", Meter: "meter",
	Conflict: "conflict", Busy: "busy", Unsaved: "bad"}

// TroubleOf puts an error into what the page shows.
func TroubleOf(err error) *Trouble {
	var e *Error
	if !errors.As(AsError(err), &e) {
		return &Trouble{Code: codes[Bad], What: err.Error()}
	}
	return &Trouble{Code: codes[e.Kind], What: e.What, Hint: e.Hint}
}

// advising is an error that says what to try.
type advising interface {
	error
	Advice() string
}

// placed is an error that says where it is.
type placed interface {
	error
	Where() string
}

// Failure is an error as other programs read it.
type Failure struct {
	Error Fault `json:"error"`
}

// Fault says what went wrong.
type Fault struct {
	What  string `json:"what"`            // in one line, where it is included
	Where string `json:"where,omitempty"` // file and line, or the object
	Hint  string `json:"hint,omitempty"`  // what to try
	Code  string `json:"code"`            // as that of Trouble
}

// FailureOf puts an error into what other programs read.
func FailureOf(err error) Failure {
	var e *Error
	if !errors.As(AsError(err), &e) {
		return Failure{Fault{What: err.Error(), Code: codes[Bad]}}
	}
	where := e.Where
	if p := placed(nil); where == "" && errors.As(err, &p) {
		where = p.Where()
	}
	return Failure{Fault{What: e.What, Where: where, Hint: e.Hint, Code: codes[e.Kind]}}
}

// AsError wraps an error of the input or the work; an Error stays as it is.
// What to try is the error's own advice, or what its text has behind a line
// break.
func AsError(err error) error {
	var e *Error
	if errors.As(err, &e) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	what, hint, _ := strings.Cut(err.Error(), "\n")
	if a := advising(nil); errors.As(err, &a) {
		hint = a.Advice()
	}
	return &Error{Kind: Bad, What: what, Hint: hint, Cause: err}
}
