package sparse

import (
	"fmt"
	"math"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"
)

// Factor is L of P A P' = L L'. It keeps the matrix, by which it checks its
// solutions.
type Factor struct {
	s      *Symbolic
	m      *Matrix
	norm   func() float64 // of m
	value  []float64
	work   sync.Pool // of *workspace
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
	return fmt.Sprintf("sparse: matrix is not positive definite at unknown %d", e.Unknown)
}

// vanishing is the share of an unknown's diagonal entry below which its pivot
// is nothing but rounding. Rounding makes each unknown of a Laplacian without
// ground leak a little, and the last pivot is the sum of n such leaks: up to
// some ten times sqrt(n) units where conductances are alike (measured to n =
// 90,000), more where they range over many powers of ten. The least pivot of
// properly grounded ones is a million times that.
func vanishing(n int) float64 { return 30 * math.Sqrt(float64(n)) * 0x1p-52 }

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
// An analysis that found no room for the factor gives one that solves by
// iteration: see AnalyseWithin.
func (s *Symbolic) Factor(m *Matrix) (*Factor, error) {
	if m.N != s.n || len(m.Value) != len(s.row) || !slices.Equal(m.Start, s.start) || !slices.Equal(m.Row, s.row) {
		return nil, fmt.Errorf("sparse: matrix of size %d differs in pattern from the one analysed", m.N)
	}
	if s.within > 0 {
		it, err := newIterative(m, s.x, s.y, s.within)
		return &Factor{s: s, iter: it}, err
	}
	if s.storage > largeStorage {
		debug.FreeOSMemory() // the factor takes the room of what the ordering left
	}
	w := &factoring{s: s, m: m, vanishing: vanishing(m.N), value: make([]float64, s.storage+overread), pool: newPool(s)}
	w.enter()
	q := newSchedule(s)
	each(max(1, min(runtime.GOMAXPROCS(0), q.left)), func(int) { w.labour(q) })
	if q.column >= 0 {
		return nil, &NotPositiveError{Unknown: int(s.order[q.column])}
	}
	f := &Factor{s: s, m: m, norm: sync.OnceValue(m.norm), value: w.value}
	f.work.New = func() any { return newWorkspace(s) }
	return f, nil
}

// factoring is a factorisation in progress.
type factoring struct {
	s         *Symbolic
	m         *Matrix
	value     []float64
	vanishing float64

	pool *pool
}

// enter puts the matrix's entries into their places.
func (w *factoring) enter() {
	inRuns(len(w.s.place), func(lo, hi int) {
		values := w.m.Value[lo:hi]
		for k, at := range w.s.place[lo:hi] {
			w.value[at] = values[k]
		}
	})
}

// largeStorage is the length of a factor's values from which it pays to
// collect garbage first.
const largeStorage = 1 << 20

// labour does tasks and nodes until none is left.
func (w *factoring) labour(q *schedule) {
	r := newRoom(w.s)
	for {
		t, k, ok := q.take()
		if !ok {
			return
		}
		if t >= 0 {
			q.done(t, k, w.run(w.s.tasks[t].lo, w.s.tasks[t].hi, r, nil))
		} else {
			q.done(t, k, w.run(int(k), int(k)+1, r, each))
		}
	}
}

// run factors nodes lo .. hi-1 and returns the column that failed, or -1.
func (w *factoring) run(lo, hi int, r *room, cores crew) int32 {
	r.used = 0
	for k := lo; k < hi; k++ {
		if bad := w.eliminate(k, r, cores); bad >= 0 {
			return w.s.nodes[k].first + int32(bad)
		}
	}
	return -1
}

// worthSharing is the work (flops) below which one core alone is quicker.
const worthSharing = 2e6

// eliminate assembles and factors node k.
func (w *factoring) eliminate(k int, r *room, cores crew) int {
	s := w.s
	nd, p := &s.nodes[k], s.panelOf(k)
	if eliminationFlops(p.w, p.u) < worthSharing {
		cores = nil
	}
	stored := w.value[nd.panel:][:p.stored()]
	l := stored
	if p.narrow() {
		l = r.panel[:p.size()]
		p.open(l, stored)
	}
	for j := p.w; j < p.wide(); j++ {
		l[p.diagonal(j)] = 1
	}
	least := r.least(p.wide())
	for j := range p.w {
		least[j] = max(0, l[p.diagonal(j)]*w.vanishing)
	}
	c := r.whole[:updateSize(p.u)]
	clearUpdate(p.u, c)
	r.used -= s.taken(k)
	waiting := r.waiting[r.used:]
	for _, child := range s.children(k) {
		r.places = s.placeRows(int(child), k, r.places[:0])
		if s.waits(int(child)) {
			extendAdd(p, l, c, r.places, w.pool.of(child))
			w.pool.put(child)
			continue
		}
		size := packedSize(len(r.places))
		extendAdd(p, l, c, r.places, waiting[:size])
		waiting = waiting[size:]
	}
	if bad := factorPanel(p, l, least, cores); bad >= 0 {
		return bad
	}
	updateMatrix(p, l, c, cores)
	if p.narrow() {
		p.shut(stored, l)
	}
	size := packedSize(p.u)
	if s.waits(k) {
		packUpdate(p.u, w.pool.get(int32(k), size), c)
	} else {
		packUpdate(p.u, r.push(size), c)
	}
	return -1
}
