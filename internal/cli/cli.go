// Package cli is the command line: the commands, their flags, and how answers
// and errors are shown. The library cobra reads the line; its words are ours.
// The manners:
//
//   - standard output is the answer and nothing else; advice, progress and
//     errors go to standard error;
//   - help that was asked for is an answer; help after a mistake is not;
//   - an error is one line "ohmward: error: …", then where one helps a line
//     "ohmward: hint: …" naming what to try;
//   - progress is shown on a terminal only, and only after a second;
//   - colour is used on a terminal only, and never when NO_COLOR is set.
//
// Everything about boards is reached through package bench.
package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"time"
	"unicode"

	"ohmward/internal/answer"

	"golang.org/x/term"
)

// Exit codes, as the contract has them.
const (
	exitDone        = 0
	exitFailed      = 1
	exitMisuse      = 2
	exitDoubtful    = 3
	exitMeter       = 4
	exitInterrupted = 130
)

// exitCodes are those of errors that are not plain failures.
var exitCodes = map[answer.Kind]int{
	answer.Misuse: exitMisuse, answer.Doubtful: exitDoubtful, answer.Meter: exitMeter,
}

// Env is what the program stands in.
type Env struct {
	In     io.Reader // what a person types
	Out    io.Writer // the answer and nothing else
	Err    io.Writer // advice, progress and errors
	OutTTY bool      // Out is a terminal
	ErrTTY bool      // Err is a terminal
	Colour bool      // Out may be coloured
	// Columns is how wide the terminal is that Out is; 0: it is none.
	Columns int
	// Browse opens an address in the desktop's browser; nil: there is no desktop.
	Browse func(address string) error
	NoOut  bool   // Out was closed before the program began: no answer can be given
	Keep   bool   // what is costly to compute is kept on the user's disk
	Memory string // OHMWARD_MEMORY: what the process keeps near, as "500MB"
}

// System gives the process's own surroundings.
func System() Env {
	env := Env{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Keep: true, Memory: os.Getenv("OHMWARD_MEMORY")}
	env.OutTTY, env.ErrTTY = isTerminal(os.Stdout), isTerminal(os.Stderr)
	if env.OutTTY {
		env.Columns = columnsOf(os.Stdout)
	}
	env.Browse = desktopBrowser()
	env.NoOut = closedBefore(os.Stdout)
	env.Colour = env.OutTTY && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	return env
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// columnsOf is how wide a terminal is; one that does not say is taken for the usual.
func columnsOf(f *os.File) int {
	wide, _, err := term.GetSize(int(f.Fd()))
	if err != nil || wide <= 0 {
		return mostColumns
	}
	return wide
}

// Main runs one command line and gives the exit code.
func Main(args []string, env Env) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	keepNear(usualMemory())
	return run(ctx, args, env)
}

// patienceAfterInterrupt is how long an interrupted command may take to put things right.
const patienceAfterInterrupt = 2 * time.Second

// run runs the command in the background, so that an interrupt ends the
// program even while a long computation does not look at ctx.
func run(ctx context.Context, args []string, env Env) int {
	out := &answerWriter{to: env.Out}
	if env.Out = out; env.NoOut && !worthwhile(args) {
		out.err = errNoOutput
	}
	done := make(chan error, 1)
	go func() {
		err := dispatch(ctx, args, env)
		done <- out.finish(err, asksJSON(args))
	}()
	return await(ctx, done, env.Err, patienceAfterInterrupt)
}

// await waits for the command's end or an interrupt, and reports.
func await(ctx context.Context, done <-chan error, w io.Writer, patience time.Duration) int {
	select {
	case err := <-done:
		return report(w, err)
	case <-ctx.Done():
	}
	select {
	case <-done:
	case <-time.After(patience):
	}
	return report(w, context.Canceled)
}

func show(w io.Writer, text string) error {
	_, err := io.WriteString(w, text)
	return err
}

func isCanceled(err error) bool { return errors.Is(err, context.Canceled) }

// report prints an error and its hint, and gives the exit code.
func report(w io.Writer, err error) int {
	var known *answer.Error
	switch {
	case err == nil:
		return exitDone
	case isCanceled(err):
		fmt.Fprintln(w, "ohmward: interrupted")
		return exitInterrupted
	case !errors.As(answer.AsError(err), &known):
		known = &answer.Error{Kind: answer.Bad, What: err.Error()}
	}
	fmt.Fprintf(w, "ohmward: error: %s\n", oneLine(known.What))
	if known.Hint != "" {
		fmt.Fprintf(w, "ohmward: hint: %s\n", oneLine(known.Hint))
	}
	return cmp.Or(exitCodes[known.Kind], exitFailed)
}

// oneLine keeps text from outside from breaking the line or the terminal.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, escaped(s))
}

// escaped shows what would turn or hide text: controls of direction, marks that
// take no room, and line breaks of other alphabets.
func escaped(s string) string {
	if !strings.ContainsFunc(s, unseen) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if unseen(r) {
			fmt.Fprintf(&b, "\\u%04X", r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

func unseen(r rune) bool {
	return unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Zl, r) || unicode.Is(unicode.Zp, r)
}

// misuse is an error in how the command was written.
func misuse(hint, format string, args ...any) error {
	return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf(format, args...), Hint: hint}
}
