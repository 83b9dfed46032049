package locate

import (
	"math"
	"math/rand/v2"

	"ohmward/geom"
	"ohmward/internal/suspect"
)

// synth is an analytic network to try the inference on: a track with two
// branches (net A) over a wide plane (net B). Track resistance is
// proportional to length; on the plane two contacts of 0.15 mm see
// acosh(D/2r)/π squares (REFERENCES B18).
type synth struct {
	ohmPerM float64 // of track
	sheet   float64 // of plane, ohms per square
	sites   []suspect.Site
	placesA []spot // on the track
	placesB [][2]float64
}

// spot is a place on the tree: branch 0 is the trunk along x from 0 to 50 mm;
// branches 1 and 2 leave it at 15 and 35 mm, upward, 20 mm long.
type spot struct {
	branch int
	t      float64 // mm from the branch's start
}

var joints = [3]float64{0, 15, 35}

func (s spot) xy() (x, y float64) {
	if s.branch == 0 {
		return s.t, 0
	}
	return joints[s.branch], s.t
}

func length(branch int) float64 {
	if branch == 0 {
		return 50
	}
	return 20
}

// trackMM is the copper between two spots of the tree, in mm.
func trackMM(a, b spot) float64 {
	if a.branch == b.branch {
		return math.Abs(a.t - b.t)
	}
	d := 0.0
	pa, pb := a.t, b.t
	if a.branch != 0 {
		d += a.t
		pa = joints[a.branch]
	}
	if b.branch != 0 {
		d += b.t
		pb = joints[b.branch]
	}
	return d + math.Abs(pa-pb)
}

func newSynth(step float64) *synth {
	n := &synth{ohmPerM: 2, sheet: 0.5e-3}
	for b := range 3 {
		for t := step / 2; t < length(b); t += step {
			x, y := spot{b, t}.xy()
			p := geom.FromMM(x, y)
			n.sites = append(n.sites, suspect.Site{
				Kind: suspect.Gap, A: p, B: p, Gap: 0.2e-3, Length: step * 1e-3, Prior: step, Cluster: b,
			})
		}
	}
	total := 0.0
	for _, s := range n.sites {
		total += s.Prior
	}
	for i := range n.sites {
		n.sites[i].Prior *= 0.97 / total
	}
	for b := range 3 {
		for t := 0.0; t <= length(b); t += 5 {
			n.placesA = append(n.placesA, spot{b, t})
		}
	}
	for x := 2.0; x < 50; x += 12 {
		for y := -9.0; y < 22; y += 10 {
			n.placesB = append(n.placesB, [2]float64{x, y})
		}
	}
	return n
}

func (n *synth) spotOf(s int) spot {
	x, y := n.sites[s].Mid()
	b := n.sites[s].Cluster
	if b == 0 {
		return spot{0, x}
	}
	return spot{b, y}
}

// track and plane are the two copper parts of a reading in ohms.
func (n *synth) track(a, at spot) float64 { return n.ohmPerM * 1e-3 * trackMM(a, at) }

func (n *synth) plane(b [2]float64, at spot) float64 {
	x, y := at.xy()
	return n.sheet / math.Pi * math.Acosh(math.Max(1, math.Hypot(b[0]-x, b[1]-y)/0.3))
}

// across is a two-wire reading's coefficients, track and plane apart.
func (n *synth) across(a spot, b [2]float64) Reading {
	r := Reading{D: 1, C: [][]float64{make([]float64, len(n.sites)), make([]float64, len(n.sites))}}
	for s := range n.sites {
		r.C[0][s] = n.track(a, n.spotOf(s))
		r.C[1][s] = n.plane(b, n.spotOf(s))
	}
	return r
}

// fault is a truth drawn from the prior.
type fault struct {
	at     spot
	rs     float64
	factor [2]float64
	z      float64
}

func (n *synth) draw(rng *rand.Rand, c Copper, m Meter) fault {
	t := rng.Float64() * 90
	f := fault{at: spot{0, t}}
	if t >= 70 {
		f.at = spot{2, t - 70}
	} else if t >= 50 {
		f.at = spot{1, t - 50}
	}
	f.rs = bridgePrior.quantile(rng.Float64())
	common := c.Scale * rng.NormFloat64()
	for l := range f.factor {
		f.factor[l] = 1 + common + c.own(l)*rng.NormFloat64()
	}
	f.z = m.NullOhms * rng.NormFloat64()
	return f
}

func (n *synth) read(rng *rand.Rand, f fault, m Meter, a spot, b [2]float64) Reading {
	r := n.across(a, b)
	true := f.factor[0]*n.track(a, f.at) + f.factor[1]*n.plane(b, f.at) + f.rs + f.z
	r.Ohms = m.Draw(rng, true, false)
	return r
}

// sense is a four-wire reading: current from i to the plane, volts between two
// spots of the tree; only track that both the current and the span share.
func (n *synth) sense(i, u, v spot) Reading {
	r := Reading{FourWire: true, C: [][]float64{make([]float64, len(n.sites))}}
	for s := range n.sites {
		r.C[0][s] = n.transfer(i, u, v, n.spotOf(s))
	}
	return r
}

func (n *synth) transfer(i, u, v, at spot) float64 {
	// With R a tree metric the transfer is ½(R(u,a) - R(u,i) - R(v,a) + R(v,i)).
	return 0.5 * (n.track(u, at) - n.track(u, i) - n.track(v, at) + n.track(v, i))
}

// Draw gives one reading of a true value in ohms with this meter's touch
// noise, by the law that Solve assumes; lead residue and placement are the
// caller's to add.
func (m Meter) Draw(rng *rand.Rand, ohms float64, fourWire bool) float64 {
	r := Reading{Ohms: ohms, FourWire: fourWire}
	s := m.sigma(r)
	if m.skewed(r) {
		t := newTouch(s)
		return ohms + t.base*rng.NormFloat64() + t.excess*rng.ExpFloat64()
	}
	return ohms + s*rng.NormFloat64()
}
