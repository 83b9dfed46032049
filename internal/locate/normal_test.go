package locate

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g ± %.2g", what, got, want, tol)
	}
}

func TestNormalTails(t *testing.T) {
	// Both branches of logPhi meet.
	a, ha := logPhi(-13 + 1e-9)
	b, hb := logPhi(-13 - 1e-9)
	near(t, "log at the seam", a, b, 1e-7)
	near(t, "mills at the seam", ha, hb, 1e-6)
	for u := -15.0; u < 9; u += 0.0137 {
		if l, _ := logPhi(u); u < 7 {
			near(t, "inverse", phiInverseLog(l), u, 1e-6*math.Max(1, math.Exp(u*u/2-8)))
		}
	}
	// Quantile of 95 % two-sided: REFERENCES C7.
	near(t, "1.959964", -phiInverseLog(math.Log(0.025)), 1.959964, 5e-7)
}

// TestChiSquare against closed forms: for 2 degrees of freedom exp(-x/2), for
// 1 the normal tail.
func TestChiSquare(t *testing.T) {
	for _, x := range []float64{0.01, 0.5, 1, 3, 10, 40, 200} {
		near(t, "dof 2", chiSquareTail(x, 2), math.Exp(-x/2), 1e-12)
		near(t, "dof 1", chiSquareTail(x, 1), math.Erfc(math.Sqrt(x/2)), 1e-12)
		near(t, "dof 4", chiSquareTail(x, 4), math.Exp(-x/2)*(1+x/2), 1e-12)
	}
	// Its 95 % points, as printed tables have them.
	near(t, "dof 5", chiSquareTail(11.0705, 5), 0.05, 1e-6)
	near(t, "dof 7", chiSquareTail(14.0671, 7), 0.05, 1e-6)
	near(t, "dof 100", chiSquareTail(124.342, 100), 0.05, 1e-5)
}

// TestTouch checks the skewed law against numerical integration: it is a
// density, has mean excess, the stated deviation, and its score is the normal
// quantile of its distribution function.
func TestTouch(t *testing.T) {
	tc := newTouch(3e-3)
	var mass, mean, sq float64
	h := 1e-6
	for x := -0.02; x < 0.08; x += h {
		f, f1, f2 := tc.logf(x)
		p := math.Exp(f) * h
		mass += p
		mean += p * x
		sq += p * x * x
		if k := int(math.Round(x / h)); k%5000 == 0 {
			if mass > 1e-12 && mass < 1-1e-9 {

				near(t, "score", tc.score(x+h/2), -phiInverseLog(math.Log1p(-mass)), 0.01)
			}
			up, _, _ := tc.logf(x + h)
			down, _, _ := tc.logf(x - h)
			near(t, "slope", f1, (up-down)/(2*h), 1e-3*(1+math.Abs(f1)))
			near(t, "curvature", f2, (up-2*f+down)/(h*h), 30+1e-3*math.Abs(f2))
		}
	}
	near(t, "mass", mass, 1, 1e-6)
	near(t, "mean", mean, tc.excess, 1e-7)
	near(t, "deviation", math.Sqrt(sq-mean*mean), 3e-3, 1e-7)
}
