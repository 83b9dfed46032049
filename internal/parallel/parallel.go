// Package parallel runs independent jobs on all cores. Jobs start in ascending
// order but may end in any: results go to places of their own. At no time run
// more jobs than there are cores (GOMAXPROCS), since each may need much memory.
// Every function returns when all its jobs are done. A job that panics ends the
// others early, and panics in who asked for it.
package parallel

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// Each runs job(0) .. job(n-1).
func Each(n int, job func(i int)) {
	Workers(n, 1, func() func(int) { return job })
}

// Ranges runs job(lo, hi) for stretches of up to size numbers that make up
// 0 .. n-1.
func Ranges(n, size int, job func(lo, hi int)) {
	Each((n+size-1)/size, func(i int) { job(i*size, min((i+1)*size, n)) })
}

// Workers runs 0 .. n-1 by jobs that have state of their own: start is called
// once by each worker. A worker takes block numbers at a time, which begin at a
// multiple of block and which it goes through in ascending order.
func Workers(n, block int, start func() (job func(i int))) {
	var next atomic.Int64
	work := func() {
		defer next.Store(int64(n)) // where a job panics, the others take no more
		job := start()
		for {
			hi := int(next.Add(int64(block)))
			lo := hi - block
			if lo >= n {
				return
			}
			for i := lo; i < min(hi, n); i++ {
				job(i)
			}
		}
	}
	var group Group
	for range min(runtime.GOMAXPROCS(0), (n+block-1)/block) - 1 {
		group.Go(work)
	}
	if n > 0 {
		group.run(work)
	}
	group.Wait()
}

// Group runs jobs beside each other and waits for them. The zero value is ready.
type Group struct {
	wait  sync.WaitGroup
	fault atomic.Pointer[fault]
}

// Go starts a job.
func (g *Group) Go(job func()) { g.wait.Go(func() { g.run(job) }) }

// Wait waits for all jobs. Where one has panicked, it panics in the same way.
func (g *Group) Wait() {
	g.wait.Wait()
	if f := g.fault.Load(); f != nil {
		panic(f)
	}
}

func (g *Group) run(job func()) {
	defer func() {
		if why := recover(); why != nil {
			g.fault.CompareAndSwap(nil, newFault(why))
		}
	}()
	job()
}

// fault is a panic of a job, with where it was.
type fault struct {
	why   any
	stack []byte
}

func newFault(why any) *fault {
	if f, ours := why.(*fault); ours { // of a job within a job
		return f
	}
	return &fault{why, debug.Stack()}
}

// String says what happened and where. A fault is not an error: nothing takes it
// for bad input.
func (f *fault) String() string { return fmt.Sprintf("%v\n%s", f.why, f.stack) }

// Try runs job(0) .. job(n-1) and gives the error of the first that has one.
// Once the context ends it starts no further job and gives the context's error.
func Try(ctx context.Context, n int, job func(i int) error) error {
	errs := make([]error, n)
	Each(n, func(i int) {
		if ctx.Err() == nil {
			errs[i] = job(i)
		}
	})
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
