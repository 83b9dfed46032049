package cli

import (
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"

	"ohmward/internal/answer"
)

// errNoOutput says that standard output was closed when the program began.
var errNoOutput = errors.New("it was closed")

// answerWriter is standard output: it remembers whether anything was written, and
// what failed.
type answerWriter struct {
	to      io.Writer
	written bool
	err     error
}

func (w *answerWriter) Write(p []byte) (int, error) {
	if w.err != nil {
		return 0, w.err
	}
	w.written = true
	n, err := w.to.Write(p)
	w.err = err
	return n, err
}

// finish ends the output of a command that ended with err: under --json an error
// without an answer is told there too; an output that failed is an error.
func (w *answerWriter) finish(err error, asksJSON bool) error {
	if err != nil && asksJSON && !w.written && !isCanceled(err) {
		text, failed := json.MarshalIndent(answer.FailureOf(err), "", " ")
		if failed == nil {
			_, _ = w.Write(append(text, '\n')) // the error below says more than that it failed
		}
	}
	if w.err != nil && err == nil || w.err != nil && errors.Is(err, w.err) {
		return &answer.Error{Kind: answer.Bad, What: "the answer cannot be written to standard output: " +
			plain(w.err).Error(), Cause: w.err, Hint: "make room where it goes, or give it another place"}
	}
	return err
}

// asksJSON tells whether a command line asks for JSON.
func asksJSON(args []string) bool {
	if end := slices.Index(args, "--"); end >= 0 {
		args = args[:end]
	}
	return slices.Contains(args, "--json") || slices.Contains(args, "--json=true")
}

// worthwhile tells whether a command line does something besides its output.
func worthwhile(args []string) bool {
	return len(args) > 0 && args[0] == "bench" || slices.ContainsFunc(args, func(a string) bool {
		return strings.HasPrefix(a, "--picture") || strings.HasPrefix(a, "--save")
	})
}
