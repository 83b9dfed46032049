package main

import (
	_ "embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

//go:embed oracle/cholmod.c
var oracleSource []byte

// buildOracle compiles the reference program in dir and returns its path. The
// error tells in one line what is missing.
func buildOracle(dir string) (string, error) {
	cc := os.Getenv("CC")
	if cc == "" {
		cc = "gcc"
	}
	source, program := filepath.Join(dir, "cholmod.c"), filepath.Join(dir, "cholmod")
	if err := os.WriteFile(source, oracleSource, 0o600); err != nil {
		return "", err
	}
	out, err := exec.Command(cc, "-O2", "-I/usr/include/suitesparse", source, "-o", program, "-lcholmod",
		"-lm").CombinedOutput()
	if err != nil {
		first, _, _ := strings.Cut(strings.TrimSpace(string(out)), "\n")
		return "", fmt.Errorf("the CHOLMOD program does not compile (%w) %s; install gcc and libsuitesparse-dev",
			err, first)
	}
	return program, nil
}

// buildTuned compiles this program once more for the processors of the last
// ten years, to see whether that would be faster than the plain build. It
// returns "" where that cannot be done.
func buildTuned(dir string) string {
	program := filepath.Join(dir, "tuned")
	cmd := exec.Command("go", "build", "-o", program, "ohmward/speed")
	cmd.Env = append(os.Environ(), "GOAMD64=v3")
	if cmd.Run() != nil {
		return ""
	}
	return program
}
