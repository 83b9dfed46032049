package locate

import (
	"math"
	"slices"
)

// What an opened part, a lifted leg or a cut leaves: places that a reading's
// contacts no longer reach. Their coefficients are Unreached or more. A value
// of ohms then speaks against such places, an overload for them.

// Unreached is a coefficient, in ohms, of a place that the contacts do not
// reach.
const Unreached = maxOhms / 2

const (
	// slippedLead is the chance that a short in reach reads open all the same:
	// a tip that fell off looks like a cleared short (BENCH.md, Rework; the
	// figure is common practice, no source).
	slippedLead = 0.02
	// wrongNote is the chance that what was opened or where was written down
	// wrongly.
	wrongNote = 1e-3
	// unreachedSD is the deviation in ohms that takes a reading out of a site's sums.
	unreachedSD = 1e6
)

// reached tells whether some listed place can be reached, and whether some
// cannot.
func (r Reading) reached(sites int) (some, none bool) {
	for s := range sites {
		if r.Predict(s) >= Unreached {
			none = true
		} else {
			some = true
		}
	}
	return some, none
}

// bySide adds to the log chances what readings say by being of a short or open
// where the network was split; log[last] is elsewhere, which lies on either
// side.
func (c Case) bySide(log []float64) {
	last := len(c.Sites)
	for _, r := range c.Readings {
		if r.Skip || r.SameNet {
			continue
		}
		if some, none := r.reached(last); !some || !none {
			continue
		}
		wrong := wrongNote
		if r.open() {
			wrong = slippedLead
		}
		for s := range c.Sites {
			if (r.Predict(s) >= Unreached) != r.open() {
				log[s] += math.Log(wrong)
			}
		}
		log[last] += math.Log(0.5)
	}
}

// split tells whether reading i, open, is so because the likely places are cut
// off from it.
func (p *Posterior) split(i int) bool {
	r := p.Case.Readings[i]
	if !r.open() {
		return false
	}
	off, all := 0.0, 0.0
	for s, q := range p.P {
		all += q
		if r.Predict(s) >= Unreached {
			off += q
		}
	}
	return off > 0.5*all
}

// unreachedAt counts the readings that cannot see a site.
func (m *model) unreachedAt(s int) (n int) {
	for _, row := range m.total {
		if at(row, s) >= Unreached {
			n++
		}
	}
	return n
}

// reachable gives the table for planning: a place that reaches no site is not
// asked for, and an open reading counts as just off the row's scale.
func (t Table) reachable() Table {
	out := t
	out.R, out.Probes = slices.Clone(t.R), slices.Clone(t.Probes)
	for i, row := range t.R {
		if !slices.ContainsFunc(row, unreached) {
			continue
		}
		most := math.Inf(-1)
		for _, v := range row {
			if !unreached(v) {
				most = math.Max(most, v)
			}
		}
		if math.IsInf(most, -1) {
			out.Probes[i].Reach = false
			most = 0
		}
		out.R[i] = slices.Clone(row)
		for s, v := range row {
			if unreached(v) {
				out.R[i][s] = 3*most + 0.1
			}
		}
	}
	return out
}

func unreached(v float64) bool { return v >= Unreached }
