package main

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
)

// figures are what one process told: seconds and bytes by name, each the
// least of all rounds.
type figures map[string]float64

// factored is analysis and factorisation together, seconds of the processor,
// which a busy machine lengthens least; elapsed is the same by the clock.
func (f figures) factored() float64 { return f["analyse_cpu"] + f["factor_cpu"] }
func (f figures) elapsed() float64  { return f["analyse"] + f["factor"] }

// total is all that a use with many right-hand sides takes.
func (f figures) total() float64 { return f.factored() + f["solve32_cpu"] }

// contestant is one way to solve.
type contestant struct {
	name    string
	command []string // the matrix's file is added
	after   []string // further arguments after it
	env     []string
	rounds  int // 0: all
}

// run starts a contestant once. Words that are no numbers come back in names.
func (c contestant) run(file string) (got figures, names map[string]string, err error) {
	args := append(append(append([]string(nil), c.command...), file), c.after...)
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Env = append(os.Environ(), c.env...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, nil, fmt.Errorf("speed: %s: %w", c.name, err)
	}
	got, names = figures{}, map[string]string{}
	for _, word := range strings.Fields(string(out)) {
		name, value, _ := strings.Cut(word, "=")
		if v, err := strconv.ParseFloat(value, 64); err == nil {
			got[name] = v
		} else {
			names[name] = value
		}
	}
	return got, names, nil
}

// compete runs the contestants in turn, several rounds long, and keeps the
// least of each figure. It fails if any solution differs from the first's.
func compete(all []contestant, file string, rounds int) ([]figures, map[string]string, error) {
	best, names := make([]figures, len(all)), map[string]string{}
	for r := range rounds {
		for i, c := range all {
			if c.rounds > 0 && r >= c.rounds {
				continue
			}
			got, words, err := c.run(file)
			if err != nil {
				return nil, nil, err
			}
			for k, v := range words {
				names[k] = v
			}
			if best[i] == nil {
				best[i] = got
			}
			best[i] = least(best[i], got)
			if a, b := best[0]["sum"], got["sum"]; !(math.Abs(a-b) <= 1e-8*math.Abs(a)) {
				return nil, nil, fmt.Errorf("speed: %s solves otherwise than %s: sums of the solutions %.12g and %.12g",
					c.name, all[0].name, b, a)
			}
		}
	}
	return best, names, nil
}

// least keeps the lesser of each figure, a step's time each for itself.
func least(a, b figures) figures {
	out := figures{}
	for k, v := range a {
		out[k] = min(v, b[k])
	}
	return out
}
