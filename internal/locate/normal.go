package locate

import (
	"math"
	"slices"
)

// logPhi gives the log of the normal distribution function at u and the
// inverse Mills ratio φ(u)/Φ(u), without underflow far to the left.
func logPhi(u float64) (log, mills float64) {
	if u > -13 {
		p := 0.5 * math.Erfc(-u/math.Sqrt2)
		return math.Log(p), math.Exp(-0.5*u*u-halfLog2Pi) / p
	}
	// Asymptotic series of the tail; at u = -13 its error is below 1e-8.
	t2 := 1 / (u * u)
	s := 1 - t2*(1-3*t2*(1-5*t2*(1-7*t2*(1-9*t2*(1-11*t2)))))
	return -0.5*u*u - halfLog2Pi - math.Log(-u) + math.Log(s), -u / s
}

// phiInverseLog gives u with log Φ(u) = l, for l <= 0.
func phiInverseLog(l float64) float64 {
	if l > -1e-15 {
		return 8
	}
	u := 0.0
	if l < -2 {
		u = -math.Sqrt(-2 * l)
	}
	for range 60 {
		lp, h := logPhi(u)
		step := max(-2, min(2, (lp-l)/h))
		u -= step
		if math.Abs(step) < 1e-12*(1+math.Abs(u)) {
			break
		}
	}
	return u
}

// chiSquareTail is the chance that a chi-square with dof degrees of freedom
// exceeds x: for whole numbers of them a finite sum, all of one sign.
func chiSquareTail(x float64, dof int) float64 {
	if dof <= 0 || x <= 0 {
		return 1
	}
	z := x / 2
	a, tail := 1.0, math.Exp(-z)
	if dof%2 == 1 {
		a, tail = 0.5, math.Erfc(math.Sqrt(z))
	}
	for ; a < float64(dof)/2; a++ {
		lg, _ := math.Lgamma(a + 1)
		tail += math.Exp(a*math.Log(z) - z - lg)
	}
	return math.Min(tail, 1)
}

// logSumExp adds numbers given by their logarithms.
func logSumExp(v []float64) float64 {
	top := slices.Max(v)
	if math.IsInf(top, -1) {
		return top
	}
	sum := 0.0
	for _, x := range v {
		sum += math.Exp(x - top)
	}
	return top + math.Log(sum)
}

// cholesky replaces the lower triangle of the n×n matrix a (row by row) by its
// factor and gives log det a; ok is false when a is not positive definite.
func cholesky(a []float64, n int) (logDet float64, ok bool) {
	for j := range n {
		for k := range j {
			l := a[j*n+k]
			if l == 0 {
				continue
			}
			for i := j; i < n; i++ {
				a[i*n+j] -= l * a[i*n+k]
			}
		}
		d := a[j*n+j]
		if !(d > 0) || math.IsInf(d, 1) {
			return 0, false
		}
		logDet += math.Log(d)
		per := 1 / math.Sqrt(d)
		for i := j; i < n; i++ {
			a[i*n+j] *= per
		}
	}
	return logDet, true
}

// forward solves L·x = b in place, L from cholesky.
func forward(l []float64, n int, b []float64) {
	for i := range n {
		s := b[i]
		for k := range i {
			s -= l[i*n+k] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
}

// backward solves Lᵀ·x = b in place.
func backward(l []float64, n int, b []float64) {
	for i := n - 1; i >= 0; i-- {
		s := b[i]
		for k := i + 1; k < n; k++ {
			s -= l[k*n+i] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, x := range a {
		s += x * b[i]
	}
	return s
}

// cdfTo is where the normal distribution is taken to end: 2e-7 lies beyond.
const cdfTo = 5.25

// cdf is the normal distribution function.
func cdf(u float64) float64 { return 0.5 * math.Erfc(-u/math.Sqrt2) }
