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
	t0 := time.Now()
	s, err := sparse.Analyse(p.m, sparse.Dissect(p.m, p.x, p.y))
	if err != nil {
		return err
	}
	t1 := time.Now()
	f, err := s.Factor(p.m)
	if err != nil {
		return err
	}
	t2 := time.Now()
	after := peak()

	columns := rightSides(p.m.N)
	one := append([]float64(nil), columns[many-1]...)
	t3 := time.Now()
	f.SolveMany(columns)
	t4 := time.Now()
	sum := 0.0
	for _, c := range columns {
		for _, v := range c {
			sum += math.Abs(v)
		}
	}
	t5 := time.Now()
	f.Solve(one)
	t6 := time.Now()
	fmt.Printf("analyse=%.6f factor=%.6f solve32=%.6f solve1=%.6f loaded=%d peak=%d nnz=%d flops=%.0f sum=%.15g\n",
		t1.Sub(t0).Seconds(), t2.Sub(t1).Seconds(), t4.Sub(t3).Seconds(), t6.Sub(t5).Seconds(), loaded, after, s.NNZ(), s.Flops(), sum)
	return nil
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
