package cli

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// ran runs a command line and gives what it prints.
func ran(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), args, Env{Out: &out, Err: &errs}); code != exitDone {
		t.Fatalf("%q: exit code %d: %s", args, code, errs.String())
	}
	return out.String()
}

// TestComplete asks for what may follow, as the shells' scripts do. The last
// line is ":" and what else the shell is to do: 0 names files, 4 nothing, 16
// folders.
func TestComplete(t *testing.T) {
	for line, want := range map[string]string{
		"lo|":                      "locate\twhere the short is, the next reading and the next repair\n:4\n",
		"help sus|":                "suspects\tevery place where two nets could touch, before any reading\n:4\n",
		"completion f|":            "fish\n:4\n",
		"board |":                  ":0\n",
		"board demo |":             ":4\n",
		"practice |":               ":0\n",
		"board demo --tip|":        "--tip\tdiameter of a probe's contact (default 0.3mm)\n:4\n",
		"board demo --ties |":      "auto\nnone\n:4\n",
		"board demo --at |":        ":0\n",
		"board demo --copper |":    ":4\n",
		"bench --cases |":          ":16\n",
		"trial demo --kind=|":      "two-wire\nfour-wire\n:4\n",
		"practice --seed 3 --aut|": "--auto\tlet the program choose every reading\n:4\n",
	} {
		words := strings.Split(strings.TrimSuffix(line, "|"), " ")
		if got := ran(t, append([]string{"__complete"}, words...)...); got != want {
			t.Errorf("%s\n got %q\nwant %q", line, got, want)
		}
	}
}

// TestCompletionScripts: each shell gets a script of its own, and the shells
// at hand take theirs.
func TestCompletionScripts(t *testing.T) {
	for shell, mark := range map[string]string{
		"bash": "complete -o default -F __start_ohmward ohmward", "zsh": "#compdef ohmward",
		"fish": "complete -c ohmward", "powershell": "Register-ArgumentCompleter -CommandName 'ohmward'",
	} {
		script := ran(t, "completion", shell)
		if !strings.Contains(script, mark) {
			t.Errorf("%s: no %q", shell, mark)
		}
		if path, err := exec.LookPath(shell); err == nil && shell != "powershell" {
			check := exec.Command(path, "-n")
			check.Stdin = strings.NewReader(script)
			if out, err := check.CombinedOutput(); err != nil {
				t.Errorf("%s refuses its script: %v: %s", shell, err, out)
			}
		}
	}
}

// TestManPages: there is a page for each command, with its flags, and the
// formatter has nothing to say against it.
func TestManPages(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "man1")
	ran(t, "man", dir)
	for _, c := range commands(Env{}) {
		file := filepath.Join(dir, "ohmward-"+c.Name()+".1")
		page, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range flagsOf(c) {
			if !strings.Contains(string(page), roff("  "+written(f)+"  ")) {
				t.Errorf("%s: no --%s", file, f.Name)
			}
		}
	}
	if groff, err := exec.LookPath("groff"); err == nil {
		files, _ := filepath.Glob(filepath.Join(dir, "*.1"))
		args := append([]string{"-k", "-man", "-Tutf8", "-ww", "-z"}, files...)
		if out, err := exec.Command(groff, args...).CombinedOutput(); err != nil || len(out) > 0 {
			t.Errorf("groff: %v: %s", err, out)
		}
	}
}
