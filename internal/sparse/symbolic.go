package sparse

import (
	"fmt"
	"runtime"
	"slices"
)

// Order is an elimination order: Order[new] = old.
type Order []int32

// Symbolic is all about a factorisation that depends on the pattern and the
// order alone. It can serve any matrix with the same pattern.
type Symbolic struct {
	n            int
	start        []int   // of the analysed matrix
	row          []int32 // likewise
	order        []int32 // order[new] = old
	rank         []int32 // rank[old] = new
	nodes        []node
	nodeOf       []int32 // supernode of each new column
	tasks        []task
	top          int // nodes[top:] belong to no task
	topColumn    int // first column of nodes[top:]
	storage      int // length of the factor's values
	below        []int32
	relative     []int32 // beside below: place among the parent's rows
	entry        []int32 // index in Matrix.Value, diagonals included
	place        []int32 // beside entry: place in the node's panel
	nnz          int64
	flops        float64
	widest, most int // largest width and number of rows below

	within int64     // bytes that a factor would not have fitted in; 0: it fits
	x, y   []float64 // plan places, where it does not
}

// node is a supernode: columns first .. first+width-1 of L and, sorted, the
// rows below them. See panel.go for how its values are laid out.
type node struct {
	first, width int32
	parent       int32 // -1 for a root
	rowLo, rowHi int   // Symbolic.below[rowLo:rowHi]
	entLo, entHi int   // Symbolic.entry[entLo:entHi]
	panel        int   // where its values start
	flops        float64
	children     []int32
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
	parent := eliminationTree(rowsLeft(m, rank))
	post := postorder(parent)
	parent = renumberTree(parent, post, rank)
	below := columnsBelow(m, rank)
	groups := fundamental(parent, columnCounts(below, parent))
	relax(groups)
	s := &Symbolic{n: m.N, start: m.Start, row: m.Row}
	columns := s.arrange(groups, rank)
	s.structure(m, below, columns)
	return s, nil
}

// AnalyseWithin is Analyse for matrices whose unknowns lie at plan places, with
// a bound on memory: where factoring would take more than limit bytes
// (PeakBytes; 0: no limit) the analysis gives a Factor that solves by
// iteration instead, to a residual that Factor.Err vouches for.
func AnalyseWithin(m *Matrix, o Order, x, y []float64, limit int64) (*Symbolic, error) {
	s, err := Analyse(m, o)
	if err != nil || limit <= 0 || s.PeakBytes() <= limit {
		return s, err
	}
	return &Symbolic{n: s.n, start: s.start, row: s.row, within: limit, x: x, y: y}, nil
}

// Iterates tells whether factors of this analysis solve by iteration.
func (s *Symbolic) Iterates() bool { return s.within > 0 }

// ranks inverts the order and checks that it is one.
func (o Order) ranks(n int) ([]int32, error) {
	if len(o) != n {
		return nil, fmt.Errorf("sparse: order of %d unknowns for a matrix of size %d", len(o), n)
	}
	rank := make([]int32, n)
	for i := range rank {
		rank[i] = -1
	}
	for k, old := range o {
		if old < 0 || int(old) >= n || rank[old] >= 0 {
			return nil, fmt.Errorf("sparse: order names unknown %d twice or out of range at place %d", old, k)
		}
		rank[old] = int32(k)
	}
	return rank, nil
}

// renumberTree applies a postorder to the tree and, in place, to the ranks.
func renumberTree(parent, post, rank []int32) []int32 {
	to := make([]int32, len(post))
	for k, old := range post {
		to[old] = int32(k)
	}
	out := make([]int32, len(parent))
	for old, p := range parent {
		if p >= 0 {
			p = to[p]
		}
		out[to[old]] = p
	}
	for i, r := range rank {
		rank[i] = to[r]
	}
	return out
}

// arrange orders the groups that are left (first the tasks' subtrees, then
// the top of the tree), makes nodes of them and numbers the columns for good.
// It returns, for each new column, its number in the earlier postorder.
func (s *Symbolic) arrange(groups []group, rank []int32) []int32 {
	for i := range groups {
		groups[i].flops = eliminationFlops(groups[i].width, groups[i].below)
	}
	sequence := s.cutTasks(groups)
	number := make([]int32, len(groups))
	for k, g := range sequence {
		number[g] = int32(k)
	}
	columns := make([]int32, 0, s.n)
	s.nodes = make([]node, len(sequence))
	s.nodeOf = make([]int32, s.n)
	for k, g := range sequence {
		nd := node{first: int32(len(columns)), width: int32(groups[g].width), parent: -1, flops: groups[g].flops}
		if p := groups[g].parent; p >= 0 {
			nd.parent = number[p]
			s.nodes[nd.parent].children = append(s.nodes[nd.parent].children, int32(k))
		}
		nd.children = s.nodes[k].children
		for _, c := range groups[g].columns {
			for j := c.lo; j < c.hi; j++ {
				s.nodeOf[len(columns)] = int32(k)
				columns = append(columns, j)
			}
		}
		s.nodes[k] = nd
		s.flops += nd.flops
	}
	if s.topColumn = s.n; s.top < len(s.nodes) {
		s.topColumn = int(s.nodes[s.top].first)
	}
	to := make([]int32, s.n)
	for j, c := range columns {
		to[c] = int32(j)
	}
	s.rank, s.order = rank, make([]int32, s.n)
	for old, r := range rank {
		rank[old] = to[r]
		s.order[to[r]] = int32(old)
	}
	return columns
}

// structure finds each node's rows below, their places in the parent, and the
// places of the matrix's entries.
func (s *Symbolic) structure(m *Matrix, under pattern, columns []int32) {
	to := make([]int32, s.n) // earlier postorder -> new
	for j, c := range columns {
		to[c] = int32(j)
	}
	seen := make([]int32, s.n)
	local := make([]int32, s.n)
	for i := range seen {
		seen[i] = -1
	}
	s.entry = make([]int32, 0, len(m.Row))
	s.place = make([]int32, 0, len(m.Row))
	for k := range s.nodes {
		nd := &s.nodes[k]
		nd.rowLo = len(s.below)
		s.gatherRows(k, under, columns, to, seen)
		nd.rowHi = len(s.below)
		p := s.panelOf(k)
		nd.panel = s.storage
		s.storage += p.size()
		s.nnz += int64(trapezoid(p.w, p.u))
		s.widest, s.most = max(s.widest, p.w), max(s.most, p.u)
		for i, r := range s.below[nd.rowLo:nd.rowHi] {
			local[r] = int32(i)
		}
		s.placeEntries(nd, p, m, under, columns, to, local)
	}
	s.placeRows()
}

// gatherRows appends the rows below node k: those of its columns' entries and
// of its children, less its own columns.
func (s *Symbolic) gatherRows(k int, under pattern, columns, to, seen []int32) {
	nd := &s.nodes[k]
	end, mark := nd.first+nd.width, int32(k)
	lo := len(s.below)
	for _, c := range nd.children {
		child := s.nodes[c]
		for i := child.rowLo; i < child.rowHi; i++ {
			if r := s.below[i]; r >= end && seen[r] != mark {
				seen[r] = mark
				s.below = append(s.below, r)
			}
		}
	}
	for _, c := range columns[nd.first:end] {
		for _, q := range under.row[under.start[c]:under.start[c+1]] {
			if r := to[q]; r >= end && seen[r] != mark {
				seen[r] = mark
				s.below = append(s.below, r)
			}
		}
	}
	slices.Sort(s.below[lo:])
}

// placeEntries finds where in the panel each entry of the node's columns
// goes. A row is an ancestor of its column and so comes later in any of the
// numberings.
func (s *Symbolic) placeEntries(nd *node, p panel, m *Matrix, under pattern, columns, to, local []int32) {
	nd.entLo = len(s.entry)
	end := nd.first + nd.width
	for j := nd.first; j < end; j++ {
		c := columns[j]
		s.entry = append(s.entry, int32(m.Start[s.order[j]]))
		s.place = append(s.place, int32(p.diagonal(int(j-nd.first))))
		for k := under.start[c]; k < under.start[c+1]; k++ {
			r := to[under.row[k]]
			var at int
			if r < end {
				at = p.pivotRow(int(r-nd.first)) + 4*int(j-nd.first)
			} else {
				at = p.lowerRow(int(local[r])) + 4*int(j-nd.first)
			}
			s.entry = append(s.entry, under.source[k])
			s.place = append(s.place, int32(at))
		}
	}
	nd.entHi = len(s.entry)
}

// placeRows finds, for each row below each node, its place in the parent: its
// pivot column, or the parent's width plus its place among the rows below.
func (s *Symbolic) placeRows() {
	s.relative = make([]int32, len(s.below))
	for k := range s.nodes {
		nd := &s.nodes[k]
		if nd.parent < 0 {
			continue
		}
		up := &s.nodes[nd.parent]
		end, at := up.first+up.width, up.rowLo
		for i := nd.rowLo; i < nd.rowHi; i++ {
			r := s.below[i]
			if r < end {
				s.relative[i] = r - up.first
				continue
			}
			for s.below[at] != r {
				at++
			}
			s.relative[i] = up.width + int32(at-up.rowLo)
		}
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
	var tasks, top room
	for _, t := range s.tasks {
		tasks.prepare(s, t.lo, t.hi)
	}
	top.prepare(s, s.top, len(s.nodes))
	waiting := 0
	for k := range s.nodes {
		if s.waits(k) {
			waiting += packedSize(s.panelOf(k).u)
		}
	}
	rooms := min(runtime.GOMAXPROCS(0), len(s.tasks)) * (tasks.widest + tasks.deepest)
	return s.MemoryBytes() + 8*int64(rooms+top.widest+top.deepest+waiting)
}

// MemoryBytes is the size of a factor and of this analysis, in bytes.
func (s *Symbolic) MemoryBytes() int64 {
	ints := len(s.row) + 2*s.n + len(s.nodeOf) + len(s.below) + len(s.relative) + len(s.entry) + len(s.place)
	return int64(s.storage)*8 + int64(ints)*4 + int64(len(s.nodes))*96
}
