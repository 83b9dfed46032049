package main

import (
	"fmt"
	"math"
	"os"
	"runtime"
	"strings"
	"time"

	"ohmward/internal/sparse"
)

// many is how many right-hand sides are solved for together.
const many = 32

// trial measures this program's solver on a stored problem and prints one
// line of name=value, as oracle/cholmod.c does.
func trial(name string) error {
	p, err := read(name)
	if err != nil {
		return err
	}
	runtime.GC()
	loaded := peak()
	var s *sparse.Symbolic
	var f *sparse.Factor
	clock := &stopwatch{}
	clock.time("analyse", func() {
		o := sparse.Dissect(p.m, p.x, p.y)
		p.x, p.y = nil, nil // of use to the ordering alone
		s, err = sparse.Analyse(p.m, o)
	})
	if err != nil {
		return err
	}
	clock.time("factor", func() { f, err = s.Factor(p.m) })
	if err != nil {
		return err
	}
	after := peak()
	columns := rightSides(p.m.N)
	one := append([]float64(nil), columns[many-1]...)
	clock.time("solve32", func() { f.SolveMany(columns) })
	clock.time("solve1", func() { f.Solve(one) })
	sum := 0.0
	for _, c := range columns {
		for _, v := range c {
			sum += math.Abs(v)
		}
	}
	fmt.Printf("%sloaded=%d peak=%d nnz=%d flops=%.0f sum=%.15g\n", clock.told, loaded, after, s.NNZ(),
		s.Flops(), sum)
	return nil
}

// stopwatch times steps: by the clock on the wall, and with _cpu by what the
// process used of the processor.
type stopwatch struct{ told string }

func (s *stopwatch) time(name string, step func()) {
	wall, cpu := time.Now(), processorTime()
	step()
	s.told += fmt.Sprintf("%s=%.6f %s_cpu=%.6f ", name, time.Since(wall).Seconds(), name,
		(processorTime() - cpu).Seconds())
}

// rightSides are unit currents into places spread over the unknowns.
func rightSides(n int) [][]float64 {
	columns := make([][]float64, many)
	for r := range columns {
		columns[r] = make([]float64, n)
		columns[r][n/40*r+n/3%97] = 1
	}
	return columns
}

// peak is the most memory that this process has held so far, bytes; 0 where
// the system does not tell in the way of Linux.
func peak() int64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	_, rest, _ := strings.Cut(string(status), "VmHWM:")
	var kib int64
	if _, err := fmt.Sscan(rest, &kib); err != nil {
		return 0
	}
	return kib * 1024
}
