package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"unicode/utf8"

	"ohmward/internal/answer"
)

// full is an output that takes nothing.
type full struct{ err error }

func (f full) Write([]byte) (int, error) { return 0, f.err }

// TestFailureJSON: under --json an error is one JSON object on standard output too,
// whatever went wrong, and never beside an answer.
func TestFailureJSON(t *testing.T) {
	dir := t.TempDir()
	broken := filepath.Join(dir, "broken.toml")
	if err := os.WriteFile(broken, []byte("board = \"demo\"\nnets = [\"A\", \"B\"]\nreadin = 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for line, want := range map[string]answer.Fault{
		"board --json nowhere":         {Code: "bad"},
		"board --json":                 {Code: "misuse"},
		"board demo --json --copper x": {Code: "misuse"},
		"nonsense --json":              {Code: "misuse"},
		"locate --json " + broken:      {Code: "bad", Where: broken + ":3"},
	} {
		var out, errs bytes.Buffer
		code := run(context.Background(), strings.Fields(line), Env{Out: &out, Err: &errs})
		var got answer.Failure
		if err := json.Unmarshal(out.Bytes(), &got); err != nil || code == exitDone {
			t.Errorf("%s: exit code %d, %v: %q", line, code, err, out.String())
			continue
		}
		if got.Error.Code != want.Code || got.Error.Where != want.Where || !strings.Contains(errs.String(), got.Error.What) {
			t.Errorf("%s: %+v beside %q", line, got, errs.String())
		}
		out.Reset()
		plain := strings.Fields(strings.Replace(line, "--json", "", 1))
		if run(context.Background(), plain, Env{Out: &out, Err: &errs}); out.Len() > 0 {
			t.Errorf("%s without --json prints %q", line, out.String())
		}
	}
}

// TestNoOutput: an answer that cannot be given is an error, unless something else
// was done.
func TestNoOutput(t *testing.T) {
	for name, env := range map[string]Env{
		"a full disk": {Out: full{syscall.ENOSPC}},
		"closed":      {Out: &bytes.Buffer{}, NoOut: true},
	} {
		for _, line := range []string{"version", "help", "help locate", "board demo --json", "board demo"} {
			var errs bytes.Buffer
			env.Err = &errs
			code := run(context.Background(), strings.Fields(line), env)
			if code != exitFailed || !strings.Contains(errs.String(), "standard output") {
				t.Errorf("%s, %s: exit code %d, %q", name, line, code, errs.String())
			}
		}
	}
	if testing.Short() {
		return // the rest solves the demo
	}
	picture := filepath.Join(t.TempDir(), "x.svg")
	line := []string{"locate", "../../demo/cases/shell.toml", "--picture", picture}
	if code := run(context.Background(), line, Env{Out: &bytes.Buffer{}, Err: &bytes.Buffer{}, NoOut: true}); code != exitDone {
		t.Errorf("a picture was drawn: exit code %d", code)
	}
}

// TestPictureFails: a picture that cannot be written leaves the answer on the
// screen, and is an error.
func TestPictureFails(t *testing.T) {
	if testing.Short() {
		t.Skip("solves the demo three times: left out of -short")
	}
	nowhere := filepath.Join(t.TempDir(), "none", "x.png")
	for _, line := range []string{
		"locate ../../demo/cases/shell.toml --picture " + nowhere,
		"locate ../../demo/cases/shell.toml --json --picture " + nowhere,
		"current demo --from C9.1 --to C8.1 --amps 1 --picture " + nowhere,
	} {
		var out, errs bytes.Buffer
		code := run(context.Background(), strings.Fields(line), Env{Out: &out, Err: &errs})
		if code != exitFailed || out.Len() < 100 || !strings.Contains(errs.String(), nowhere) ||
			strings.Contains(errs.String(), ".new-") {
			t.Errorf("%s: exit code %d, %d bytes, %q", line, code, out.Len(), errs.String())
		}
		if strings.Contains(line, "--json") && !json.Valid(out.Bytes()) {
			t.Errorf("%s: no one JSON object", line)
		}
	}
}

// TestColumns: a terminal's width is kept to and nothing is cut; elsewhere a row is
// one line, however long.
func TestColumns(t *testing.T) {
	long := strings.Repeat("net-with-a-long-name ", 9)
	words := func(p *page) {
		p.Headline("%s", long+strings.Repeat("x", 90))
		p.Line("%s", long)
		p.Facts("a name", long, "another", strings.Repeat("y", 100))
		p.Table([]string{"one", ">two"}, [][]string{{long, "2"}, {"short", "1"}})
	}
	for _, columns := range []int{0, 40, 57, 80, 200} {
		var out bytes.Buffer
		words(&page{out: &out, columns: columns})
		text := out.String()
		if strings.Contains(text, "…") || strings.Count(text, "net-with-a-long-name") != 4*9 {
			t.Errorf("%d columns: something is cut:\n%s", columns, text)
		}
		for line := range strings.Lines(text) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); columns > 0 && n > columns {
				t.Errorf("%d columns of %d: %s", n, columns, line)
			}
		}
		if columns == 0 && !strings.Contains(text, strings.TrimSpace(long)+"  ") {
			t.Errorf("a row is broken where no terminal is:\n%s", text)
		}
	}
}

// TestUnseen: names cannot turn, hide or break what is printed.
func TestUnseen(t *testing.T) {
	for text, want := range map[string]string{
		"a\u202eb": `a\u202Eb`, "a\u2066b\u2069": `a\u2066b\u2069`, "a\u200bb": `a\u200Bb`, "a\u2028b": `a\u2028b`,
		"a\x1b[31m": "a [31m", "a\u0085b": "a b", "a\u009bb": "a b", "grün µ Ω": "grün µ Ω",
	} {
		if got := oneLine(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestEmptyAt: an empty list of places is answered by an empty list.
func TestEmptyAt(t *testing.T) {
	at := filepath.Join(t.TempDir(), "at.json")
	if err := os.WriteFile(at, []byte("[]"), 0o644); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if code := run(context.Background(), []string{"board", "demo", "--json", "--at", at},
		Env{Out: &out, Err: &bytes.Buffer{}}); code != exitDone || !strings.Contains(out.String(), `"at": []`) {
		t.Errorf("exit code %d:\n%s", code, out.String()[:min(400, out.Len())])
	}
}

// TestFinishKeepsErrors: what went wrong with the work is told before what went wrong
// with its output.
func TestFinishKeepsErrors(t *testing.T) {
	w := &answerWriter{to: full{syscall.ENOSPC}}
	own := &answer.Error{Kind: answer.Misuse, What: "own"}
	if err := w.finish(own, true); !errors.Is(err, own) {
		t.Errorf("got %v", err)
	}
}

// TestBrowse: the page opens by itself from a terminal on a desktop, and only there.
func TestBrowse(t *testing.T) {
	for _, c := range []struct {
		flags      string
		tty, opens bool
	}{{"", true, true}, {"", false, false}, {"--no-open", true, false}, {"--json", true, false}} {
		ctx, stop := context.WithCancel(context.Background())
		opened := false
		env := Env{Err: &bytes.Buffer{}, OutTTY: c.tty, Browse: func(address string) error {
			opened = strings.HasPrefix(address, "http://127.0.0.1:")
			stop()
			return nil
		}}
		env.Out = writerFunc(func() { // the bench has said where it is
			if !c.opens {
				stop()
			}
		})
		line := strings.Fields("bench --port 0 --cases " + t.TempDir() + " " + c.flags)
		if code := run(ctx, line, env); code != exitDone && code != exitInterrupted {
			t.Errorf("%q: exit code %d", c.flags, code)
		}
		if opened != c.opens {
			t.Errorf("%q, terminal %v: opened %v", c.flags, c.tty, opened)
		}
	}
}

// writerFunc is called at each write.
type writerFunc func()

func (f writerFunc) Write(p []byte) (int, error) {
	f()
	return len(p), nil
}
