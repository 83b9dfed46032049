package locate

import "math"

// logPhi gives the log of the normal distribution function at u and the
// inverse Mills ratio φ(u)/Φ(u), without underflow far to the left.
func logPhi(u float64) (log, mills float64) {
	const logSqrt2Pi = 0.9189385332046727
	if u > -13 {
		p := 0.5 * math.Erfc(-u/math.Sqrt2)
		return math.Log(p), math.Exp(-0.5*u*u-logSqrt2Pi) / p
	}
	// Asymptotic series of the tail; at u = -13 its error is below 1e-8.
	t2 := 1 / (u * u)
	s := 1 - t2*(1-3*t2*(1-5*t2*(1-7*t2*(1-9*t2*(1-11*t2)))))
	return -0.5*u*u - logSqrt2Pi - math.Log(-u) + math.Log(s), -u / s
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
		step := (lp - l) / h
		if step > 2 {
			step = 2
		} else if step < -2 {
			step = -2
		}
		u -= step
		if math.Abs(step) < 1e-12*(1+math.Abs(u)) {
			break
		}
	}
	return u
}

// chiSquareTail is the chance that a chi-square with dof degrees of freedom
// exceeds x.
func chiSquareTail(x float64, dof int) float64 {
	if dof <= 0 || x <= 0 {
		return 1
	}
	a, z := float64(dof)/2, x/2
	lg, _ := math.Lgamma(a)
	front := math.Exp(a*math.Log(z) - z - lg)
	if z < a+1 { // series for the lower part
		sum, term := 1/a, 1/a
		for n := 1; n < 1000 && term > 1e-16*sum; n++ {
			term *= z / (a + float64(n))
			sum += term
		}
		return math.Max(0, 1-front*sum)
	}
	// Lentz's continued fraction for the upper part.
	const tiny = 1e-300
	b := z + 1 - a
	c, d := 1/tiny, 1/b
	h := d
	for n := 1; n < 1000; n++ {
		an := -float64(n) * (float64(n) - a)
		b += 2
		d = 1 / nonZero(an*d+b, tiny)
		c = nonZero(b+an/c, tiny)
		del := d * c
		h *= del
		if math.Abs(del-1) < 1e-15 {
			break
		}
	}
	return front * h
}

func nonZero(x, tiny float64) float64 {
	if math.Abs(x) < tiny {
		return tiny
	}
	return x
}

// logSumExp adds numbers given by their logarithms.
func logSumExp(v []float64) float64 {
	top := math.Inf(-1)
	for _, x := range v {
		top = math.Max(top, x)
	}
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
	det := 1.0
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
		s := math.Sqrt(d)
		if det *= d; det > 1e200 || det < 1e-200 {
			logDet += math.Log(det)
			det = 1
		}
		per := 1 / s
		for i := j; i < n; i++ {
			a[i*n+j] *= per
		}
	}
	return logDet + math.Log(det), true
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

// dotLong is dot for long vectors: four sums side by side.
func dotLong(a, b []float64) float64 {
	var s0, s1, s2, s3 float64
	b = b[:len(a)]
	for len(a) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	return s0 + s1 + s2 + s3 + dot(a, b)
}
