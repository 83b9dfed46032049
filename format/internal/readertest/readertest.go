// Package readertest is what the tests of the readers share: faulty inputs and
// what must come of them, floods, and the memory that reading takes. Only
// tests import it.
package readertest

import (
	"errors"
	"io"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"ohmward/format/fault"
	"ohmward/internal/check"
)

// Refused gives class, line and words of an error.
func Refused(err error) (class string, line int, says string) {
	var e *fault.Error
	if errors.As(err, &e) {
		return e.Kind.String(), e.Line, err.Error()
	}
	return "other", 0, err.Error()
}

// Warned gives the same of a warning; its class is "lost" where copper or holes
// may be.
func Warned(w fault.Warning) (class string, line int, says string) {
	if w.Lost {
		return "lost", w.Line, w.What
	}
	return "warning", w.Line, w.What
}

// IsUnsupported tells whether an error is of this class, in one line that
// holds the words.
func IsUnsupported(err error, words string) bool {
	var e *fault.Error
	return errors.As(err, &e) && e.Kind == fault.Unsupported && !strings.Contains(e.Error(), "\n") &&
		strings.Contains(e.Error(), words)
}

// Faults reads every input of testdata/faults and compares class, line and
// words with what the file asks for.
func Faults(t *testing.T, read func(input string) (class string, line int, says string)) {
	t.Helper()
	for name, f := range check.Faults(t) {
		class, line, says := read(f.Input)
		want := f.Keys
		if class != want["class"] || strconv.Itoa(line) != want["line"] || want["says"] == "" ||
			!strings.Contains(says, want["says"]) {
			t.Errorf("%s: got %s, line %d, %q; want %v", name, class, line, says, want)
		}
	}
}

// Flood is a file of a head and then one text over and over. It notes how far
// the heap in use grows meanwhile.
type Flood struct {
	head, text  string
	at          int // in the text
	left        int // bytes to come behind the head
	next, every int // bytes left at the next look at the heap, bytes between two
	start, peak uint64
}

// NewFlood makes a flood of size bytes behind the head.
func NewFlood(head, text string, size int) *Flood {
	f := &Flood{head: head, text: strings.Repeat(text, 1+32<<10/len(text)), left: size, every: size / 4}
	f.next, f.start = size, inUse()
	return f
}

func inUse() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

func (f *Flood) Read(p []byte) (int, error) {
	if f.head != "" {
		n := copy(p, f.head)
		f.head = f.head[n:]
		return n, nil
	}
	if f.left <= f.next {
		f.peak, f.next = max(f.peak, inUse()), f.left-f.every
	}
	if f.left <= 0 {
		return 0, io.EOF
	}
	n := copy(p[:min(len(p), f.left)], f.text[f.at:])
	f.at = (f.at + n) % len(f.text)
	f.left -= n
	return n, nil
}

// Grown is how many bytes more were in use, at most, than before the flood.
func (f *Flood) Grown() int { return int(max(f.peak, f.start) - f.start) }

// Allocated is how many bytes a function allocates, in use at one time or not.
func Allocated(do func()) int {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	do()
	runtime.ReadMemStats(&after)
	return int(after.TotalAlloc - before.TotalAlloc)
}
