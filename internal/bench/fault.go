package bench

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
)

// Error is a failure as a person should read it: one line that says what,
// where and what to do, and where one helps a hint naming what to try.
type Error struct {
	Kind  Kind
	What  string
	Hint  string
	Cause error // kept for errors.Is; not printed
}

func (e *Error) Error() string { return e.What }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }
