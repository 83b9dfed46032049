package conduct

import (
	"math"
	"sync"
	"sync/atomic"

	"ohmward/internal/sparse"
)

// mostLoops bounds the loops that a bridge remembers: 32 MB.
const mostLoops = 4 << 20

// loopRows remembers loops once they were asked for, by their second site.
type loopRows struct {
	once  sync.Once
	rows  []atomic.Pointer[[]atomic.Uint64]
	count atomic.Int64 // rows
}

// row gives what is remembered of a second site; nil where there is no room.
func (l *loopRows) row(t, sites int) []atomic.Uint64 {
	l.once.Do(func() { l.rows = make([]atomic.Pointer[[]atomic.Uint64], sites) })
	if row := l.rows[t].Load(); row != nil {
		return *row
	}
	if l.count.Load()*int64(sites) > mostLoops {
		return nil
	}
	row := make([]atomic.Uint64, sites)
	if l.rows[t].CompareAndSwap(nil, &row) {
		l.count.Add(1)
		return row
	}
	return *l.rows[t].Load()
}

// Loop is the copper's resistance between two sites on both groups together:
// the loop that two bridges at once make, in ohms. What was computed once is
// remembered: with many first sites for one second it costs least.
func (b *Bridge) Loop(s, t int) float64 {
	row := b.loops.row(t, len(b.Sites[0].Discs))
	if row == nil {
		return b.loop(s, t)
	}
	if v := math.Float64frombits(row[s].Load()); v > 0 {
		return v
	}
	v := b.loop(s, t)
	row[s].Store(math.Float64bits(v))
	return v
}

func (b *Bridge) loop(s, t int) float64 {
	var sum float64
	for _, sites := range b.Sites {
		if sites.component(s) != sites.component(t) {
			return farOhms
		}
		at := sites.balanced()
		sum += max(0, at.self[s]+at.self[t]-2*sparse.Dot(at.paths[s], at.paths[t]))
	}
	return sum
}
