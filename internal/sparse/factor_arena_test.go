package sparse

import (
	"runtime"
	"testing"
)

// TestArena: stretches in use never overlap, each is the first that fits, and
// in the end all is one again.
func TestArena(t *testing.T) {
	const size = 1000
	rng := source()
	a := newArena(size)
	var used [size]bool
	type piece struct{ lo, n int }
	var held []piece
	refused := 0
	for range 20000 {
		if len(held) > 0 && rng.IntN(2) == 0 {
			i := rng.IntN(len(held))
			p := held[i]
			held[i] = held[len(held)-1]
			held = held[:len(held)-1]
			a.release(p.lo, p.n)
			for k := range p.n {
				used[p.lo+k] = false
			}
			continue
		}
		n := rng.IntN(120)
		first, run := -1, 0
		for i := range used {
			if run++; used[i] {
				run = 0
			}
			if run == n || n == 0 {
				first = i + 1 - n
				break
			}
		}
		lo, ok := a.alloc(n)
		if ok != (first >= 0) || ok && n > 0 && lo != first {
			t.Fatalf("%d numbers: given %d, %v, want %d", n, lo, ok, first)
		}
		if !ok {
			refused++
			continue
		}
		held = append(held, piece{lo, n})
		for k := range n {
			used[lo+k] = true
		}
	}
	if refused == 0 {
		t.Error("the arena was never full")
	}
	for _, p := range held {
		a.release(p.lo, p.n)
	}
	if len(a.free) != 1 || a.free[0] != (interval{0, size}) {
		t.Errorf("all given back, free are %v", a.free)
	}
}

// TestWaitingIsKnownBeforehand: on one core the update matrices that wait take
// what was reckoned, to the number.
func TestWaitingIsKnownBeforehand(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	l := layered(2, 110, 20, 5, source())
	m := l.matrix(1)
	s, err := Analyse(m, Dissect(m, l.x, l.y))
	if err != nil {
		t.Fatal(err)
	}
	need := s.arenaSize()
	p := &updatePool{arena: newArena(2 * need), buffer: make([]float64, 2*need), held: map[int32]pooledUpdate{}}
	w := &factorisation{s: s, m: m, pivotTolerance: pivotTolerance(m.N),
		value: make([]float64, s.storage+overread), pool: p}
	w.loadValues()
	q := newSchedule(s)
	w.worker(q)
	if q.column >= 0 || len(s.nodes) == s.top {
		t.Fatalf("failed at column %d; %d nodes in the top of the tree", q.column, len(s.nodes)-s.top)
	}
	if p.arena.peak != need || need == 0 {
		t.Errorf("%d numbers were in use, want %d", p.arena.peak, need)
	}
	if len(p.arena.free) != 1 || p.arena.free[0] != (interval{0, 2 * need}) {
		t.Errorf("in the end free are %v of %d", p.arena.free, 2*need)
	}
}
