package excellon

import "fmt"

// MalformedError tells of input that breaks the format's rules.
type MalformedError struct {
	File string
	Line int // 1-based
	What string
}

func (e *MalformedError) Error() string {
	return fmt.Sprintf("excellon: %s:%d: %s", e.File, e.Line, e.What)
}

// UnsupportedError tells of input that keeps the rules but asks for something
// this reader does not do, or does only up to a limit.
type UnsupportedError struct {
	File string
	Line int // 1-based
	What string
}

func (e *UnsupportedError) Error() string {
	return fmt.Sprintf("excellon: %s:%d: %s", e.File, e.Line, e.What)
}

// Limits: the largest drill files of real boards hold some ten thousand hits.
const (
	maxBytes    = 64 << 20  // of the file
	maxReport   = 1 << 20   // of a report of tools; what follows is not read
	maxLine     = 64 << 10  // bytes of one line
	usualHits   = 2_000_000 // repeats and chords counted
	maxWarnings = 1000
	maxTool     = 99_999
)

func (r *reader) malformed(format string, args ...any) error {
	return &MalformedError{r.name, r.line, fmt.Sprintf(format, args...)}
}

func (r *reader) unsupported(format string, args ...any) error {
	return &UnsupportedError{r.name, r.line, fmt.Sprintf(format, args...)}
}

func (r *reader) warn(format string, args ...any) {
	switch n := len(r.file.Warnings); {
	case n < maxWarnings:
		r.file.Warnings = append(r.file.Warnings, Warning{Line: r.line, What: fmt.Sprintf(format, args...)})
	case n == maxWarnings:
		r.file.Warnings = append(r.file.Warnings, Warning{Line: r.line, What: "more warnings left out"})
	}
}

// guess warns of what is read from the file's own numbers.
func (r *reader) guess(format string, args ...any) {
	before := len(r.file.Warnings)
	r.warn(format, args...)
	for i := range r.file.Warnings[before:] {
		r.file.Warnings[before+i].Guess = true
	}
}

// warnOnce is warn for what would repeat itself through a whole file.
func (r *reader) warnOnce(format string, args ...any) {
	what := fmt.Sprintf(format, args...)
	if !r.warned[what] {
		r.warned[what] = true
		r.warn("%s", what)
	}
}
