package ipc2581

import "fmt"

// MalformedError tells of input that breaks the format's rules.
type MalformedError struct {
	File string
	Line int // 1-based
	What string
}

func (e *MalformedError) Error() string {
	return fmt.Sprintf("ipc2581: %s:%d: %s", e.File, e.Line, e.What)
}

// UnsupportedError tells of input that keeps the rules but asks for something
// this reader does not do, or does only up to a limit.
type UnsupportedError struct {
	File string
	Line int // 1-based
	What string
}

func (e *UnsupportedError) Error() string {
	return fmt.Sprintf("ipc2581: %s:%d: %s", e.File, e.Line, e.What)
}

// Limits that keep a hostile or broken file from eating memory or time.
const (
	maxDepth    = 64      // open elements
	maxRefs     = 16      // primitives that refer to primitives
	maxShared   = 64      // further pins of one pad
	maxToken    = 4 << 20 // bytes of one tag, text or comment
	maxEntries  = 1 << 20 // names of each kind: primitives, parts, nets, pins
	maxWarnings = 1000
	maxSides    = 1 << 20 // corners of one primitive
)

// limits are those that tests lower.
type limits struct {
	bytes   int64 // of the file
	objects int   // painted, in all layers
	corners int   // of all rings, likewise
	visits  int   // primitives looked at while painting
}

var usual = limits{bytes: 4 << 30, objects: 4_000_000, corners: 20_000_000, visits: 20_000_000}

func (r *reader) malformed(format string, args ...any) error {
	return &MalformedError{r.name, r.at(), fmt.Sprintf(format, args...)}
}

func (r *reader) unsupported(format string, args ...any) error {
	return &UnsupportedError{r.name, r.at(), fmt.Sprintf(format, args...)}
}

func (r *reader) warn(format string, args ...any) {
	r.warnAt(r.at(), format, args...)
}

func (r *reader) warnAt(line int, format string, args ...any) {
	switch n := len(r.out.Warnings); {
	case n < maxWarnings:
		r.out.Warnings = append(r.out.Warnings, Warning{line, fmt.Sprintf(format, args...)})
	case n == maxWarnings:
		r.out.Warnings = append(r.out.Warnings, Warning{line, "more warnings left out"})
	}
}

// warnOnce is warn for what would repeat itself through a whole file.
func (r *reader) warnOnce(format string, args ...any) {
	r.warnOnceAt(r.at(), format, args...)
}

func (r *reader) warnOnceAt(line int, format string, args ...any) {
	what := fmt.Sprintf(format, args...)
	if !r.warned[what] && len(r.warned) <= maxWarnings {
		r.warned[what] = true
		r.warnAt(line, "%s", what)
	}
}
