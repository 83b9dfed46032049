package sparse

// Vector is a sparse right-hand side: Value[k] at unknown Index[k]. Values of
// an index named twice add up.
type Vector struct {
	Index []int32   // of each unknown that is not zero
	Value []float64 // its value
}

// Path is L⁻¹ P v, which is zero outside the supernodes on the paths from v's
// unknowns up the elimination tree: those, ascending, each with the values of
// all its columns. The zero Path is that of the zero vector.
type Path struct {
	factor *Factor
	node   []int32
	start  []int32 // value[start[i]:start[i+1]] belongs to node[i]
	value  []float64

	given Vector    // of a factor that iterates: v
	whole []float64 // and A⁻¹ v instead of values
}

// makeRoom gives every column of the path's nodes a value, zero so far.
func (p *Path) makeRoom() {
	p.start = make([]int32, len(p.node)+1)
	for i, node := range p.node {
		p.start[i+1] = p.start[i] + p.factor.s.nodes[node].width
	}
	p.value = make([]float64, p.start[len(p.node)])
}

// segment is the values of the i-th node.
func (p *Path) segment(i int) []float64 { return p.value[p.start[i]:p.start[i+1]] }

// Dot returns v' A⁻¹ w from the paths of v and w, which must come from one
// Factor.
func Dot(a, b Path) float64 {
	checkPaths(a.factor, b.factor)
	if a.whole != nil || b.whole != nil {
		return wholeDot(&a, &b)
	}
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
