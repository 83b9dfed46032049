package cli

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"testing"
	"time"

	"ohmward/internal/check"
)

var figures = regexp.MustCompile(`[0-9]+`)

// TestExamples runs the example of each command's help and looks for its
// lines, in order, in what is printed. Figures may have moved since, and what
// follows an ellipsis is left open.
func TestExamples(t *testing.T) {
	if testing.Short() {
		t.Skip("runs every command on the demo: some seconds")
	}
	t.Chdir(check.Root(t))
	t.Setenv("OHMWARD_CACHE", t.TempDir())
	for _, c := range commands(Env{}) {
		lines := strings.Split(c.Example, "\n")
		var out, errs bytes.Buffer
		args := strings.Fields(strings.TrimPrefix(lines[0], "ohmward "))
		ctx, want, env := context.Background(), exitDone, Env{In: strings.NewReader(""), Out: &out, Err: &errs}
		if c.Name() == "bench" { // serves until it is interrupted
			t.Setenv("XDG_DATA_HOME", t.TempDir())
			args, want = append(args, "--port", "0"), exitInterrupted
			soon, stop := context.WithTimeout(ctx, 3*time.Minute)
			defer stop()
			ctx, env.Out = soon, ender{&out, stop}
		}
		if code := run(ctx, args, env); code != want {
			t.Errorf("%s: exit code %d: %s", lines[0], code, errs.String())
			continue
		}
		if len(lines) < 2 {
			t.Errorf("%s: its output is not shown", lines[0])
		}
		printed := strings.Split(out.String(), "\n")
		for _, want := range lines[1:] {
			if printed = after(printed, want); printed == nil {
				t.Errorf("%s: does not print %q after the lines before it:\n%s", lines[0], want, out.String())
				break
			}
		}
	}
}

// ender interrupts a command once it has answered.
type ender struct {
	*bytes.Buffer
	end func()
}

func (e ender) Write(p []byte) (int, error) {
	defer e.end()
	return e.Buffer.Write(p)
}

// after gives the lines after the first that agrees with want, or nil.
func after(lines []string, want string) []string {
	want, open := strings.CutSuffix(strings.TrimRight(want, " "), "…")
	want = figures.ReplaceAllString(strings.TrimSpace(want), "#")
	for i, line := range lines {
		got := figures.ReplaceAllString(strings.TrimSpace(line), "#")
		if got == want || open && strings.HasPrefix(got, want) {
			return lines[i+1:]
		}
	}
	return nil
}
