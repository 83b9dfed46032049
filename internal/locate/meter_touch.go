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
	lp, h := tabulatedLogPhi(u)
	f = t.constant - l*x + lp
	f1 = -l + h/t.base
	f2 = -h * (u + h) / (t.base * t.base)
	return f, f1, f2
}

// scoreTable holds the score of a touch of deviation 1 in equal steps.
type scoreTable struct {
	from, to, step float64
	at             func() []float64
}

func newScores(from, to, step float64) scoreTable {
	return scoreTable{from, to, step, sync.OnceValue(func() []float64 {
		t, out := newTouch(1), []float64(nil)
		for x := from; x < to+2*step; x += step {
			out = append(out, t.score(x))
		}
		return out
	})}
}

// scores are fine in the middle and coarse in the tails, where score is nearly
// straight.
var scores = [...]scoreTable{newScores(-4, 12, 1.0/128), newScores(-36, 92, 1.0/16)}

// tabulatedScore is score by interpolation, to 2e-5; all touches have one shape.
func (t touch) tabulatedScore(x float64) float64 {
	one := x * baseShare / t.base
	for i := range scores {
		if s := &scores[i]; one > s.from && one < s.to {
			u, at := (one-s.from)/s.step, s.at()
			k := int(u)
			return at[k] + (u-float64(k))*(at[k+1]-at[k])
		}
	}
	return t.score(x)
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
	if m.HandHeld {
		return m.NoiseOhms * touchEntropy()
	}
	return m.NoiseOhms
}

// touchEntropy is that deviation for a touch of deviation 1.
var touchEntropy = sync.OnceValue(func() float64 {
	t, h := newTouch(1), 0.0
	const step = 1e-3
	for x := -4.0; x < 20; x += step {
		f, _, _ := t.logf(x)
		h -= math.Exp(f) * f * step
	}
	return math.Exp(h) / math.Sqrt(2*math.Pi*math.E)
})
