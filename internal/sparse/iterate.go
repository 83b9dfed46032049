package sparse

import (
	"fmt"
	"math"
	"runtime"

	"ohmward/internal/parallel"
)

// iterative stands in for a factor that would not fit into memory: conjugate
// gradients, preconditioned by the sum of an incomplete factorisation of the
// same pattern and a coarse correction. The coarse unknowns are groups of
// strongly coupled ones; their matrix, much smaller, is factored. Both parts
// are positive definite, so their sum is.
type iterative struct {
	m          *Matrix
	incomplete *Matrix // incomplete factor L, by columns
	group      []int32 // of each unknown; nil: no coarse part
	coarse     *Factor
	norm       float64 // of m
	limit      int64   // bytes
	slots      chan struct{}

	failure
}

// vectorBytes is what one solve takes for its vectors.
func (it *iterative) vectorBytes() int64 {
	n := 5 * it.m.N
	if it.coarse != nil {
		n += 2 * it.coarse.s.n
	}
	return 8 * int64(n)
}

// fixedBytes is what both parts of the preconditioner take.
func (it *iterative) fixedBytes() int64 {
	bytes := 8*int64(len(it.incomplete.Value)) + 4*int64(len(it.group))
	if it.coarse != nil {
		bytes += it.coarse.s.MemoryBytes()
	}
	return bytes
}

// minCoarseShare is the part of the limit that the coarse part may take in any
// case: without it the iteration does not end in reasonable time.
const minCoarseShare = 4

// setSlots lets as many solve at once as fit into the limit, one at least.
func (it *iterative) setSlots() {
	fit := (it.limit - it.fixedBytes()) / it.vectorBytes()
	it.slots = make(chan struct{}, max(1, min(fit, int64(runtime.GOMAXPROCS(0)))))
}

// residualTolerance is the residual, relative to the right-hand side in the Euclidean
// norm, that an iterative solution must reach; the iteration aims at a tenth.
// Resistances are energies, whose error is that of the product of two
// residuals.
const residualTolerance = 1e-11

// roundingResidual is the residual, relative to |A| |x|, that a factor leaves as well:
// where that is more than the tolerance it is enough.
const roundingResidual = 1e-14

// maxIterations is where the iteration gives up.
const maxIterations = 10_000

// newIterative prepares the solution of m within about limit bytes, the
// preconditioner and the vectors of one solve at least included.
func newIterative(m *Matrix, x, y []float64, limit int64) (*iterative, error) {
	near, err := incompleteCholesky(m)
	if err != nil {
		return nil, err
	}
	it := &iterative{m: m, incomplete: near, norm: m.norm(), limit: limit}
	left := max(limit-it.fixedBytes()-it.vectorBytes(), limit/minCoarseShare)
	defer it.setSlots()
	c := coarsening{m: m, x: x, y: y}
	for c.pairUp() {
		if c.passes < minPasses {
			continue
		}
		s, err := Analyse(c.m, Dissect(c.m, c.x, c.y))
		if err != nil {
			return nil, err
		}
		if s.PeakBytes() > left {
			continue
		}
		it.group = c.group
		it.coarse, err = s.Factor(c.m)
		return it, err
	}
	return it, nil // next to nothing is coupled: the near part does it
}

// solve replaces b by A⁻¹ b.
func (it *iterative) solve(b []float64) {
	it.slots <- struct{}{}
	defer func() { <-it.slots }()
	n := len(b)
	x, r := make([]float64, n), append([]float64(nil), b...)
	z, p, q := make([]float64, n), make([]float64, n), make([]float64, n)
	goal := residualTolerance * math.Sqrt(product(b, b))
	var rz float64
	for k := 0; k < maxIterations; k++ {
		size := math.Sqrt(product(r, r))
		if size <= goal/10 {
			// The residual that the recursion carries drifts: take the true one.
			it.m.Mul(q, x)
			for i := range r {
				r[i] = b[i] - q[i]
			}
			if math.Sqrt(product(r, r)) <= max(goal, roundingResidual*it.norm*math.Sqrt(product(x, x))) {
				copy(b, x)
				return
			}
			rz = 0
		}
		it.precondition(z, r)
		was := rz
		rz = product(r, z)
		beta := 0.0
		if was != 0 {
			beta = rz / was
		}
		for i := range p {
			p[i] = z[i] + beta*p[i]
		}
		it.m.Mul(q, p)
		alpha := rz / product(p, q)
		if !(math.Abs(alpha) <= math.MaxFloat64) {
			break
		}
		for i := range x {
			x[i] += alpha * p[i]
			r[i] -= alpha * q[i]
		}
	}
	it.fail(fmt.Errorf("%d unknowns: conjugate gradients did not reach a residual of %.0e: allow more "+
		"memory, so that the matrix can be factored", n, residualTolerance))
	copy(b, x)
}

// precondition sets z = (L L')⁻¹ r + P Ac⁻¹ P' r.
func (it *iterative) precondition(z, r []float64) {
	l := it.incomplete
	copy(z, r)
	for j := range l.N {
		k, end := l.Start[j], l.Start[j+1]
		z[j] /= l.Value[k]
		for k++; k < end; k++ {
			z[l.Row[k]] -= l.Value[k] * z[j]
		}
	}
	for j := l.N - 1; j >= 0; j-- {
		lo := l.Start[j]
		for k := lo + 1; k < l.Start[j+1]; k++ {
			z[j] -= l.Value[k] * z[l.Row[k]]
		}
		z[j] /= l.Value[lo]
	}
	if it.coarse == nil {
		return
	}
	sum := make([]float64, it.coarse.s.n)
	for i, g := range it.group {
		sum[g] += r[i]
	}
	it.coarse.solve(sum, sum)
	for i, g := range it.group {
		z[i] += sum[g]
	}
}

// minSolutionBytes is how many bytes of whole solutions are held whatever the limit:
// no answer does without a few.
const minSolutionBytes = 64 << 20

// wholePaths solves for every vector: each "path" is the vector and its whole
// solution. More at once than the limit holds are a failure, and all zero.
func (f *Factor) wholePaths(vs []Vector) []Path {
	out := make([]Path, len(vs))
	if bytes := 8 * int64(f.s.n) * int64(len(vs)); bytes > max(f.iter.limit, minSolutionBytes) {
		f.iter.fail(fmt.Errorf("solutions at %d places of %d unknowns take %d MB, more than the limit of "+
			"%d MB: allow more memory, or ask for fewer places at once", len(vs), f.s.n, bytes>>20, f.iter.limit>>20))
		return out
	}
	parallel.Each(len(vs), func(i int) {
		v := vs[i]
		f.checkVector(v)
		u := make([]float64, f.s.n)
		for k, at := range v.Index {
			u[at] += v.Value[k]
		}
		f.iter.solve(u)
		out[i] = Path{factor: f, given: v, whole: u}
	})
	return out
}

// wholeDot is v' A⁻¹ w, the same whichever comes first.
func wholeDot(a, b *Path) float64 { return (a.given.dot(b.whole) + b.given.dot(a.whole)) / 2 }

func (v Vector) dot(x []float64) (sum float64) {
	if x == nil {
		return 0 // the zero Path
	}
	for k, at := range v.Index {
		sum += v.Value[k] * x[at]
	}
	return sum
}

// combineWhole is Combine of whole solutions.
func combineWhole(paths []Path, weight []float64) Path {
	var sum Path
	for i, p := range paths {
		if p.whole == nil {
			continue
		}
		if sum.whole == nil {
			sum = Path{factor: p.factor, whole: make([]float64, len(p.whole))}
		}
		for k, at := range p.given.Index {
			sum.given.Index = append(sum.given.Index, at)
			sum.given.Value = append(sum.given.Value, weight[i]*p.given.Value[k])
		}
		for k, v := range p.whole {
			sum.whole[k] += weight[i] * v
		}
	}
	return sum
}
