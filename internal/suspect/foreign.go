package suspect

import (
	"math"
	"slices"
)

// Places that are not listed are not nowhere: loose metal (a strand, a
// clipping) reaches about 5 mm (BENCH.md), and a part's body may be of metal
// and tied to a net without the files saying so.
const (
	foreignReach = 5e-3
	foreignStep  = 0.8e-3
	foreignFall  = 1.5e-3 // metres by which the rate of loose metal falls by e
	mostForeign  = 240    // gaps; bodies come beside them
	mostOutlines = 4800   // that are walked: of more, every so many stands for the others
	mostBodies   = 120
	// bodyShare of the chance of all such places is that of bodies.
	bodyShare = 1.0 / 3
	// beside is how near, in millimetres, a listed place makes a foreign one
	// superfluous.
	beside = 1.5
)

// Foreign gives a coarse sample of places that List leaves out: gaps that only
// loose metal bridges, farther than 1.5 mm from every listed place, and bodies
// of parts that nobody has marked as metal. Their priors sum to one, or none
// is given. They stand for what is not listed, and are no list to look through.
func Foreign(q Question, listed []Site) []Site {
	q.Reach, q.Step = foreignReach, foreignStep
	q.Rates.GapFall = foreignFall
	marked := q.Bodies
	q = q.withDefaults()
	s := newScene(q)
	near := newMids(listed, beside)
	lone := func(sites []Site) []Site {
		return slices.DeleteFunc(sites, func(f Site) bool {
			for i := range near.around(f) {
				if apart(f, listed[i]) < beside {
					return true
				}
			}
			return false
		})
	}
	step := q.Step
	s.every = max(1, s.outlines()/mostOutlines)
	gaps := lone(s.gaps(step))
	for len(gaps) > mostForeign {
		step *= math.Max(1.2, float64(len(gaps))/mostForeign)
		gaps = lone(s.gaps(step))
	}
	for i := range gaps {
		s.judge(&gaps[i], s.near)
	}
	s.q.Bodies = s.unmarked(marked)
	bodies := thinned(s.metal(), mostBodies)
	gapsShare := 1 - bodyShare
	if len(bodies) == 0 {
		gapsShare = 1
	} else if len(gaps) == 0 {
		gapsShare = 0
	}
	return append(shared(gaps, gapsShare), shared(bodies, 1-gapsShare)...)
}

// outlines counts those that may be walked.
func (s *scene) outlines() (n int) {
	for _, e := range s.edges {
		if e.all != nil {
			n += len(e.rings[0]) + len(e.rings[1])
		}
	}
	return n
}

// unmarked are the parts of more than two pins on a group, as if their body
// were of metal and tied to it; of those on both, to the first.
func (s *scene) unmarked(marked []Body) (out []Body) {
	for _, p := range s.q.Board.Parts {
		if len(p.Pads) <= 2 || p.Ref == "" || p.Absent ||
			slices.ContainsFunc(marked, func(b Body) bool { return b.Part == p.Ref }) {
			continue
		}
		for g := range s.pads {
			if slices.ContainsFunc(p.Pads, func(i int) bool {
				_, on := slices.BinarySearch(s.pads[g], i)
				return on
			}) {
				out = append(out, Body{p.Ref, g})
				break
			}
		}
	}
	return out
}

// thinned keeps every so many of the sites, which stand for the others.
func thinned(sites []Site, most int) []Site {
	if len(sites) <= most {
		return sites
	}
	out := make([]Site, 0, most)
	for i := range most {
		from, to := i*len(sites)/most, (i+1)*len(sites)/most
		site := sites[(from+to)/2]
		site.Length, site.Prior = 0, 0
		for _, other := range sites[from:to] {
			site.Length += other.Length
			site.Prior += other.Prior
		}
		out = append(out, site)
	}
	return out
}

// shared makes the priors sum to a share; clusters are counted as in a list of
// their own.
func shared(sites []Site, share float64) []Site {
	var total float64
	for _, s := range sites {
		total += s.Prior
	}
	if total == 0 || share == 0 {
		return nil
	}
	for i := range sites {
		sites[i].Prior *= share / total
	}
	clusterise(sites)
	return sites
}
