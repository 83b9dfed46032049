package locate

import (
	"math"
	"sync"
)

// touch is the noise of a tip held by hand: a Gaussian of width base, plus an
// exponential excess of that mean, because flux or a slipped tip only adds
// resistance. base is 0.4 of the stated standard deviation: BENCH.md has 3 mΩ
// for one touch and the lowest value repeating within about 1 mΩ. Base and
// excess together keep the stated standard deviation. The density is
// log-concave, which the Newton steps rely on.
type touch struct {
	base, excess float64
	constant     float64 // of the log density
}

const baseShare = 0.4

func newTouch(sigma float64) touch {
	t := touch{base: baseShare * sigma, excess: math.Sqrt(1-baseShare*baseShare) * sigma}
	t.constant = -math.Log(t.excess) + 0.5*(t.base/t.excess)*(t.base/t.excess)
	return t
}

// logf gives the log density at x ohms and its first and second derivative.
func (t touch) logf(x float64) (f, f1, f2 float64) {
	l := 1 / t.excess
	u := x/t.base - t.base*l
	lp, h := logPhi(u)
	f = t.constant - l*x + lp
	f1 = -l + h/t.base
	f2 = -h * (u + h) / (t.base * t.base)
	return f, f1, f2
}

// The scores of a touch of deviation 1, in equal steps; all touches have one shape.
const (
	scoreFrom, scoreTo = -16.0, 32.0
	scoreStep          = 1.0 / 128
)

var scores = sync.OnceValue(func() (at []float64) {
	t := newTouch(1)
	for x := scoreFrom; x < scoreTo+2*scoreStep; x += scoreStep {
		at = append(at, t.score(x))
	}
	return at
})

// tabulatedScore is score by interpolation, to 2e-5.
func (t touch) tabulatedScore(x float64) float64 {
	u := (x*baseShare/t.base - scoreFrom) / scoreStep
	if !(u > 0 && u < (scoreTo-scoreFrom)/scoreStep) {
		return t.score(x)
	}
	k, at := int(u), scores()
	return at[k] + (u-float64(k))*(at[k+1]-at[k])
}

// score gives the standard normal value with the same tail chance as x, so
// that squares of scores add up to a chi-square.
func (t touch) score(x float64) float64 {
	// F(x) = Φ(v) - exp(-l·x + (l·b)²/2)·Φ(u), v = x/b, u = v - b·l.
	l := 1 / t.excess
	v := x / t.base
	lu, _ := logPhi(v - t.base*l)
	part := -l*x + 0.5*l*l*t.base*t.base + lu
	if v < 0 {
		lv, _ := logPhi(v)
		return phiInverseLog(lv + math.Log1p(-math.Exp(math.Min(part-lv, -1e-12))))
	}
	tail := 0.5*math.Erfc(v/math.Sqrt2) + math.Exp(part) // 1 - F
	return -phiInverseLog(math.Log(math.Max(tail, 1e-300)))
}

// planned is the deviation of the Gaussian noise that tells as much as a touch
// of this meter, ohms: where noise is small beside what it hides, a reading
// tells its own entropy less the noise's, and a skewed law has less of it than
// a Gaussian of the same deviation.
func (m Meter) planned() float64 {
	noise := m.NoiseOhms
	if m.HandHeld {
		noise *= touchEntropy()
	}
	return math.Hypot(noise, m.Spec.ResolutionOhms/step)
}

// touchEntropy is that deviation for a touch of deviation 1.
var touchEntropy = sync.OnceValue(func() float64 {
	h := touchMean(func(f, _ float64) float64 { return -f })
	return math.Exp(h) / math.Sqrt(2*math.Pi*math.E)
})

// touchInformation is the Fisher information of the skewed law about its
// location, times its variance: above 1, as a steep edge tells more.
var touchInformation = sync.OnceValue(func() float64 {
	return touchMean(func(_, f1 float64) float64 { return f1 * f1 })
})

// touchMean is the mean, over touches of deviation 1, of what is made of the log
// density and its derivative.
func touchMean(of func(f, f1 float64) float64) (mean float64) {
	t, h := newTouch(1), 1e-3
	for x := -4.0; x < 20; x += h {
		f, f1, _ := t.logf(x)
		mean += math.Exp(f) * of(f, f1) * h
	}
	return mean
}
