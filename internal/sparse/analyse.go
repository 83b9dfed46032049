package sparse

import (
	"errors"
	"fmt"
	"math"
	"runtime"

	"ohmward/internal/parallel"
)

// Order is an elimination order: Order[new] = old.
type Order []int32

// Symbolic is all about a factorisation that depends on the pattern and the
// order alone. It can serve any matrix with the same pattern.
type Symbolic struct {
	n                  int
	start              []int   // of the analysed matrix
	row                []int32 // likewise
	order              []int32 // order[new] = old
	rank               []int32 // rank[old] = new
	nodes              []node
	nodeOf             []int32 // supernode of each new column
	tasks              []task
	top                int // nodes[top:] belong to no task
	topColumn          int // first column of nodes[top:]
	storage            int // length of the factor's values
	below              []int32
	child              []int32
	position           []uint32 // of each entry of Matrix.Value in the factor's values
	nnz                int64
	flops              float64
	maxWidth, maxBelow int // largest width and number of rows below
	maxUnpacked        int // size of the largest packed panel, unpacked

	memoryLimit int64     // bytes that a factor would exceed; 0: it fits
	x, y        []float64 // plan coordinates, where it does not
}

// node is a supernode: columns first .. first+width-1 of L and, sorted, the
// rows below them. See panel.go for how its values are laid out.
type node struct {
	first, width int32
	parent       int32 // -1 for a root
	below        int32 // how many rows: Symbolic.below[rowLo:rowLo+below]
	childLo      int32 // Symbolic.child[childLo:childHi]
	childHi      int32
	rowLo        int
	panel        int // where its values start
}

// nodeBytes is the size of a node.
const nodeBytes = 40

// rows are those below node k.
func (s *Symbolic) rows(k int) []int32 {
	nd := &s.nodes[k]
	return s.below[nd.rowLo : nd.rowLo+int(nd.below)]
}

// children of node k, ascending.
func (s *Symbolic) children(k int) []int32 {
	return s.child[s.nodes[k].childLo:s.nodes[k].childHi]
}

// task is a range of nodes made of whole subtrees, one core's work.
type task struct {
	lo, hi int
	flops  float64
}

// Analyse prepares the factorisation of matrices with the pattern of m in the
// order o, or, where subtrees allow, in an order equivalent to it.
func Analyse(m *Matrix, o Order) (*Symbolic, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	rank, err := o.ranks(m.N)
	if err != nil {
		return nil, err
	}
	var below pattern
	var parent, post []int32
	parallel.Each(2, func(i int) {
		if i == 0 {
			parent = eliminationTree(newPattern(m, rank, true))
			post = postorder(parent)
		} else {
			below = newPattern(m, rank, false)
		}
	})
	to := inverse(post)
	parent = renumberTree(parent, post, to)
	groups := fundamental(parent, columnCounts(below, parent, post, to))
	relax(groups)
	s := &Symbolic{n: m.N, start: m.Start, row: m.Row}
	columns := s.arrange(groups, rank, post)
	if uint64(s.storage) > math.MaxUint32 {
		return nil, &tooLargeError{s.MemoryBytes()}
	}
	s.structure(m, below, columns)
	return s, nil
}

// AnalyseWithin is Analyse for matrices whose unknowns have plan coordinates, with
// a bound on memory: where factoring would take more than limit bytes
// (PeakBytes; 0: no limit) the analysis gives a Factor that solves by
// iteration instead, to a residual that Factor.Err vouches for.
func AnalyseWithin(m *Matrix, o Order, x, y []float64, limit int64) (*Symbolic, error) {
	s, err := Analyse(m, o)
	var large *tooLargeError
	switch {
	case err == nil && (limit <= 0 || s.PeakBytes() <= limit):
		return s, nil
	case err != nil && (limit <= 0 || !errors.As(err, &large)):
		return nil, err
	}
	return &Symbolic{n: m.N, start: m.Start, row: m.Row, memoryLimit: limit, x: x, y: y}, nil
}

// tooLargeError tells of a factor with more values than can be numbered.
type tooLargeError struct{ bytes int64 }

func (e *tooLargeError) Error() string {
	return fmt.Sprintf("a factor of %d GB is more than the program can hold: set a limit of memory, so "+
		"that it iterates instead", e.bytes>>30)
}

// Iterates tells whether factors of this analysis solve by iteration.
func (s *Symbolic) Iterates() bool { return s.memoryLimit > 0 }

// ranks inverts the order and checks that it is one.
func (o Order) ranks(n int) ([]int32, error) {
	if len(o) != n {
		return nil, fmt.Errorf("order of %d unknowns for a matrix of size %d", len(o), n)
	}
	rank := make([]int32, n)
	for i := range rank {
		rank[i] = -1
	}
	for k, old := range o {
		if old < 0 || int(old) >= n || rank[old] >= 0 {
			return nil, fmt.Errorf("order names unknown %d twice or out of range at place %d", old, k)
		}
		rank[old] = int32(k)
	}
	return rank, nil
}

// inverse of a permutation.
func inverse(p []int32) []int32 {
	out := make([]int32, len(p))
	for k, v := range p {
		out[v] = int32(k)
	}
	return out
}

// renumberTree applies a postorder, and its inverse, to the tree.
func renumberTree(parent, post, to []int32) []int32 {
	out := make([]int32, len(parent))
	for k, old := range post {
		if out[k] = parent[old]; out[k] >= 0 {
			out[k] = to[out[k]]
		}
	}
	return out
}

// arrange orders the groups that are left (first the tasks' subtrees, then
// the top of the tree), makes nodes of them and numbers the columns for good.
// It returns, for each new column, its number by the rank given, which
// becomes the new one.
func (s *Symbolic) arrange(groups []group, rank, post []int32) []int32 {
	for i := range groups {
		groups[i].flops = eliminationFlops(groups[i].width, groups[i].below)
	}
	sequence := s.cutTasks(groups)
	s.makeNodes(groups, sequence)
	columns := make([]int32, 0, s.n)
	s.nodeOf = make([]int32, s.n)
	for k, g := range sequence {
		for run := groups[g].head; run >= 0; run = groups[run].next {
			for j := groups[run].lo; j < groups[run].hi; j++ {
				s.nodeOf[len(columns)] = int32(k)
				columns = append(columns, post[j])
			}
		}
	}
	if s.topColumn = s.n; s.top < len(s.nodes) {
		s.topColumn = int(s.nodes[s.top].first)
	}
	to := inverse(columns)
	s.rank, s.order = rank, make([]int32, s.n)
	parallel.Ranges(s.n, rangeSize, func(lo, hi int) {
		for old, r := range rank[lo:hi] {
			rank[lo+old] = to[r]
			s.order[to[r]] = int32(lo + old)
		}
	})
	return columns
}

// makeNodes makes the nodes, in sequence, and lays out their storage.
func (s *Symbolic) makeNodes(groups []group, sequence []int32) {
	number := make([]int32, len(groups))
	for k, g := range sequence {
		number[g] = int32(k)
	}
	s.nodes = make([]node, len(sequence))
	parents := make([]int32, len(sequence)) // of each node, from 1 on
	first, rows := int32(0), 0
	for k, g := range sequence {
		from := &groups[g]
		nd := &s.nodes[k]
		*nd = node{first: first, width: int32(from.width), parent: -1, below: int32(from.below), rowLo: rows,
			panel: s.storage}
		if from.parent >= 0 {
			nd.parent = number[from.parent]
			parents[k] = nd.parent + 1
		}
		first, rows = first+nd.width, rows+from.below
		p := s.panelOf(k)
		s.storage += p.storedSize()
		if p.packed() {
			s.maxUnpacked = max(s.maxUnpacked, p.size())
		}
		s.nnz += int64(trapezoid(p.w, p.u))
		s.maxWidth, s.maxBelow = max(s.maxWidth, p.w), max(s.maxBelow, p.u)
		s.flops += from.flops
	}
	s.below = make([]int32, rows)
	s.child = countingSort(parents, len(s.nodes)+1) // those without a parent come first
	for at, c := range s.child {
		if parents[c] == 0 {
			continue
		}
		nd := &s.nodes[parents[c]-1]
		if nd.childHi == 0 {
			nd.childLo = int32(at)
		}
		nd.childHi = int32(at) + 1
	}
}

// NNZ is the number of entries of L, the zeros stored for speed included.
func (s *Symbolic) NNZ() int64 { return s.nnz }

// Flops is about how many multiplications and additions, together, the
// factorisation takes.
func (s *Symbolic) Flops() float64 { return s.flops }

// PeakBytes is what the analysis, the factor and the work on it take together
// at most, in bytes, known before the factorisation.
func (s *Symbolic) PeakBytes() int64 {
	widest, deepest := s.workspaceSizes()
	cores := min(runtime.GOMAXPROCS(0), len(s.tasks)+len(s.nodes)-s.top)
	return s.MemoryBytes() + 8*int64(cores*(widest+deepest)+s.poolSize())
}

// MemoryBytes is the size of a factor and of this analysis, in bytes.
func (s *Symbolic) MemoryBytes() int64 {
	ints := len(s.row) + 2*s.n + len(s.nodeOf) + len(s.below) + len(s.child) + len(s.position)
	return int64(s.storage)*8 + int64(ints)*4 + int64(len(s.nodes))*nodeBytes
}
