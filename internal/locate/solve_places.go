package locate

import (
	"cmp"
	"math"
	"slices"

	"ohmward/internal/parallel"
)

// Place is a run of neighbouring samples shown as one.
type Place struct {
	Site       int     // the sample that stands for it
	Sites      []int   // all its samples
	P          float64 // probability of all its samples
	ExtentMM   float64 // its length along the facing edge
	RadiusMM   float64 // Best only: radius in plan around Site that holds RadiusMass
	RadiusMass float64 // Best only: at least 0.9, or all that is listed
}

const (
	radiusMass = 0.9
	// contactMM is half the 0.30 mm disc by which a bridge is defined: nearer
	// than that, two places are one.
	contactMM = 0.15
	// The centre is judged by the mass around it, with a Gaussian weight of
	// this width. On 500 faults of the tests' network with 5 readings, 0.8 mm
	// gave the same median distance (0.24 mm) as picking the heaviest sample,
	// and a ninth decile of 8.1 mm against 8.9; wider blurs the median.
	nearMM  = 0.8
	placeMM = 1.0 // samples of one suspect nearer than this to the best of them are one place
	listed  = 200 // places kept
)

// places picks the best place, lists the rest and draws the radius.
//
// The best place is the one with the most mass close by, whatever its kind
// (weight exp(-d²/2·0.8²)): a lone sharp sample does not beat a heap of
// slightly lower ones, as the largest sample would; and the answer stays on a
// real place when there are two heaps, where the middle of both would lie on
// neither. That keeps the median distance to the truth small and leaves the
// distant heap to the radius.
func (p *Posterior) places() {
	x, y := p.index.x, p.index.y
	heavy := p.probableSites(p.Case.listed())
	if len(heavy) == 0 {
		return
	}
	score := nearMass(p.P, x, y, heavy)
	centre := heavy[0]
	for _, s := range heavy {
		if score[s] > score[centre] || score[s] == score[centre] && p.P[s] > p.P[centre] {
			centre = s
		}
	}
	p.list(x, y, heavy, score, p.kindAt(centre, x, y, heavy, score))
	p.Best = p.Places[0]
	p.Best.RadiusMM, p.Best.RadiusMass = p.radius(p.Best.Site, x, y)
	p.Places[0] = p.Best
}

// probableSites lists which of the first n sites hold all but a thousandth of their
// mass, heaviest first.
func (p *Posterior) probableSites(n int) []int {
	var order []int
	all := 0.0
	for s, q := range p.P[:n] {
		if q > 0 {
			order = append(order, s)
			all += q
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.P[b], p.P[a]) })
	sum := 0.0
	for i, s := range order {
		if sum += p.P[s]; sum >= 0.999*all {
			return order[:i+1]
		}
	}
	return order
}

// nearMass is the weighted mass around each heavy site. Beyond three widths a
// site adds less than a hundredth of its mass.
func nearMass(prob, x, y []float64, heavy []int) []float64 {
	const reach2 = 9 * nearMM * nearMM
	near := newGrid(x, y, heavy, 3*nearMM)
	score := make([]float64, len(prob))
	parallel.Workers(len(heavy), block, func() func(int) {
		return func(i int) {
			s, sum := heavy[i], 0.0
			xs, ys := x[s], y[s]
			for t := range near.around(s) {
				if d2 := (xs-x[t])*(xs-x[t]) + (ys-y[t])*(ys-y[t]); d2 < reach2 {
					sum += prob[t] * math.Exp(-d2/(2*nearMM*nearMM))
				}
			}
			score[s] = sum
		}
	})
	return score
}

// kindAt chooses, among the suspects that share the best spot, the one with
// the most mass there, and its sample with the most mass around it.
func (p *Posterior) kindAt(centre int, x, y []float64, heavy []int, score []float64) int {
	mass, suspect := map[int32]float64{}, p.index.id
	for _, s := range heavy {
		if d := math.Hypot(x[s]-x[centre], y[s]-y[centre]); d < 2*nearMM {
			mass[suspect[s]] += p.P[s] * math.Exp(-d*d/(2*nearMM*nearMM))
		}
	}
	best, bestMass := centre, mass[suspect[centre]]
	for _, s := range heavy {
		if math.Hypot(x[s]-x[centre], y[s]-y[centre]) >= 2*nearMM {
			continue
		}
		m := mass[suspect[s]]
		same := suspect[s] == suspect[best]
		if !same && m > bestMass*(1+1e-12) || same && score[s] > score[best] {
			best, bestMass = s, m
		}
	}
	return best
}

// list gathers samples into places, the given one first, each next one
// around the sample with the most mass near it that is left.
func (p *Posterior) list(x, y []float64, heavy []int, score []float64, first int) {
	order := slices.Clone(heavy)
	score[first] = math.Inf(1)
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(score[b], score[a]) })
	near := newGrid(x, y, heavy, placeMM)
	taken := make([]bool, len(p.P))
	p.Places, p.Count = nil, 0
	for _, s := range order {
		if taken[s] {
			continue
		}
		pl := Place{Site: s}
		for t := range near.around(s) {
			if taken[t] || p.index.id[t] != p.index.id[s] || math.Hypot(x[t]-x[s], y[t]-y[s]) > placeMM {
				continue
			}
			taken[t] = true
			pl.Sites = append(pl.Sites, t)
			pl.P += p.P[t]
			pl.ExtentMM += p.Case.Sites[t].Length * 1e3
		}
		if p.Count++; p.Count <= listed {
			p.Places = append(p.Places, pl)
		}
	}
	rest := p.Places[1:]
	slices.SortStableFunc(rest, func(a, b Place) int { return cmp.Compare(b.P, a.P) })
}

// radius is the smallest distance from a site's midpoint within which 0.9 of
// all probability lies in whole samples, elsewhere counted as outside. Where
// the listed places hold less, it takes in all but a thousandth of them. The
// mass counts what lies inside of the samples that it cuts as well.
func (p *Posterior) radius(s int, x, y []float64) (mm, mass float64) {
	listed := p.P[:p.Case.listed()]
	order := make([]int, 0, len(listed))
	far := make([]float64, len(listed))
	for t, q := range listed {
		if q > 0 {
			order = append(order, t)
			far[t] = math.Hypot(x[t]-x[s], y[t]-y[s]) + p.Case.Sites[t].Length*1e3/2
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(far[a], far[b]) })
	goal := math.Min(radiusMass, 0.999*(1-p.Elsewhere))
	for _, t := range order {
		if mass >= goal && far[t] > mm {
			break
		}
		mass += p.P[t]
		mm = math.Max(contactMM, far[t])
	}
	mass = 0
	for _, t := range order {
		mass += p.P[t] * p.within(t, x[t]-x[s], y[t]-y[s], mm)
	}
	return mm, math.Min(mass, 1)
}

// within is the share of a sample's stretch of facing edge that lies inside a
// circle of radius mm (millimetres), the middle of the stretch at dx, dy from
// that of the circle. It runs along the suspect; where that is not known, away
// from the circle.
func (p *Posterior) within(t int, dx, dy, mm float64) float64 {
	d, half := math.Hypot(dx, dy), p.Case.Sites[t].Length*1e3/2
	switch {
	case d+half <= mm:
		return 1
	case d-half >= mm:
		return 0
	}
	along := d
	if l := p.index.links[t]; l.span > 0 {
		x, y := p.index.x[l.next]-p.index.x[l.prev], p.index.y[l.next]-p.index.y[l.prev]
		along = math.Abs(dx*x+dy*y) / (l.span * 1e3)
	}
	across2 := math.Max(0, d*d-along*along)
	if across2 >= mm*mm {
		return 0
	}
	chord := math.Sqrt(mm*mm - across2)
	inside := math.Min(along+half, chord) - math.Max(along-half, -chord)
	return math.Min(math.Max(0, inside)/(2*half), 1)
}
