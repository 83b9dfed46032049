package engine

import "ohmward/internal/conduct"

// Error is a question that the engine cannot answer, as a person should read
// it.
type Error struct {
	What  string // one line: what was wrong, and where
	Hint  string // what to try; "" where nothing helps
	Cause error  // for errors.Is and errors.As; may be nil
}

func (e *Error) Error() string { return e.What }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }

// Advice gives the hint.
func (e *Error) Advice() string { return e.Hint }

// ErrApart says that no copper joins a reading's places.
var ErrApart = conduct.ErrApart
