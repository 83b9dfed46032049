package sparse

import (
	"cmp"
	"math"
	"runtime"
	"slices"

	"ohmward/internal/parallel"
)

// leafSize is the number of unknowns below which a piece is ordered by
// minimum degree instead of being cut again.
const leafSize = 64

// Dissect returns an elimination order by nested dissection: the graph of m
// is cut in two by a small set of unknowns, which come last, and the two
// halves are ordered in the same way.
//
// Cuts are first sought as straight lines in the plan coordinates (x, y), of
// any unit, several unknowns at one place and several layers over each other
// being no matter; around the best line the smallest set of unknowns that
// parts the two sides is then found as a maximum flow. Layers that are tied
// only by edges between unknowns at one place are also parted from each other
// where that takes fewer. Where coordinates are
// missing (nil), equal or of no use, distances in the graph serve instead.
func Dissect(m *Matrix, x, y []float64) Order {
	if x == nil && y == nil {
		x, y = make([]float64, m.N), make([]float64, m.N)
	}
	checkLength("Dissect", m.N, len(x), len(y))
	d := newDissection(m, x, y)
	d.sheet = d.findSheets()
	var wait parallel.Group
	d.split(0, m.N, &wait)
	wait.Wait()
	out := make(Order, m.N)
	for k, v := range d.piece {
		out[k] = d.old[v]
	}
	return out
}

// dissection is a dissection in progress. Vertices are numbered along the
// plan, so that neighbours lie close in memory too. Pieces never share a
// vertex and never have an edge between them, so that several goroutines may
// work on the arrays at once.
type dissection struct {
	old     []int32 // caller's number of each vertex
	start   []int32 // neighbours of v: next[start[v]:start[v+1]]
	next    []int32
	x, y    []float64
	u, v    []float64  // coordinates along the slanting axes
	level   []float64  // distance along the graph, where it serves
	sheet   []float64  // number of the sheet in a stack, nil if all is one
	piece   []int32    // the vertices, piece by piece; in the end, the order
	scratch []int32    // beside piece, to rearrange it
	class   []uint8    // of each vertex: see below
	trial   [5][]uint8 // the same while the best line in a direction is sought
	succ    []int32    // on the flow's path: the successor
	pred    []int32    // and the predecessor
	flags   []uint8    // of the search for a flow
}

// While a line is sought, the class of a vertex is the bin, 0 to 63, that its
// coordinate falls into, with the bit hub set if it has many neighbours. A
// vertex in a separator has the class outside. While a separator is sought,
// it is nearSide, band or farSide.
const (
	hub     = 0x40
	binMask = 0x3f
	outside = 0xff

	nearSide = 0
	band     = 1
	farSide  = 2
)

// hubDegree is how many neighbours make a hub.
const hubDegree = 24

func newDissection(m *Matrix, x, y []float64) *dissection {
	n := m.N
	d := &dissection{
		x: make([]float64, n), y: make([]float64, n),
		u: make([]float64, n), v: make([]float64, n), level: make([]float64, n),
		piece: make([]int32, n), scratch: make([]int32, n),
		class: make([]uint8, n), flags: make([]uint8, n),
		succ: make([]int32, n), pred: make([]int32, n),
	}
	for k := range d.trial {
		d.trial[k] = make([]uint8, n)
	}
	d.old = alongPlan(x, y)
	number := make([]int32, n)
	parallel.Ranges(n, rangeSize, func(lo, hi int) {
		for v := lo; v < hi; v++ {
			old := d.old[v]
			number[old] = int32(v)
			d.x[v], d.y[v] = finite(x[old]), finite(y[old])
			d.u[v] = slantCos*d.x[v] + slantSin*d.y[v]
			d.v[v] = slantCos*d.y[v] - slantSin*d.x[v]
			d.piece[v] = int32(v)
			d.succ[v], d.pred[v] = none, none
		}
	})
	d.start, d.next = neighbours(m, number)
	return d
}

func finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}

// neighbours lists each vertex's neighbours under the given numbering, in the
// order in which the matrix has them. Each core takes some of its columns.
func neighbours(m *Matrix, number []int32) (start, next []int32) {
	chunks := 1
	if m.N > minParallelCut {
		chunks = min(runtime.GOMAXPROCS(0), maxChunks)
	}
	at := make([][]int32, chunks) // how many each core finds, then where it puts them
	columns := func(c int) (lo, hi int) { return c * m.N / chunks, (c + 1) * m.N / chunks }
	parallel.Each(chunks, func(c int) {
		count := make([]int32, m.N)
		for j, hi := columns(c); j < hi; j++ {
			rows := m.Row[m.Start[j]+1 : m.Start[j+1]]
			count[number[j]] += int32(len(rows))
			for _, i := range rows {
				count[number[i]]++
			}
		}
		at[c] = count
	})
	start = make([]int32, m.N+1)
	total := int32(0)
	for v := range m.N {
		start[v] = total
		for _, count := range at {
			total, count[v] = total+count[v], total
		}
	}
	start[m.N] = total
	next = make([]int32, total)
	parallel.Each(chunks, func(c int) {
		at := at[c]
		for j, hi := columns(c); j < hi; j++ {
			a := number[j]
			for _, i := range m.Row[m.Start[j]+1 : m.Start[j+1]] {
				b := number[i]
				next[at[a]], next[at[b]] = b, a
				at[a]++
				at[b]++
			}
		}
	})
	return start, next
}

// maxChunks bounds the memory that neighbours takes.
const maxChunks = 4

// rangeSize is how many unknowns one core takes at a time where there is little
// to do for each.
const rangeSize = 1 << 16

// alongPlan lists the vertices cell by cell of a 256 by 256 grid, the cells
// in the order of their interleaved bits.
func alongPlan(x, y []float64) []int32 {
	var apart [256]int32 // the bits of each number with one between them
	for c := range int32(len(apart)) {
		for b := range 8 {
			apart[c] |= c >> b & 1 << (2 * b)
		}
	}
	key, cy := cells(x), cells(y)
	for i := range key {
		key[i] = apart[key[i]] | apart[cy[i]]<<1
	}
	return countingSort(key, len(apart)*len(apart))
}

// cells maps the range of x to 0 .. 255.
func cells(x []float64) []int32 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range x {
		lo, hi = min(lo, finite(v)), max(hi, finite(v))
	}
	out := make([]int32, len(x))
	if scale := 256 / (hi - lo); hi > lo && scale > 0 && !math.IsInf(scale, 0) {
		for i, v := range x {
			out[i] = min(255, int32((finite(v)-lo)*scale))
		}
	}
	return out
}

// neighbours returns v's neighbours.
func (d *dissection) neighbours(v int32) []int32 { return d.next[d.start[v]:d.start[v+1]] }

// split orders piece[lo:hi].
func (d *dissection) split(lo, hi int, wait *parallel.Group) {
	for hi-lo > leafSize {
		left, right, ok := d.cut(lo, hi)
		if !ok {
			return
		}
		// piece[lo:left] and piece[left:right] are the halves, the rest the
		// separator.
		if a, b := lo, left; b-a > 2000 {
			wait.Go(func() { d.split(a, b, wait) })
		} else {
			d.split(a, b, wait)
		}
		lo, hi = left, right
	}
	d.minimumDegree(d.piece[lo:hi])
}

// cut rearranges piece[lo:hi] into two parts and their separator. It reports
// false if the piece cannot be cut to any use.
func (d *dissection) cut(lo, hi int) (left, right int, ok bool) {
	piece := d.piece[lo:hi]
	best := d.bestDirection(piece)
	if !best.useful(len(piece)) {
		return 0, 0, false
	}
	counts := d.separate(piece, d.scratch[lo:hi], best)
	if counts[0] == 0 || counts[1] == 0 || counts[2] > len(piece)/2 {
		return 0, 0, false
	}
	left = lo + counts[0]
	right = left + counts[1]
	d.alignSeparator(d.piece[right:hi], best.along)
	return left, right, true
}

// bestDirection finds the best line of all directions; the classes of its bins are
// then in class. In large pieces a sample tells which directions are worth a
// closer look, all at the same time.
func (d *dissection) bestDirection(piece []int32) cutLine {
	try := d.candidates(piece)
	run := parallel.Each
	if len(piece) <= minParallelCut {
		run = func(n int, job func(i int)) {
			for i := range n {
				job(i)
			}
		}
	}
	if len(piece) >= minSampledPiece {
		estimate := make([]float64, len(try))
		run(len(try), func(i int) { estimate[i] = d.estimateCut(piece, try[i]) })
		try = promising(try, estimate)
	}
	lines := make([]cutLine, len(try))
	run(len(try), func(i int) { lines[i] = d.bestCut(piece, try[i], d.trial[i]) })
	best, at := cutLine{cost: math.Inf(1)}, -1
	for i, l := range lines {
		if l.cost < best.cost {
			best, at = l, i
		}
	}
	if !best.useful(len(piece)) {
		d.measureLevels(piece)
		if l := d.bestCut(piece, byLevel, d.trial[0]); l.cost < best.cost {
			best, at = l, 0
		}
	}
	if at >= 0 {
		for _, v := range piece {
			d.class[v] = d.trial[at][v]
		}
	}
	return best
}

// minSampledPiece is the size of a piece from which it pays to ask a sample
// first. A direction whose estimated cost is up to maxCostRatio times the
// least is looked at closely.
const (
	minSampledPiece = 10000
	maxCostRatio    = 1.15
)

// promising keeps the directions of about the least cost, none if no line cuts
// in any.
func promising(try []direction, estimate []float64) []direction {
	least := slices.Min(estimate)
	out := try[:0]
	for i, along := range try {
		if estimate[i] <= least*maxCostRatio && estimate[i] < math.Inf(1) {
			out = append(out, along)
		}
	}
	return out
}

// minParallelCut is the size of a piece from which one core alone is slower
// at finding where to cut it.
const minParallelCut = 10000

// alignSeparator sorts the separator along its line: rows that are neighbours
// in space are then neighbours in the factor too.
func (d *dissection) alignSeparator(sep []int32, along direction) {
	turned := [...]direction{byU: byV, byV: byU, byX: byY, byY: byX, byLevel: byU, bySheet: byU}
	across := d.coordinates(turned[along])
	slices.SortFunc(sep, func(a, b int32) int {
		return cmp.Or(cmp.Compare(across[a], across[b]), int(a-b))
	})
}
