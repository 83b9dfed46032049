package locate

import (
	"math"
	"slices"
	"sync"

	"ohmward/internal/suspect"
)

// rsPrior is what is believed of the short's own resistance before any
// reading: log-uniform from low to usual, and a small tail on to high, so
// that a dry bridge is unlikely and not impossible.
//
// A bridge of solder is 0.13 µΩ·m (REFERENCES A12) over a section of 0.01 mm²
// and more: 13 mΩ a millimetre and less. A cracked ceramic capacitor or a
// broken junction is seldom below some milliohms (common practice, no source).
type rsPrior struct{ low, usual, high, tail float64 }

var (
	bridgePrior = rsPrior{low: 0.05e-3, usual: 0.1, high: OpenOhms, tail: 0.1}
	partPrior   = rsPrior{low: 2e-3, usual: OpenOhms, high: OpenOhms, tail: 0}
)

func priorOf(k suspect.Kind) rsPrior {
	if k == suspect.Part {
		return partPrior
	}
	return bridgePrior
}

// density is per unit of ln r.
func (p rsPrior) density(r float64) float64 {
	if r <= p.usual || p.tail == 0 {
		return (1 - p.tail) / math.Log(p.usual/p.low)
	}
	return p.tail / math.Log(p.high/p.usual)
}

// cdf is the prior chance that Rs is at most r.
func (p rsPrior) cdf(r float64) float64 {
	switch {
	case r <= p.low:
		return 0
	case r <= p.usual:
		return (1 - p.tail) * math.Log(r/p.low) / math.Log(p.usual/p.low)
	case r < p.high:
		return 1 - p.tail + p.tail*math.Log(r/p.usual)/math.Log(p.high/p.usual)
	}
	return 1
}

// quantile inverts below.
func (p rsPrior) quantile(q float64) float64 {
	if q <= 1-p.tail {
		return p.low * math.Pow(p.usual/p.low, q/(1-p.tail))
	}
	return p.usual * math.Pow(p.high/p.usual, (q-1+p.tail)/p.tail)
}

// Grains of Rs: fine, and coarse where every node takes a search for the top
// (TestHandAgainstBruteForce holds it).
const (
	fineStep   = 0.4
	coarseStep = 0.6
)

// logMassAround is the log of about the prior that a Gaussian likelihood of width sd
// and top 1 takes in around r: what lies within as wide a box.
func (p rsPrior) logMassAround(r, sd float64) float64 {
	half := math.Sqrt(math.Pi/2) * sd
	return math.Log(math.Max(p.cdf(r+half)-p.cdf(r-half), 1e-12))
}

// nodes puts quadrature points for ∫ prior(r)·L(r) dr over the part of the
// prior's range that matters when L is about a Gaussian with its top at mode
// and width sd, appending to r and to w (weights, prior included). Steps are
// about grain widths by Simpson's rule: two fifths are good to 2e-5 for the top
// as for a tail that the range cuts off.
func (p rsPrior) nodes(mode, sd, grain float64, r, w []float64) ([]float64, []float64) {
	from, to, width := p.span(mode, sd)
	if to/from < 4 {
		return p.uniformNodes(from, to, grain*width, r, w)
	}
	h := grain * width / (math.Max(mode, from) + 2*width)
	l := p.logGrid(h)
	i, j := l.indexRange(from, to)
	return append(r, l.r[i:j]...), append(w, l.w[i:j]...)
}

// uniformNodes has equal steps, of at most h, from one end to the other.
func (p rsPrior) uniformNodes(from, to, h float64, r, w []float64) ([]float64, []float64) {
	first := len(r)
	inner, outer := p.density(p.low), p.density(p.high)
	n := nextEven(min(max((to-from)/h, 16), 240))
	h = (to - from) / float64(n)
	for i := range n + 1 {
		x := from + float64(i)*h
		r, w = append(r, x), append(w, h*choose(x > p.usual, outer, inner)/x)
	}
	simpson(w[first:])
	return r, w
}

// nextEven is the next even whole number.
func nextEven(x float64) int { return 2 * int(math.Ceil(x/2)) }

// simpson turns the weights of an odd number of even steps into Simpson's.
func simpson(w []float64) {
	for i := range w {
		switch {
		case i == 0 || i == len(w)-1:
			w[i] /= 3
		case i%2 == 1:
			w[i] *= 4.0 / 3
		default:
			w[i] *= 2.0 / 3
		}
	}
}

// logGrid is the whole range of a prior in equal steps of ln r, with Simpson's
// weights piece by piece of its density; any stretch of it serves where L is
// negligible beyond.
type logGrid struct{ r, w []float64 }

// logSteps are those of ln r, from coarse to fine; the priors have few.
var logSteps = [...]float64{0.2, 0.1, 0.05, 0.025, 0.0125}

var logGrids sync.Map // of *logGrid, by rsPrior and step

// logGrid gives the nodes with the coarsest step of at most h.
func (p rsPrior) logGrid(h float64) *logGrid {
	type key struct {
		p    rsPrior
		step float64
	}
	step := logSteps[len(logSteps)-1]
	if i := slices.IndexFunc(logSteps[:], func(s float64) bool { return s <= h }); i >= 0 {
		step = logSteps[i]
	}
	if l, known := logGrids.Load(key{p, step}); known {
		return l.(*logGrid)
	}
	l := &logGrid{}
	l.addPiece(p.low, p.usual, p.density(p.low), step)
	if p.high > p.usual {
		l.addPiece(p.usual, p.high, p.density(p.high), step)
	}
	logGrids.Store(key{p, step}, l)
	return l
}

// addPiece adds a stretch of one density; its first node is the last so far.
func (l *logGrid) addPiece(from, to, density, step float64) {
	n := nextEven(math.Log(to/from) / step)
	h := math.Log(to/from) / float64(n)
	w := make([]float64, n+1)
	for i := range w {
		w[i] = h * density
	}
	simpson(w)
	if k := len(l.w); k > 0 {
		l.w[k-1] += w[0]
	} else {
		l.r, l.w = append(l.r, from), append(l.w, w[0])
	}
	for i := 1; i <= n; i++ {
		l.r, l.w = append(l.r, from*math.Exp(float64(i)*h)), append(l.w, w[i])
	}
}

// indexRange gives the nodes i to j-1 that take in a range.
func (l *logGrid) indexRange(from, to float64) (i, j int) {
	i, _ = slices.BinarySearch(l.r, from*(1+1e-12))
	j, _ = slices.BinarySearch(l.r, to)
	return max(i-1, 0), min(j+1, len(l.r))
}

// span is the stretch of the prior's range outside which L is negligible.
// Where the top lies outside the range, L falls off from the nearer end like
// an exponential, and width is the length of its decay.
func (p rsPrior) span(mode, sd float64) (from, to, width float64) {
	near := math.Min(math.Max(mode, p.low), p.high)
	width = sd
	reach := 8 * sd
	if gap := math.Abs(near - mode); gap > sd {
		width = sd * sd / gap
		reach = 30 * width
	}
	from, to = math.Max(p.low, near-reach), math.Min(p.high, near+reach)
	if !(to > from) || to-from < 1e-12*near {
		// Narrower than rounding: one short linear stretch around the end.
		d := math.Max(width, 1e-12*near)
		from, to = math.Max(p.low, near-d), math.Min(p.high, near+d)
	}
	return from, to, width
}
