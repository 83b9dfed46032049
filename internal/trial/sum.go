package trial

import (
	"math"
	"runtime"
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/locate"
)

// summary adds up all faults.
func (t *trial) summary(runs []Search) *answer.Trial {
	a := &answer.Trial{
		Header: answer.NewHeader(), Board: t.Layout.Name, Nets: t.Names[:], Meter: t.options.Meter,
		Kind: t.options.Kind,
		Seed: t.options.Seed, OffModel: t.options.OffModel, Faults: len(runs), Suspects: len(t.Listed()),
		Verdicts: map[string]int{}, Cores: runtime.GOMAXPROCS(0),
	}
	var reads, off, low []float64
	var first, third int
	for _, r := range runs {
		a.Verdicts[r.Verdict]++
		if t.unlisted(r.Fault.Site) {
			a.Unlisted++
		}
		reads, off, low = append(reads, float64(r.Readings)), append(off, r.Off), append(low, r.Lowest)
		if r.Rank == 1 {
			first++
		}
		if r.Rank >= 1 && r.Rank <= 3 {
			third++
		}
		if r.confidentlyWrong() {
			a.Wrong.Count++
		}
	}
	n := float64(len(runs))
	a.Readings, a.Error = spreadOf(reads), spreadOf(off)
	a.Rank1, a.Rank3, a.Wrong.Fraction = float64(first)/n, float64(third)/n, float64(a.Wrong.Count)/n
	a.Coverage, a.Surest, a.Shares = coverageOf(runs), surestOf(runs), sharesOf(runs)
	a.Lowest = answer.LowestReading{Readings: a.Readings, Error: spreadOf(low)}
	a.RMS, a.Bound = rmsOf(runs), t.boundOf(runs)
	return a
}

// spreadOf is the median and the ninth decile; nothing gives zeros.
func spreadOf(v []float64) answer.Spread {
	if len(v) == 0 {
		return answer.Spread{}
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return answer.Spread{Median: quantileOf(s, 0.5), P90: quantileOf(s, 0.9)}
}

// quantileOf interpolates between sorted values.
func quantileOf(sorted []float64, q float64) float64 {
	at := q * float64(len(sorted)-1)
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

// leastTold is how many answers tell anything of calibration; beside that, a
// radius that holds a tenth less than it claims must be noticed, and one answer
// in twenty that is wrong above 0.99.
const leastTold = 20

const (
	confident = 0.9
	surest    = 0.99
)

// confidentlyWrong: called one short, named with more than 0.9, and the truth
// is neither there nor inside the stated radius.
func (r Search) confidentlyWrong() bool {
	return r.Verdict == locate.OneShort && r.p > confident && !r.right && !r.Inside
}

// coverageOf is DESIGN's test: |hits - Σm| within 2.5·√Σm(1-m).
func coverageOf(runs []Search) answer.Coverage {
	var c answer.Coverage
	var variance float64
	for _, r := range runs {
		if r.Inside {
			c.Hits++
		}
		c.Claimed += r.mass
		variance += r.mass * (1 - r.mass)
	}
	c.Allowed = 2.5 * math.Sqrt(variance)
	c.Fair = math.Abs(float64(c.Hits)-c.Claimed) <= c.Allowed
	c.Enough = len(runs) >= leastTold && c.Allowed <= 0.1*float64(len(runs))
	return c
}

// surestOf is DESIGN's second test: wrong answers above 0.99 at most
// Σ(1-p) + 3·√Σp(1-p).
func surestOf(runs []Search) answer.Surest {
	var s answer.Surest
	var expected, variance float64
	for _, r := range runs {
		if r.p <= surest {
			continue
		}
		s.Answers++
		if !r.right {
			s.Wrong++
		}
		expected += 1 - r.p
		variance += r.p * (1 - r.p)
	}
	s.Allowed = expected + 3*math.Sqrt(variance)
	s.Fair = float64(s.Wrong) <= s.Allowed
	s.Enough = s.Answers >= leastTold && s.Allowed <= 0.05*float64(s.Answers)
	return s
}

// leastReadings is the least mean number of readings by information: the bits
// that were told, over the most that one reading can tell. A value limited to
// a range, read with Gaussian noise σ, tells at most log2(1 + range/√(2πe)σ)
// (McKellips' bound on the peak-limited channel, from memory). Copper, lead
// residue and Rs taken as known can only raise it.
func (t *trial) leastReadings(runs []Search) float64 {
	var gained float64
	for _, r := range runs {
		gained += (t.prior.Entropy() - r.doubt) / float64(len(runs))
	}
	told, wide := t.meter, t.widest()
	if t.meter.HandHeld {
		told.NoiseOhms *= heldGauss
	}
	sigma := told.OneTouch(t.fourWire)
	most := math.Log2(1 + wide/(math.Sqrt(2*math.Pi*math.E)*sigma))
	if !(most > 0) {
		return 0
	}
	return max(0, gained/most)
}

// heldGauss is the Gaussian part of a held touch; the rest of its noise can
// only take information away.
const heldGauss = 0.4

// widest is the greatest range, in ohms over the suspects, of any reading.
func (t *trial) widest() float64 {
	var sum, most float64
	for g := range t.Tables {
		one := 0.0
		if !t.fourWire {
			for _, row := range t.Tables[g].R {
				one = max(one, rangeOf(row, nil))
			}
			sum += one
			continue
		}
		for i, row := range t.Tables[g].G {
			for _, other := range t.Tables[g].G[:i] {
				most = max(most, rangeOf(row, other))
			}
		}
	}
	return max(sum, most)
}

// apart is where a coefficient stands for copper that is not joined.
const apart = 1e5

// rangeOf is the range of the differences of two rows.
func rangeOf(a, b []float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for s, v := range a {
		if b != nil {
			v -= b[s]
		}
		if math.Abs(v) < apart {
			low, high = min(low, v), max(high, v)
		}
	}
	return max(0, high-low)
}
