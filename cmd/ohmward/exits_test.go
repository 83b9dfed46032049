package main

import (
	"errors"
	"os/exec"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"
)

// exits runs ohmward and fails the script unless it ends with the exit code.
// Its output is what stdout and stderr look at afterwards.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: exits CODE [ARGUMENT...]")
	}
	want, err := strconv.Atoi(args[0])
	if err != nil {
		ts.Fatalf("exits: %q is no exit code", args[0])
	}
	got := 0
	var ended *exec.ExitError
	if err := ts.Exec("ohmward", args[1:]...); errors.As(err, &ended) {
		got = ended.ExitCode()
	} else if err != nil {
		ts.Fatalf("exits: %v", err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}
