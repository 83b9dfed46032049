package sparse

import (
	"sync"

	"ohmward/internal/parallel"
)

// gramColumns is how many columns of the result are one core's piece of work.
const gramColumns = 128

// Gram returns all Dot(a[i], b[j]), row by row: result[i*len(b)+j].
//
// Supernode by supernode, the segments of those paths that pass through it
// are laid side by side and multiplied in blocks.
func Gram(a, b []Path) []float64 {
	f := commonFactor(a, b)
	out := make([]float64, len(a)*len(b))
	if f == nil || len(out) == 0 {
		return out
	}
	if f.iter != nil {
		dotAll(a, b, out)
		return out
	}
	if len(a) > len(b) {
		return transpose(Gram(b, a), len(b))
	}
	left := segmentsByNode(f.s, a)
	parallel.Each((len(b)+gramColumns-1)/gramColumns, func(k int) {
		lo := k * gramColumns
		hi := min(lo+gramColumns, len(b))
		multiply(left, segmentsByNode(f.s, b[lo:hi]), out[lo:], len(b))
	})
	return out
}

// Bundle is some paths sorted for products with other bundles, for places
// that are asked about again and again. It holds on to the paths' values.
type Bundle struct {
	paths []Path
	nodes []nodeSegments
}

// NewBundle sorts paths of one factor.
func NewBundle(paths []Path) *Bundle {
	b := &Bundle{paths: paths}
	if f := commonFactor(paths, nil); f != nil && f.iter == nil {
		b.nodes = segmentsByNode(f.s, paths)
	}
	return b
}

// Gram is as the function Gram of both bundles' paths, on the caller's core
// alone.
func (b *Bundle) Gram(c *Bundle) []float64 {
	f := commonFactor(b.paths, c.paths)
	out := make([]float64, len(b.paths)*len(c.paths))
	switch {
	case f == nil:
	case f.iter != nil:
		dotAll(b.paths, c.paths, out)
	default:
		multiply(b.nodes, c.nodes, out, len(c.paths))
	}
	return out
}

// commonFactor is the factor that all paths belong to, nil where there are none.
func commonFactor(a, b []Path) *Factor {
	var f *Factor
	for _, side := range [][]Path{a, b} {
		for _, p := range side {
			checkPaths(f, p.factor)
			if p.factor != nil {
				f = p.factor
			}
		}
	}
	return f
}

func dotAll(a, b []Path, out []float64) {
	for i := range a {
		for j := range b {
			out[i*len(b)+j] = wholeDot(&a[i], &b[j])
		}
	}
}

var gramPool = sync.Pool{New: func() any { return new(gramBuffers) }}

// multiply adds the products of paths that meet in a supernode to out, whose
// rows are stride long.
func multiply(left, right []nodeSegments, out []float64, stride int) {
	g := gramPool.Get().(*gramBuffers)
	defer gramPool.Put(g)
	for i, j := 0, 0; i < len(left) && j < len(right); {
		switch {
		case left[i].node < right[j].node:
			i++
		case left[i].node > right[j].node:
			j++
		default:
			g.add(left[i].segments, right[j].segments, out, stride)
			i++
			j++
		}
	}
}

// transpose of a matrix with the given number of rows.
func transpose(x []float64, rows int) []float64 {
	out, cols := make([]float64, len(x)), len(x)/rows
	for i := range rows {
		for j, v := range x[i*cols : (i+1)*cols] {
			out[j*rows+i] = v
		}
	}
	return out
}

// nodeSegments lists the paths through one supernode.
type nodeSegments struct {
	node     int32
	segments []segment
}

// segment is what one path has there.
type segment struct {
	path  int32
	value []float64
}

// segmentsByNode lists, by ascending supernode, the paths through each.
func segmentsByNode(s *Symbolic, paths []Path) []nodeSegments {
	var key []int32
	var all []segment
	for i := range paths {
		for k, node := range paths[i].node {
			key = append(key, node)
			all = append(all, segment{path: int32(i), value: paths[i].segment(k)})
		}
	}
	var out []nodeSegments
	sorted := make([]segment, len(all))
	for k, e := range countingSort(key, len(s.nodes)) {
		sorted[k] = all[e]
		if n := len(out); n == 0 || out[n-1].node != key[e] {
			out = append(out, nodeSegments{node: key[e], segments: sorted[k : k+1]})
		} else {
			out[n-1].segments = out[n-1].segments[:len(out[n-1].segments)+1]
		}
	}
	return out
}

// gramBuffers holds the operands of one supernode in the kernels' layout.
type gramBuffers struct{ a, b []float64 }

// add adds the products of all pairs of segments to out, whose rows are
// stride long.
func (g *gramBuffers) add(left, right []segment, out []float64, stride int) {
	depth := len(left[0].value)
	if len(left)*len(right) < 8 {
		for _, x := range left {
			row := out[int(x.path)*stride:]
			for _, y := range right {
				row[y.path] += product(x.value, y.value)
			}
		}
		return
	}
	g.a = packSegments(g.a, left, depth, 4)
	g.b = packSegments(g.b, right, depth, 8)
	for j := 0; j < len(right); j += 8 {
		b := g.b[j*depth:]
		for i := 0; i < len(left); i += 4 {
			var c [32]float64
			tile8(depth, g.a[i*depth:], b, b[4:], 8, c[:], c[4:], 8)
			for r, x := range left[i:min(i+4, len(left))] {
				row := out[int(x.path)*stride:]
				for q, y := range right[j:min(j+8, len(right))] {
					row[y.path] -= c[8*r+q] // the kernel subtracts
				}
			}
		}
	}
}

// packSegments lays segments in groups of the given number, element after
// element, the last group padded with zeros.
func packSegments(to []float64, segments []segment, depth, group int) []float64 {
	need := (len(segments) + group - 1) / group * group * depth
	if cap(to) < need {
		to = make([]float64, need)
	}
	to = to[:need]
	for i := 0; i < len(segments); i += group {
		block := to[i*depth:][:group*depth]
		if i+group > len(segments) {
			clear(block)
		}
		for r, x := range segments[i:min(i+group, len(segments))] {
			for k, v := range x.value {
				block[k*group+r] = v
			}
		}
	}
	return to
}
