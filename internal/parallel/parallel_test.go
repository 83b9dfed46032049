package parallel

import (
	"context"
	"errors"
	"runtime"
	"sync/atomic"
	"testing"
)

// Every job runs once, and no more at once than there are cores.
func TestEach(t *testing.T) {
	for _, n := range []int{0, 1, 57} {
		done := make([]atomic.Int32, n)
		var now, most atomic.Int32
		Each(n, func(i int) {
			v := now.Add(1)
			for m := most.Load(); v > m && !most.CompareAndSwap(m, v); m = most.Load() {
			}
			runtime.Gosched()
			done[i].Add(1)
			now.Add(-1)
		})
		for i := range done {
			if done[i].Load() != 1 {
				t.Errorf("%d jobs: job %d ran %d times", n, i, done[i].Load())
			}
		}
		if int(most.Load()) > runtime.GOMAXPROCS(0) {
			t.Errorf("%d jobs: %d at once", n, most.Load())
		}
	}
}

// The stretches make up the whole, each number once.
func TestRanges(t *testing.T) {
	for _, n := range []int{0, 1, 7, 8, 9, 16} {
		count := make([]atomic.Int32, n)
		Ranges(n, 8, func(lo, hi int) {
			if lo%8 != 0 || hi-lo > 8 {
				t.Errorf("of %d: %d .. %d", n, lo, hi)
			}
			for i := lo; i < hi; i++ {
				count[i].Add(1)
			}
		})
		for i := range count {
			if count[i].Load() != 1 {
				t.Errorf("of %d: %d came %d times", n, i, count[i].Load())
			}
		}
	}
}

// A worker's state is its own, and blocks come whole and in order.
func TestWorkers(t *testing.T) {
	const n, block = 103, 10
	var done, started atomic.Int32
	Workers(n, block, func() func(int) {
		started.Add(1)
		last := -1
		return func(i int) {
			if i%block != 0 && i != last+1 {
				t.Errorf("%d follows %d", i, last)
			}
			last = i
			done.Add(1)
			runtime.Gosched()
		}
	})
	if done.Load() != n || started.Load() < 1 || int(started.Load()) > runtime.GOMAXPROCS(0) {
		t.Errorf("%d of %d done by %d workers", done.Load(), n, started.Load())
	}
}

// The first error by number counts, whichever came first, and a context that
// has ended lets no further job begin.
func TestTry(t *testing.T) {
	first, second := errors.New("first"), errors.New("second")
	errs := []error{nil, first, second, nil}
	if err := Try(context.Background(), len(errs), func(i int) error { return errs[i] }); err != first {
		t.Errorf("got %v, want the first", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	var ran atomic.Int32
	err := Try(ctx, 1000, func(int) error {
		ran.Add(1)
		cancel()
		return second
	})
	if err != context.Canceled || int(ran.Load()) > runtime.GOMAXPROCS(0) {
		t.Errorf("after the end: %v, %d jobs ran", err, ran.Load())
	}
	if err := Try(context.Background(), 3, func(int) error { return nil }); err != nil {
		t.Error(err)
	}
}
