package main

import (
	"os"
	"testing"

	"ohmward/internal/cli"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"ohmward": func() { os.Exit(cli.Main(os.Args[1:], cli.System())) },
	})
}

// TestScripts runs the whole-program scripts: what is printed where, the exit
// codes, and the files left behind. In a script, "exits N COMMAND..." runs
// ohmward and wants exit code N; answers looks into a JSON answer;
// demoboard, cut and swap make spoilt boards. What is costly to compute of a
// board is computed by the first script that needs it and kept for the others.
func TestScripts(t *testing.T) {
	kept := t.TempDir()
	testscript.Run(t, testscript.Params{
		Setup: func(e *testscript.Env) error {
			e.Setenv("OHMWARD_CACHE", kept)
			return nil
		},
		Dir:                 "../../testdata/script",
		RequireExplicitExec: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "answers": answers, "demoboard": demoboard, "cut": cut, "swap": swap,
		},
	})
}
