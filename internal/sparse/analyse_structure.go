package sparse

import (
	"slices"

	"ohmward/internal/parallel"
)

// rowStructure finds the rows below a range of nodes, whole subtrees with the
// columns first .. end-1 or the top of the tree. What it notes of a row stands
// at its slot: own columns first, then those of the top.
type rowStructure struct {
	s          *Symbolic
	m          *Matrix
	under      pattern // in the numbering by columns and to
	columns    []int32 // of each new column, its number in the pattern
	to         []int32 // the inverse
	first, end int32
	seen       []int32 // the last node that has the row
	local      []int32 // where the row stands among the node's
}

// structure finds each node's rows below and the places of the matrix's
// entries.
func (s *Symbolic) structure(m *Matrix, under pattern, columns []int32) {
	to := inverse(columns)
	s.position = make([]uint32, len(m.Row))
	find := func(lo, hi int) {
		if lo == hi {
			return
		}
		w := &rowStructure{s: s, m: m, under: under, columns: columns, to: to, first: s.nodes[lo].first,
			end: s.nodes[hi-1].first + s.nodes[hi-1].width}
		w.run(lo, hi)
	}
	parallel.Each(len(s.tasks), func(i int) { find(s.tasks[i].lo, s.tasks[i].hi) })
	find(s.top, len(s.nodes))
}

// run does the nodes lo .. hi-1.
func (w *rowStructure) run(lo, hi int) {
	size := int(w.end-w.first) + w.s.n - max(w.s.topColumn, int(w.end))
	w.seen, w.local = make([]int32, size), make([]int32, size)
	for i := range w.seen {
		w.seen[i] = -1
	}
	for k := lo; k < hi; k++ {
		nd := &w.s.nodes[k]
		rows := w.gatherRows(k, w.s.rows(k)[:0])
		if len(rows) != int(nd.below) {
			panic("sparse: a node has not the rows that were counted")
		}
		for i, r := range rows {
			w.local[w.slot(r)] = int32(i)
		}
		w.placeEntries(nd, w.s.panelOf(k))
	}
}

// slot is where a row is noted.
func (w *rowStructure) slot(r int32) int32 {
	if r < w.end {
		return r - w.first
	}
	return r - int32(w.s.topColumn) + w.end - w.first
}

// gatherRows appends to rows those below node k, ascending: those of its
// columns' entries and of its children, less its own columns.
func (w *rowStructure) gatherRows(k int, rows []int32) []int32 {
	nd := &w.s.nodes[k]
	end, mark := nd.first+nd.width, int32(k)
	add := func(r int32) {
		if r < end {
			return
		}
		if at := &w.seen[w.slot(r)]; *at != mark {
			*at = mark
			rows = append(rows, r)
		}
	}
	for _, c := range w.s.children(k) {
		for _, r := range w.s.rows(int(c)) {
			add(r)
		}
	}
	for _, c := range w.columns[nd.first:end] {
		for _, q := range w.under.other[w.under.start[c]:w.under.start[c+1]] {
			add(w.to[q])
		}
	}
	slices.Sort(rows)
	return rows
}

// placeEntries finds where in the panel each entry of the node's columns
// goes. A row is an ancestor of its column and so comes later in any of the
// numberings.
func (w *rowStructure) placeEntries(nd *node, p panel) {
	s, end := w.s, nd.first+nd.width
	for j := nd.first; j < end; j++ {
		c, column := w.columns[j], int(j-nd.first)
		s.position[w.m.Start[s.order[j]]] = uint32(nd.panel + p.storedPivot(column, column))
		for k := w.under.start[c]; k < w.under.start[c+1]; k++ {
			r, at := w.to[w.under.other[k]], nd.panel
			if r < end {
				at += p.storedPivot(int(r-nd.first), column)
			} else {
				at += p.storedLower(int(w.local[w.slot(r)]), column)
			}
			s.position[w.under.source[k]] = uint32(at)
		}
	}
}

// relativeIndices finds, for each row below node c, its row in the parent up: its
// pivot column, or the parent's width plus its number among the rows below.
func (s *Symbolic) relativeIndices(c, up int, to []int32) []int32 {
	nd, rows := &s.nodes[up], s.rows(up)
	end, at := nd.first+nd.width, 0
	for _, r := range s.rows(c) {
		if r < end {
			to = append(to, r-nd.first)
			continue
		}
		for rows[at] != r {
			at++
		}
		to = append(to, nd.width+int32(at))
	}
	return to
}
