package locate

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// onCores runs 0..n-1 on all cores, block by block; begin gives each goroutine a
// function with room of its own. Results must go to separate places, so that
// they do not depend on the order.
func onCores(n, block int, begin func() func(i int)) {
	workers := min(runtime.GOMAXPROCS(0), (n+block-1)/block)
	if workers <= 1 {
		f := begin()
		for i := range n {
			f(i)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			f := begin()
			for {
				from := int(next.Add(int64(block))) - block
				if from >= n {
					return
				}
				for i := from; i < min(from+block, n); i++ {
					f(i)
				}
			}
		})
	}
	wg.Wait()
}

// dotLong is dot for long vectors: four sums side by side.
func dotLong(a, b []float64) float64 {
	var s0, s1, s2, s3 float64
	b = b[:len(a)]
	for len(a) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	return s0 + s1 + s2 + s3 + dot(a, b)
}
