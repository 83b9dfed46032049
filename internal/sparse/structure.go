package sparse

import "slices"

// structuring finds the rows below a range of nodes, whole subtrees with the
// columns first .. end-1 or the top of the tree. What it notes of a row stands
// at its place: own columns first, then those of the top.
type structuring struct {
	s          *Symbolic
	m          *Matrix
	under      pattern // in the numbering by columns and to
	columns    []int32 // of each new column, its number in the pattern
	to         []int32 // the inverse
	first, end int32
	seen       []int32 // the last node that has the row
	local      []int32 // where the row stands among the node's
	spare      []int32
}

// structure finds each node's rows below, their places in the parent, and the
// places of the matrix's entries.
func (s *Symbolic) structure(m *Matrix, under pattern, columns []int32) {
	to, at := inverse(columns), 0
	for k := range s.nodes {
		nd := &s.nodes[k]
		nd.entLo = at
		for _, c := range columns[nd.first : nd.first+nd.width] {
			at += 1 + int(under.start[c+1]-under.start[c])
		}
		nd.entHi = at
	}
	s.entry, s.place = make([]int32, at), make([]int32, at)
	find := func(lo, hi int) {
		if lo == hi {
			return
		}
		w := &structuring{s: s, m: m, under: under, columns: columns, to: to, first: s.nodes[lo].first, end: s.nodes[hi-1].first + s.nodes[hi-1].width}
		w.run(lo, hi)
	}
	each(len(s.tasks), func(i int) { find(s.tasks[i].lo, s.tasks[i].hi) })
	find(s.top, len(s.nodes))
	each(len(s.tasks), func(i int) { s.placeRows(s.tasks[i].lo, s.tasks[i].hi) })
	s.placeRows(s.top, len(s.nodes))
}

// run does the nodes lo .. hi-1.
func (w *structuring) run(lo, hi int) {
	size := int(w.end-w.first) + w.s.n - max(w.s.topColumn, int(w.end))
	w.seen, w.local = make([]int32, size), make([]int32, size)
	for i := range w.seen {
		w.seen[i] = -1
	}
	for k := lo; k < hi; k++ {
		nd := &w.s.nodes[k]
		rows := w.gatherRows(k, w.s.below[nd.rowLo:nd.rowLo:nd.rowHi])
		if len(rows) != nd.rowHi-nd.rowLo {
			panic("sparse: a node has not the rows that were counted")
		}
		for i, r := range rows {
			w.local[w.at(r)] = int32(i)
		}
		w.placeEntries(nd, w.s.panelOf(k))
	}
}

// at is where a row is noted.
func (w *structuring) at(r int32) int32 {
	if r < w.end {
		return r - w.first
	}
	return r - int32(w.s.topColumn) + w.end - w.first
}

// fewRuns is up to how many sorted runs are merged rather than sorted anew.
const fewRuns = 4

// gatherRows appends to rows those below node k, ascending: those of its
// columns' entries and of its children, less its own columns.
func (w *structuring) gatherRows(k int, rows []int32) []int32 {
	nd := &w.s.nodes[k]
	end, mark := nd.first+nd.width, int32(k)
	for _, c := range nd.children {
		child, from := &w.s.nodes[c], len(rows)
		for _, r := range w.s.below[child.rowLo:child.rowHi] {
			if r < end {
				continue
			}
			if at := &w.seen[w.at(r)]; *at != mark {
				*at = mark
				rows = append(rows, r)
			}
		}
		if len(nd.children) <= fewRuns {
			w.merge(rows, from)
		}
	}
	from := len(rows)
	for _, c := range w.columns[nd.first:end] {
		for _, q := range w.under.row[w.under.start[c]:w.under.start[c+1]] {
			r := w.to[q]
			if r < end {
				continue
			}
			if at := &w.seen[w.at(r)]; *at != mark {
				*at = mark
				rows = append(rows, r)
			}
		}
	}
	if len(nd.children) <= fewRuns {
		slices.Sort(rows[from:])
		w.merge(rows, from)
	} else {
		slices.Sort(rows)
	}
	return rows
}

// merge sorts rows of which the first part, up to from, and the rest are
// sorted.
func (w *structuring) merge(rows []int32, from int) {
	if from == 0 || from == len(rows) || rows[from-1] < rows[from] {
		return
	}
	w.spare = append(w.spare[:0], rows[from:]...)
	i, j := from-1, len(w.spare)-1
	for k := len(rows) - 1; j >= 0; k-- {
		if i >= 0 && rows[i] > w.spare[j] {
			rows[k] = rows[i]
			i--
		} else {
			rows[k] = w.spare[j]
			j--
		}
	}
}

// placeEntries finds where in the panel each entry of the node's columns
// goes. A row is an ancestor of its column and so comes later in any of the
// numberings.
func (w *structuring) placeEntries(nd *node, p panel) {
	s, at := w.s, nd.entLo
	end := nd.first + nd.width
	for j := nd.first; j < end; j++ {
		c, column := w.columns[j], 4*int(j-nd.first)
		s.entry[at] = int32(w.m.Start[s.order[j]])
		s.place[at] = int32(p.diagonal(int(j - nd.first)))
		at++
		for k := w.under.start[c]; k < w.under.start[c+1]; k++ {
			r := w.to[w.under.row[k]]
			s.entry[at] = w.under.source[k]
			if r < end {
				s.place[at] = int32(p.pivotRow(int(r-nd.first)) + column)
			} else {
				s.place[at] = int32(p.lowerRow(int(w.local[w.at(r)])) + column)
			}
			at++
		}
	}
}

// placeRows finds, for each row below nodes lo .. hi-1, its place in the
// parent: its pivot column, or the parent's width plus its place among the
// rows below.
func (s *Symbolic) placeRows(lo, hi int) {
	for k := lo; k < hi; k++ {
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
