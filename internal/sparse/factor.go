package sparse

import (
	"fmt"
	"math"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"

	"ohmward/internal/parallel"
)

// Factor is L of P A P' = L L'. It keeps the matrix, by which it checks its
// solutions.
type Factor struct {
	s      *Symbolic
	m      *Matrix
	norm   func() float64 // of m
	value  []float64
	work   sync.Pool // of *solveWorkspace
	failed failure
	iter   *iterative // instead of values; nil: factored
}

// NotPositiveError tells that a matrix is not positive definite, or so nearly
// singular that rounding hides it. A Laplacian with a part that is not
// grounded is the usual case, found if its conductances do not range too far
// (some four powers of ten).
type NotPositiveError struct {
	Unknown int // in the caller's numbering
}

func (e *NotPositiveError) Error() string {
	return fmt.Sprintf("matrix is not positive definite at unknown %d", e.Unknown)
}

// pivotTolerance is the share of an unknown's diagonal entry below which its
// pivot is nothing but rounding. Rounding makes each unknown of a Laplacian without
// ground leak a little, and the last pivot is the sum of n such leaks: up to
// some ten times sqrt(n) units where conductances are alike (measured to n =
// 90,000), more where they range over many powers of ten. The smallest pivot of
// properly grounded ones is a million times that.
func pivotTolerance(n int) float64 { return 30 * math.Sqrt(float64(n)) * 0x1p-52 }

// Factorise orders, analyses and factors a matrix whose unknowns lie at the
// plan coordinates (x, y), in any unit.
func Factorise(m *Matrix, x, y []float64) (*Factor, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	s, err := Analyse(m, Dissect(m, x, y))
	if err != nil {
		return nil, err
	}
	return s.Factor(m)
}

// Symbolic returns the analysis that the factor was made by.
func (f *Factor) Symbolic() *Symbolic { return f.s }

// Factor factors a matrix with the analysed pattern. If it is not positive
// definite the error is a *NotPositiveError.
//
// An analysis whose factor exceeds its memory limit gives one that solves by
// iteration: see AnalyseWithin.
func (s *Symbolic) Factor(m *Matrix) (*Factor, error) {
	if m.N != s.n || len(m.Value) != len(s.row) || !slices.Equal(m.Start, s.start) ||
		!slices.Equal(m.Row, s.row) {
		return nil, fmt.Errorf("matrix of size %d differs in pattern from the one analysed", m.N)
	}
	if s.memoryLimit > 0 {
		it, err := newIterative(m, s.x, s.y, s.memoryLimit)
		return &Factor{s: s, iter: it}, err
	}
	if s.storage > largeStorage {
		debug.FreeOSMemory() // the factor takes the memory that the ordering left
	}
	w := &factorisation{s: s, m: m, pivotTolerance: pivotTolerance(m.N),
		value: make([]float64, s.storage+overread), pool: newUpdatePool(s)}
	w.loadValues()
	q := newSchedule(s)
	parallel.Each(max(1, min(runtime.GOMAXPROCS(0), q.remaining)), func(int) { w.worker(q) })
	if q.column >= 0 {
		return nil, &NotPositiveError{Unknown: int(s.order[q.column])}
	}
	f := &Factor{s: s, m: m, norm: sync.OnceValue(m.norm), value: w.value}
	f.work.New = func() any { return newSolveWorkspace(s) }
	return f, nil
}

// factorisation is a factorisation in progress.
type factorisation struct {
	s              *Symbolic
	m              *Matrix
	value          []float64
	pivotTolerance float64

	pool *updatePool
}

// loadValues puts the matrix's entries into their positions.
func (w *factorisation) loadValues() {
	parallel.Ranges(len(w.s.position), rangeSize, func(lo, hi int) {
		values := w.m.Value[lo:hi]
		for k, at := range w.s.position[lo:hi] {
			w.value[at] = values[k]
		}
	})
}

// largeStorage is the length of a factor's values from which it pays to
// collect garbage first.
const largeStorage = 1 << 20

// worker does tasks and nodes until none is left.
func (w *factorisation) worker(q *schedule) {
	r := newFactorWorkspace(w.s)
	for {
		t, k, ok := q.take()
		if !ok {
			return
		}
		if t >= 0 {
			q.done(t, k, w.factorNodes(w.s.tasks[t].lo, w.s.tasks[t].hi, r, false))
		} else {
			q.done(t, k, w.factorNodes(int(k), int(k)+1, r, true))
		}
	}
}

// factorNodes factors nodes lo .. hi-1, each alone or shared with the other
// cores, and returns the column that failed, or -1.
func (w *factorisation) factorNodes(lo, hi int, r *factorWorkspace, shared bool) int32 {
	r.top = 0
	for k := lo; k < hi; k++ {
		if bad := w.eliminate(k, r, shared); bad >= 0 {
			return w.s.nodes[k].first + int32(bad)
		}
	}
	return -1
}

// minParallelFlops is the work (flops) below which one core alone is quicker.
const minParallelFlops = 2e6

// eliminate assembles and factors node k.
func (w *factorisation) eliminate(k int, r *factorWorkspace, shared bool) int {
	s := w.s
	nd, p := &s.nodes[k], s.panelOf(k)
	shared = shared && eliminationFlops(p.w, p.u) >= minParallelFlops
	stored := w.value[nd.panel:][:p.storedSize()]
	l := stored
	if p.packed() {
		l = r.unpacked[:p.size()]
		p.unpack(l, stored)
	}
	for j := p.w; j < p.paddedWidth(); j++ {
		l[p.diagonal(j)] = 1
	}
	minPivot := r.minPivots(p.paddedWidth())
	for j := range p.w {
		minPivot[j] = max(0, l[p.diagonal(j)]*w.pivotTolerance)
	}
	c := r.update[:updateSize(p.u)]
	clearUpdate(p.u, c)
	r.top -= s.stackPop(k)
	updates := r.stack[r.top:]
	for _, child := range s.children(k) {
		r.relative = s.relativeIndices(int(child), k, r.relative[:0])
		if s.pooled(int(child)) {
			extendAdd(p, l, c, r.relative, w.pool.values(child))
			w.pool.put(child)
			continue
		}
		size := triangleSize(len(r.relative))
		extendAdd(p, l, c, r.relative, updates[:size])
		updates = updates[size:]
	}
	if bad := factorPanel(p, l, minPivot, shared); bad >= 0 {
		return bad
	}
	updateMatrix(p, l, c, shared)
	if p.packed() {
		p.pack(stored, l)
	}
	size := triangleSize(p.u)
	if s.pooled(k) {
		packUpdate(p.u, w.pool.get(int32(k), size), c)
	} else {
		packUpdate(p.u, r.push(size), c)
	}
	return -1
}
