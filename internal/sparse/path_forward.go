package sparse

import (
	"cmp"
	"fmt"
	"slices"

	"ohmward/internal/parallel"
)

// pathBatch is how many vectors ForwardMany takes up the tree together: each
// supernode on their paths is read once for all of them.
const pathBatch = 256

// ForwardMany returns the paths L⁻¹ P v of many vectors. Only their elimination
// paths are touched; those that begin close by are taken together.
func (f *Factor) ForwardMany(vs []Vector) []Path {
	if f.iter != nil {
		return f.wholePaths(vs)
	}
	order := make([]int, len(vs))
	first := make([]int32, len(vs))
	for i, v := range vs {
		f.checkVector(v)
		order[i] = i
		for k, old := range v.Index {
			if r := f.s.rank[old]; k == 0 || r < first[i] {
				first[i] = r
			}
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(first[a]) - int(first[b]) })
	out := make([]Path, len(vs))
	size := min(pathBatch, len(vs)/4+8)
	parallel.Each((len(vs)+size-1)/size, func(b int) {
		w := f.work.Get().(*solveWorkspace)
		which := order[b*size : min((b+1)*size, len(vs))]
		batch := make([]Vector, len(which))
		for i, k := range which {
			batch[i] = vs[k]
		}
		for i, p := range f.forwardBatch(batch, w) {
			out[which[i]] = p
		}
		f.work.Put(w)
	})
	return out
}

func (f *Factor) checkVector(v Vector) {
	if len(v.Index) != len(v.Value) {
		panic(fmt.Sprintf("vector with %d indices and %d values", len(v.Index), len(v.Value)))
	}
	for _, old := range v.Index {
		if old < 0 || int(old) >= f.s.n {
			panic(fmt.Sprintf("vector names unknown %d of a matrix of size %d", old, f.s.n))
		}
	}
}

// eliminationPath returns the path of v with v itself for its values.
func (f *Factor) eliminationPath(v Vector, w *solveWorkspace) Path {
	s := f.s
	p := Path{factor: f}
	for _, old := range v.Index {
		for k := s.nodeOf[s.rank[old]]; k >= 0 && !w.seen[k]; k = s.nodes[k].parent {
			w.seen[k] = true
			p.node = append(p.node, k)
		}
	}
	for _, k := range p.node {
		w.seen[k] = false
	}
	slices.Sort(p.node)
	p.makeRoom()
	for k, old := range v.Index {
		r := s.rank[old]
		i, _ := slices.BinarySearch(p.node, s.nodeOf[r])
		p.segment(i)[r-s.nodes[p.node[i]].first] += v.Value[k]
	}
	return p
}

// visit is a path passing through a node, its at-th.
type visit struct{ node, path, at int32 }

// forwardBatch finds the paths of some vectors, node by node.
func (f *Factor) forwardBatch(vs []Vector, w *solveWorkspace) []Path {
	out := make([]Path, len(vs))
	var visits []visit
	for c, v := range vs {
		out[c] = f.eliminationPath(v, w)
		for i, node := range out[c].node {
			visits = append(visits, visit{node, int32(c), int32(i)})
		}
	}
	slices.SortFunc(visits, func(a, b visit) int {
		return cmp.Or(int(a.node-b.node), int(a.path-b.path))
	})
	for len(visits) > 0 {
		same := 1
		for same < len(visits) && same < maxRHS && visits[same].node == visits[0].node {
			same++
		}
		f.forwardPaths(out, visits[:same], w)
		visits = visits[same:]
	}
	return out
}

// forwardPaths does the forward substitution of one node for up to maxRHS paths.
func (f *Factor) forwardPaths(paths []Path, visits []visit, w *solveWorkspace) {
	s := f.s
	p := s.panelOf(int(visits[0].node))
	k := 1
	if len(visits) > 1 {
		k = (len(visits) + 7) &^ 7
	}
	v, below := w.pivots[:p.paddedWidth()*k], w.rows[:4*p.slivers()*k]
	clear(v)
	clear(below)
	for c, at := range visits {
		for j, x := range paths[at.path].segment(int(at.at)) {
			v[j*k+c] = x
		}
	}
	l := f.value[s.nodes[visits[0].node].panel:]
	if k == 1 {
		p.forwardPivots(l, v[:p.w])
		from, step, last := p.storedBelow()
		for q := range p.slivers() {
			sum := sliverTimes(l[from+q*step:], p.columnStride(q, last), v[:p.w])
			copy(below[4*q:], sum[:])
		}
	} else {
		p.forwardRHS(l, v, k, below, w.count[:p.u], w.count)
	}
	sign := 1.0 // the kernel subtracts
	if k == 1 {
		sign = -1
	}
	rows := s.rows(int(visits[0].node))
	for c, at := range visits {
		path := &paths[at.path]
		own := path.segment(int(at.at))
		for j := range own {
			own[j] = v[j*k+c]
		}
		if len(rows) > 0 {
			path.scatterAdd(s, int(at.at)+1, rows, below[c:], k, sign)
		}
	}
}

// scatterAdd adds sign times x, whose elements lie stride apart, to the given
// rows of the path, which are those of its nodes from the at-th on.
func (p *Path) scatterAdd(s *Symbolic, at int, rows []int32, x []float64, stride int, sign float64) {
	for i := 0; i < len(rows); {
		node := s.nodeOf[rows[i]]
		for p.node[at] != node {
			at++
		}
		first := s.nodes[node].first
		segment := p.segment(at)
		for ; i < len(rows) && int(rows[i]-first) < len(segment); i++ {
			segment[rows[i]-first] += sign * x[i*stride]
		}
	}
}
