package placement

import (
	"fmt"
	"strings"
)

// UnsupportedError tells of input beyond a limit of this reader. There is no
// malformed table: what breaks the rules of one is none.
type UnsupportedError struct {
	File string
	Line int // 1-based
	What string
}

func (e *UnsupportedError) Error() string {
	return fmt.Sprintf("placement: %s:%d: %s", e.File, e.Line, e.What)
}

// Limits: large boards hold some ten thousand parts.
const (
	maxBytes    = 16 << 20
	maxLines    = 1_000_000
	maxRows     = 500_000
	maxColumns  = 200
	maxRange    = 10_000 // parts in "R1-R9999"
	maxCell     = 64 << 10
	maxWarnings = 1000
)

func (r *reader) unsupported(line int, format string, args ...any) error {
	return &UnsupportedError{r.name, line, fmt.Sprintf(format, args...)}
}

func (r *reader) warn(line int, format string, args ...any) {
	switch n := len(r.table.Warnings); {
	case n < maxWarnings:
		r.table.Warnings = append(r.table.Warnings, Warning{line, fmt.Sprintf(format, args...)})
	case n == maxWarnings:
		r.table.Warnings = append(r.table.Warnings, Warning{line, "more warnings left out"})
	}
}

// warnOnce is warn for what would repeat itself through a whole table; the
// format itself is the key.
func (r *reader) warnOnce(line int, format string, args ...any) {
	if !r.warned[format] {
		r.warned[format] = true
		r.warn(line, format, args...)
	}
}

func shorten(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "..."
	}
	return s
}
