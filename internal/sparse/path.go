package sparse

import (
	"cmp"
	"fmt"
	"slices"
)

// Vector is a sparse right-hand side: Value[k] at unknown Index[k]. Values of
// an index named twice add up.
type Vector struct {
	Index []int32
	Value []float64
}

// Path is L⁻¹ P v, which is zero outside the supernodes on the ways from v's
// unknowns up the elimination tree: those, ascending, each with the values of
// all its columns. The zero Path is that of the zero vector.
type Path struct {
	factor *Factor
	node   []int32
	start  []int32 // value[start[i]:start[i+1]] belongs to node[i]
	value  []float64
}

// Len is the number of values held.
func (p Path) Len() int { return len(p.value) }

// segment is the values of the i-th node.
func (p *Path) segment(i int) []float64 { return p.value[p.start[i]:p.start[i+1]] }

// Forward returns L⁻¹ P v. Only the elimination path is touched.
func (f *Factor) Forward(v Vector) Path {
	w := f.work.Get().(*workspace)
	defer f.work.Put(w)
	return f.forwardPaths([]Vector{v}, w)[0]
}

// ForwardMany returns the paths of many vectors. It takes together those
// whose paths begin close by.
func (f *Factor) ForwardMany(vs []Vector) []Path {
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
	each((len(vs)+maxBatch-1)/maxBatch, func(b int) {
		w := f.work.Get().(*workspace)
		which := order[b*maxBatch : min((b+1)*maxBatch, len(vs))]
		batch := make([]Vector, len(which))
		for i, k := range which {
			batch[i] = vs[k]
		}
		for i, p := range f.forwardPaths(batch, w) {
			out[which[i]] = p
		}
		f.work.Put(w)
	})
	return out
}

func (f *Factor) checkVector(v Vector) {
	if len(v.Index) != len(v.Value) {
		panic(fmt.Sprintf("sparse: vector with %d indices and %d values", len(v.Index), len(v.Value)))
	}
	for _, old := range v.Index {
		if old < 0 || int(old) >= f.s.n {
			panic(fmt.Sprintf("sparse: vector names unknown %d of a matrix of size %d", old, f.s.n))
		}
	}
}

// climb returns the supernodes on the ways from v's unknowns to the roots,
// ascending.
func (s *Symbolic) climb(v Vector) []int32 {
	var nodes []int32
	for _, old := range v.Index {
		way := len(nodes)
		for k := s.nodeOf[s.rank[old]]; k >= 0 && !slices.Contains(nodes[:way], k); k = s.nodes[k].parent {
			nodes = append(nodes, k)
		}
	}
	slices.Sort(nodes)
	return nodes
}

// few is how many vectors of a batch must pass through a supernode for taking
// the whole batch through to be quicker than one after another.
const few = 3

// visit is a vector of a batch passing through a node.
type visit struct{ node, column int32 }

// forwardPaths finds the paths of up to maxBatch vectors at once.
func (f *Factor) forwardPaths(vs []Vector, w *workspace) []Path {
	s := f.s
	k := (len(vs) + 7) &^ 7
	if len(vs) <= few {
		k = len(vs)
	}
	y := w.vectors(s.n, k)
	out := make([]Path, len(vs))
	var visits []visit
	for c, v := range vs {
		f.checkVector(v)
		for i, old := range v.Index {
			y[int(s.rank[old])*k+c] += v.Value[i]
		}
		out[c] = s.emptyPath(f, v)
		for _, node := range out[c].node {
			visits = append(visits, visit{node, int32(c)})
		}
	}
	slices.SortFunc(visits, func(a, b visit) int {
		return cmp.Or(int(a.node-b.node), int(a.column-b.column))
	})
	for i := 0; i < len(visits); {
		node, end := visits[i].node, i
		for end < len(visits) && visits[end].node == node {
			end++
		}
		if end-i > few {
			f.forwardBatch(int(node), y, k, w)
			i = end
		}
		for ; i < end; i++ {
			f.forwardColumn(int(node), y[visits[i].column:], k, w)
		}
	}
	for c := range out {
		out[c].fill(s, y, k, c)
	}
	for _, v := range visits {
		nd := &s.nodes[v.node]
		clear(y[int(nd.first)*k : int(nd.first+nd.width)*k])
	}
	return out
}

// forwardColumn is forward for one of several right-hand sides: y's unknowns
// lie stride apart.
func (f *Factor) forwardColumn(node int, y []float64, stride int, w *workspace) {
	s := f.s
	nd, p := &s.nodes[node], s.panelOf(node)
	l := f.value[nd.panel:][:p.size()]
	v := w.pivots[:p.wide()]
	for j := range p.w {
		v[j] = y[(int(nd.first)+j)*stride]
	}
	clear(v[p.w:])
	forwardPivots(p, l, v)
	for j := range p.w {
		y[(int(nd.first)+j)*stride] = v[j]
	}
	rows := s.below[nd.rowLo:nd.rowHi]
	for q := 0; 4*q < len(rows); q++ {
		a0, a1, a2, a3 := sliverTimes(l[p.lowerSliver(q):], v)
		part := [4]float64{a0, a1, a2, a3}
		for i, r := range rows[4*q : min(4*q+4, len(rows))] {
			y[int(r)*stride] -= part[i]
		}
	}
}

// emptyPath is the path of v with its values yet zero.
func (s *Symbolic) emptyPath(f *Factor, v Vector) Path {
	p := Path{factor: f, node: s.climb(v)}
	p.start = make([]int32, len(p.node)+1)
	for i, node := range p.node {
		p.start[i+1] = p.start[i] + s.nodes[node].width
	}
	p.value = make([]float64, p.start[len(p.node)])
	return p
}

// fill takes a path's values from column c of k in y.
func (p *Path) fill(s *Symbolic, y []float64, k, c int) {
	for i, node := range p.node {
		at := int(s.nodes[node].first)*k + c
		for j := range p.segment(i) {
			p.segment(i)[j] = y[at+j*k]
		}
	}
}

// Dot returns v' A⁻¹ w from the paths of v and w, which must come from one
// Factor.
func Dot(a, b Path) float64 {
	checkPaths(a.factor, b.factor)
	sum := 0.0
	for i, j := 0, 0; i < len(a.node) && j < len(b.node); {
		switch {
		case a.node[i] < b.node[j]:
			i++
		case a.node[i] > b.node[j]:
			j++
		default:
			sum += product(a.segment(i), b.segment(j))
			i++
			j++
		}
	}
	return sum
}

func checkPaths(f, g *Factor) {
	if f != nil && g != nil && f != g {
		panic("sparse: paths of different factors")
	}
}

// product is the scalar product of vectors of one length.
func product(a, b []float64) float64 {
	var s0, s1, s2, s3 float64
	b = b[:len(a)]
	for len(a) >= 4 && len(b) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	for i := range a {
		s0 += a[i] * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}
