package locate

import (
	"math"
	"slices"
)

// outcome is what a planned reading would give if the short is in one group:
// Gaussian with that mean and deviation, in ohms, plus, where Rs has not been
// seen yet, Rs itself with its prior.
type outcome struct {
	weight, mean, sd float64
	broad            *broadDistribution
}

// information is the mutual information in bits between the group and the
// reading, by bins: the entropy of the reading's distribution less the mean
// entropy of each outcome's.
func information(list []outcome) float64 {
	var b bins
	return b.information(list)
}

// bins is the workspace in which information is worked out; one per goroutine.
type bins struct {
	edges, own, total []float64
}

func (b *bins) information(list []outcome) float64 {
	step := b.cut(list)
	if len(b.edges) < 2 {
		return 0
	}
	n := len(b.edges) + 1 // bins, with both open ends
	b.own, b.total = slices.Grow(b.own[:0], n)[:n], slices.Grow(b.total[:0], n)[:n]
	clear(b.total)
	t := entropySum{total: b.total}
	for _, o := range list {
		lo, hi := o.fill(b.edges, b.own)
		if o.broad == nil && o.sd > 0.75*step {
			t.addGaussian(o.weight, b.own, lo, hi, o.sd/step)
		} else {
			t.add(o.weight, b.own, lo, hi)
		}
	}
	return t.bits()
}

// entropySum adds up the chances of results, cause by cause.
type entropySum struct {
	total  []float64 // of each result
	within float64   // minus the mean entropy given the cause, nats
}

// add takes a cause of that weight and its results' chances p[lo:hi].
func (t *entropySum) add(weight float64, p []float64, lo, hi int) {
	for b := lo; b < hi; b++ {
		t.total[b] += weight * p[b]
		t.within += weight * xlog(p[b])
	}
}

// addGaussian is add for a Gaussian that spans wide bins in its deviation, 0.75
// and more. Its entropy in bins is that of its sum with an even error of one
// bin's width, to 1e-4.
func (t *entropySum) addGaussian(weight float64, p []float64, lo, hi int, wide float64) {
	for b := lo; b < hi; b++ {
		t.total[b] += weight * p[b]
	}
	t.within -= weight * 0.5 * math.Log(2*math.Pi*math.E*(wide*wide+1.0/12))
}

// bits is the mutual information of cause and result.
func (t *entropySum) bits() float64 {
	all := 0.0
	for _, q := range t.total {
		all += xlog(q)
	}
	return math.Max(0, t.within-all) / math.Ln2
}

// xlog is q·ln q; chances below 1e-10 add less than 3e-9.
func xlog(q float64) float64 {
	if q < 1e-10 {
		return 0
	}
	return q * math.Log(q)
}

// cut cuts the line finely enough for the sharpest outcomes that weigh: half a
// deviation, at most maxBins over the span of the means. It gives the step.
func (b *bins) cut(list []outcome) float64 {
	const maxBins = 160
	lo, hi, sd := math.Inf(1), math.Inf(-1), 0.0
	broad := false
	for _, o := range list {
		lo, hi = math.Min(lo, o.mean-4*o.sd), math.Max(hi, o.mean+4*o.sd)
		sd += o.weight * math.Log(o.sd)
		broad = broad || o.broad != nil
	}
	step := math.Max(0.5*math.Exp(sd), (hi-lo)/maxBins)
	b.edges = b.edges[:0]
	if !(step > 0) || math.IsInf(step, 1) {
		return 0
	}
	edges := b.edges
	for x := lo; x < hi+step; x += step {
		edges = append(edges, x)
	}
	if broad { // Rs reaches on for decades: steps that grow
		for x := hi + 2*step; x < OpenOhms; {
			edges = append(edges, x)
			x += math.Max(step, 0.2*(x-lo))
		}
	}
	b.edges = edges
	return step
}

// fill puts the chance of each bin into own and gives the range of bins that
// hold any; bin b lies between edges b-1 and b.
func (o outcome) fill(edges, own []float64) (lo, hi int) {
	if o.broad != nil {
		return o.fillBroad(edges, own)
	}
	lo, _ = slices.BinarySearch(edges, o.mean-cdfTo*o.sd)
	prev := 0.0
	b := lo
	end, per := o.mean+cdfTo*o.sd, 1/o.sd
	for ; b < len(edges) && edges[b] < end; b++ {
		q := cdf((edges[b] - o.mean) * per)
		own[b] = q - prev
		prev = q
	}
	own[b] = 1 - prev
	return lo, b + 1
}

// fillBroad is fill for an outcome with Rs still to be added.
func (o outcome) fillBroad(edges, own []float64) (lo, hi int) {
	lo, _ = slices.BinarySearch(edges, o.mean-6*o.broad.sd)
	prev := 0.0
	for b := lo; b < len(edges); b++ {
		q := o.broad.cdfAt(edges[b] - o.mean)
		own[b] = q - prev
		prev = q
	}
	own[len(edges)] = 1 - prev
	return lo, len(own)
}
