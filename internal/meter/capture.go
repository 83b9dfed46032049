package meter

import (
	"math"
	"slices"
	"time"

	"ohmward/unit"
)

// Phase is what the samples of a stream look like at present.
type Phase uint8

// The phases of a touch.
const (
	Away      Phase = iota // overload: the tips are lifted, or what they touch is open
	Beyond                 // overload on a held range: what they touch is more than that range
	Disturbed              // negative overload or no number: volts on the net, or a fault
	Moving                 // values that do not agree: bounce, a slip, a film under a tip
	Tail                   // values on one side that close in: something charges or cools
	RangeStep              // the instrument has just changed its range
	Steady                 // values agree
)

// Noise is what the meter's own samples scatter by while nothing moves, as
// standard deviations.
type Noise struct {
	Ohms     unit.Resistance // whatever the value
	Fraction float64         // of the value
	Hand     unit.Resistance // of a tip that is held firmly by hand; 0 for clips and four-wire
}

// Common practice, no source: a 6½-digit meter on its lowest range, tips held.
const (
	usualNoise    unit.Resistance = 50e-6
	usualFraction                 = 5e-5
	usualHand     unit.Resistance = 150e-6
)

// UsualNoise is that of a bench meter, two-wire with tips held by hand.
func UsualNoise() Noise { return Noise{usualNoise, usualFraction, usualHand} }

// UsualNoiseOf is that of a bench meter, tips held by hand.
func UsualNoiseOf(f Function) Noise {
	n := UsualNoise()
	if f == FourWire {
		n.Hand = 0
	}
	return n
}

// LearnNoise gives a meter's noise from samples while nothing moves, the tips
// clipped together: from their differences one after the other, which drift
// hardly touches; the usual where that is more. Too few samples teach nothing.
func LearnNoise(list []Sample) Noise {
	n := UsualNoise()
	var steps []float64
	for i := 1; i < len(list); i++ {
		n.Hand = UsualNoiseOf(list[i].Function).Hand
		if list[i].State == Valid && list[i-1].State == Valid && list[i].Range == list[i-1].Range {
			steps = append(steps, math.Abs(float64(list[i].Ohms-list[i-1].Ohms)))
		}
	}
	const least = 10
	if len(steps) < least {
		return n
	}
	slices.Sort(steps)
	n.Ohms = max(n.Ohms, unit.Resistance(gaussian*middle(steps)/math.Sqrt2))
	return n
}

// gaussian is the ratio of the standard deviation to the median deviation.
const gaussian = 1.4826

// at is the standard deviation at a value, in ohms.
func (n Noise) at(ohms float64) float64 {
	return math.Hypot(math.Hypot(float64(n.Ohms), float64(n.Hand)), n.Fraction*ohms)
}

// Figures of a steady touch. A window is the fewest last samples that are so
// many and last so long: so a value is taken within the longer of 2 s and six
// reading periods of the moment from which the touch is firm.
const (
	windowSamples = 5
	windowTime    = 900 * time.Millisecond
	// Limits in standard deviations of one sample: of the robust spread, of the
	// farthest sample, and of the difference between the halves' medians. Medians
	// of more samples scatter less, down to what a hand does all the same.
	mostSpread  = 2.5
	mostOutlier = 6.0
	mostTrend   = 4.0
	leastTrend  = 1.6
)

// liftTime is how long after its last other sample an overload ends a touch:
// bounce is shorter. A slow meter shows no bounce, and every overload ends it.
const liftTime = 300 * time.Millisecond

// gap is a pause between samples, or a step of the clock, over which nothing is
// carried: the larger of so long and so many periods.
const (
	gapTime    = 3 * time.Second
	gapPeriods = 5
)

// mostKept is how many raw samples a touch keeps; later ones replace the oldest.
const mostKept = 20_000

// Touch is one value taken from one touch.
type Touch struct {
	Ohms     unit.Resistance // the median of its window
	Spread   unit.Resistance // robust standard deviation of one sample of the window
	FourWire bool
	Began    time.Time // first sample of the touch
	Taken    time.Time // last sample of the window
	Window   int       // samples in the window, the last ones of Samples
	Samples  []Sample  // all of the touch so far, raw
}

// Step is what one sample brought.
type Step struct {
	Phase Phase
	Taken *Touch // the touch's value, once for each touch; else nil
}

// Capture takes steady values out of a stream of samples. It is fed with
// samples of ohms and knows no clock but theirs.
type Capture struct {
	noise   Noise
	touch   []Sample // of the present touch
	window  []Sample // the last valid ones without a break
	taken   bool     // this touch's value is taken
	last    time.Time
	seen    time.Time        // when the last sample that is no overload was there
	apart   [2]time.Duration // between the last three samples
	scratch []float64
}

// NewCapture gives a capture for a meter with this noise.
func NewCapture(n Noise) *Capture { return &Capture{noise: n} }

// Rearm lets the present touch give another value: what it touches has changed.
func (c *Capture) Rearm() {
	c.taken = false
	c.window = c.window[:0]
}

// Add takes the next sample.
func (c *Capture) Add(s Sample) Step {
	c.tick(s.At)
	switch {
	case s.State == Overload && s.Held:
		return c.overload(s, Beyond)
	case s.State == Overload:
		return c.overload(s, Away)
	}
	c.seen = s.At
	if s.State != Valid || math.IsNaN(float64(s.Ohms)) || math.IsInf(float64(s.Ohms), 0) {
		c.window = c.window[:0]
		c.keep(s)
		return Step{Phase: Disturbed}
	}
	c.keep(s)
	if n := len(c.window); n > 0 && (c.window[n-1].Range != s.Range || c.window[n-1].Function != s.Function) {
		c.window = append(c.window[:0], s)
		return Step{Phase: RangeStep}
	}
	c.window = append(c.window, s)
	if !c.trim() {
		return Step{Phase: Moving}
	}
	phase, median, spread := c.judge()
	if phase != Steady || c.taken {
		return Step{Phase: phase}
	}
	c.taken = true
	return Step{Steady, &Touch{Ohms: unit.Resistance(median), Spread: unit.Resistance(spread),
		FourWire: s.Function == FourWire, Began: c.touch[0].At, Taken: s.At, Window: len(c.window),
		Samples: slices.Clone(c.touch)}}
}

// tick follows the samples' clock. After a gap, or a clock that was set back,
// all begins anew.
func (c *Capture) tick(at time.Time) {
	passed := at.Sub(c.last)
	if c.last.IsZero() {
		c.last = at
		return
	}
	period := c.apart[1]
	if c.apart[0] > 0 {
		period = min(period, c.apart[0]) // an earlier gap is no period
	}
	if passed < 0 || passed > max(gapTime, gapPeriods*period) {
		c.end()
		c.seen = time.Time{}
	}
	if passed > 0 {
		c.apart[0], c.apart[1] = c.apart[1], passed
	}
	c.last = at
}

// end is the end of a touch.
func (c *Capture) end() {
	c.touch, c.window, c.taken = nil, c.window[:0], false
}

// overload breaks the window; where it lasts it ends the touch.
func (c *Capture) overload(s Sample, phase Phase) Step {
	c.window = c.window[:0]
	if s.At.Sub(c.seen) >= liftTime {
		c.end()
	} else if len(c.touch) > 0 {
		c.keep(s)
	}
	return Step{Phase: phase}
}

func (c *Capture) keep(s Sample) {
	if len(c.touch) == mostKept {
		c.touch = slices.Delete(c.touch, 0, mostKept/2)
	}
	c.touch = append(c.touch, s)
}

// trim drops what is older than the window needs; false while it is too short.
func (c *Capture) trim() bool {
	n := len(c.window)
	last := c.window[n-1].At
	begin := 0
	for begin+1 <= n-windowSamples && last.Sub(c.window[begin+1].At) >= windowTime {
		begin++
	}
	c.window = slices.Delete(c.window, 0, begin)
	return len(c.window) >= windowSamples && last.Sub(c.window[0].At) >= windowTime
}

// judge tells what the window's values look like, with their median and robust
// spread in ohms.
func (c *Capture) judge() (phase Phase, median, spread float64) {
	median = c.medianOf(0, len(c.window))
	sigma, far := c.noise.at(median), 0.0
	c.scratch = c.scratch[:0]
	for _, s := range c.window {
		d := math.Abs(float64(s.Ohms) - median)
		c.scratch, far = append(c.scratch, d), max(far, d)
	}
	slices.Sort(c.scratch)
	spread = gaussian * middle(c.scratch)
	n := len(c.window)
	trend := c.medianOf(n-n/2, n) - c.medianOf(0, n/2)
	mayTrend := max(leastTrend, mostTrend*math.Sqrt(windowSamples/float64(n)))
	if spread <= mostSpread*sigma && far <= mostOutlier*sigma && math.Abs(trend) <= mayTrend*sigma {
		return Steady, median, spread
	}
	first, second := c.medianOf(n/3, n-n/3)-c.medianOf(0, n/3), c.medianOf(n-n/3, n)-c.medianOf(n/3, n-n/3)
	if first*second > 0 && math.Abs(second) < math.Abs(first) && math.Abs(trend) > spread {
		return Tail, median, spread
	}
	return Moving, median, spread
}

// medianOf is the median of the window's samples from one to before another.
func (c *Capture) medianOf(from, to int) float64 {
	c.scratch = c.scratch[:0]
	for _, s := range c.window[from:to] {
		c.scratch = append(c.scratch, float64(s.Ohms))
	}
	slices.Sort(c.scratch)
	return middle(c.scratch)
}

// middle is the median of sorted values.
func middle(v []float64) float64 {
	n := len(v)
	if n%2 == 1 {
		return v[n/2]
	}
	return (v[n/2-1] + v[n/2]) / 2
}
