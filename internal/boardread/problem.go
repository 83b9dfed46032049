package boardread

import (
	"fmt"

	"ohmward/internal/board"
)

// Problem is an error with its code.
type Problem struct {
	Code board.Code // of what can be done about it
	File string     // that it is about, or ""
	What string     // in one line, for a person
}

func (p *Problem) Error() string { return p.What }

// Where gives the file.
func (p *Problem) Where() string { return p.File }

func problem(code board.Code, file, format string, args ...any) error {
	return &Problem{code, file, fmt.Sprintf(format, args...)}
}
