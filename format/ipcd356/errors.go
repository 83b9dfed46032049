package ipcd356

import (
	"fmt"
	"strings"
)

// MalformedError tells of input that breaks the format's rules.
type MalformedError struct {
	File string
	Line int // 1-based
	What string
}

func (e *MalformedError) Error() string {
	return fmt.Sprintf("ipcd356: %s:%d: %s", e.File, e.Line, e.What)
}

// UnsupportedError tells of input that keeps the rules but asks for something
// this reader does not do, or does only up to a limit.
type UnsupportedError struct {
	File string
	Line int // 1-based
	What string
}

func (e *UnsupportedError) Error() string {
	return fmt.Sprintf("ipcd356: %s:%d: %s", e.File, e.Line, e.What)
}

// Limits: the netlists of large boards hold some ten thousand points.
const (
	maxBytes    = 64 << 20
	maxLine     = 4 << 10 // bytes; the format has 80 columns
	maxAliases  = 200_000
	maxHeaders  = 1000
	maxWarnings = 1000
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
		r.file.Warnings = append(r.file.Warnings, Warning{r.line, fmt.Sprintf(format, args...)})
	case n == maxWarnings:
		r.file.Warnings = append(r.file.Warnings, Warning{r.line, "more warnings left out"})
	}
}

// warnOnce is warn for what would repeat itself through a whole file; the
// format itself is the key.
func (r *reader) warnOnce(format string, args ...any) {
	if !r.warned[format] {
		r.warned[format] = true
		r.warn(format, args...)
	}
}

func shorten(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "..."
	}
	return s
}
