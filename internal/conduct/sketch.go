package conduct

import (
	"context"
	"math"
	"slices"
)

// LayerSketch tells the share of sets of layers in readings, as Layers does, without
// solving the copper anew for each set.
//
// The share of a set is the energy, in its copper, of the fields x and y of the
// reading's current and volts: x'Ky, with K the set's part of the matrix. Every
// contact's field is a combination Zx of the fields of a few contacts, the
// pivots, and a remainder that is orthogonal to them in energy: a pivoted
// Cholesky factorisation of the Green's function, whose entries are products of
// path vectors. With the energies of the pivots' fields with every contact's,
//
//	x'Ky = (Zx)'Ky + x'K(Zy) - (Zx)'K(Zy) + (x-Zx)'K(y-Zy).
//
// The last term is not solved for. Its sum over all sets is known, being what
// is left of the reading; it is the copper near the contacts, and goes to the layers
// on which they stand.
type LayerSketch struct {
	base   *Bridge
	sets   int
	groups [2]*groupSketch
}

// groupSketch is the sketch of one group.
type groupSketch struct {
	basis *basis
	own   map[int]int // the set that each layer is in
	sites *projected
	self  [][]float64 // [set][site] energy of the site's own combination
}

// SketchLayers prepares to tell the share of sets of layers in readings between
// the places to touch, or near them, and the sites. places are those of
// either group.
func (b *Bridge) SketchLayers(ctx context.Context, sets [][]int, places [2][]Disc) (*LayerSketch, error) {
	out := &LayerSketch{base: b, sets: len(sets)}
	if len(sets) == 0 {
		return out, nil
	}
	for g, m := range b.Models {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		touched, err := m.prepareUnrefined(places[g], probePieces)
		if err != nil {
			return nil, err
		}
		if out.groups[g], err = sketchOf(b.Sites[g], touched, sets); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Predict is as Layers.Predict.
func (l *LayerSketch) Predict(r Reading) (rows [][]float64, p *Prediction, err error) {
	p = &Prediction{Bridge: r.bridge()}
	rows = make([][]float64, 1+l.sets)
	for g := range l.base.Models {
		whole, half, ties, err := l.half(g, r)
		if err != nil {
			return nil, nil, err
		}
		if whole == nil {
			whole, ties = l.base.zeros(g, r)
			half = [][]float64{whole}
		}
		p.Copper[g], p.Ties = whole, append(p.Ties, ties...)
		for i := range rows {
			if rows[i] == nil {
				rows[i] = make([]float64, len(whole))
			}
		}
		for i, row := range half {
			for s, v := range row {
				rows[i][s] += v
			}
		}
	}
	return rows, p, nil
}

// Half is as Layers.Half.
func (l *LayerSketch) Half(g int, r Reading) (rows, ties [][]float64, err error) {
	_, rows, ties, err = l.half(g, r)
	return rows, ties, err
}

// half also gives the copper of all sets and of none together.
func (l *LayerSketch) half(g int, r Reading) (whole []float64, rows, ties [][]float64, err error) {
	p, err := l.base.part(r, g, (*Model).Prepare)
	if err != nil || p == nil {
		return nil, nil, nil, err
	}
	if whole, ties, err = l.base.half(g, r, p); err != nil {
		return nil, nil, nil, err
	}
	rows = [][]float64{slices.Clone(whole)}
	if l.sets > 0 {
		total := slices.Clone(whole)
		for _, row := range ties {
			for s, v := range row {
				total[s] += v
			}
		}
		rows = append(rows, l.groups[g].shares(p, r.fixed(), total)...)
	}
	for _, row := range rows[1:] {
		for s, v := range row {
			rows[0][s] -= v
		}
	}
	return whole, rows, ties, nil
}

// sketchOf prepares a group.
func sketchOf(sites, places *Contacts, sets [][]int) (*groupSketch, error) {
	s := &groupSketch{own: map[int]int{}}
	for i, set := range sets {
		for _, l := range set {
			s.own[l] = i
		}
	}
	s.sites = unprojected(sites, places)
	parts := make([]resistors, len(sets))
	solved := 1
	for l, set := range sets {
		if parts[l] = sites.model.resistorsOf(set); len(parts[l].dof) > 0 {
			solved++
		}
	}
	s.basis = newBasis(sites.model, s.sites, solved)
	s.sites.paths = nil // as large as all else together, and asked no more
	if err := s.basis.mix(s.sites, parts, places.Discs, len(sites.Discs)); err != nil {
		return nil, err
	}
	s.sites.loads = nil
	for l, m := range s.basis.mixed {
		self := make([]float64, len(sites.Discs))
		for i := range self {
			z := s.sites.at[i]
			self[i] = 2*dot(z, s.sites.with[i][l]) - dot(z, times(m, z))
		}
		s.self = append(s.self, self)
	}
	return s, nil
}

// shares gives a row for each set: its share of a reading whose parts on this
// group are p, at every site or, where no bridge can change it, once. total is
// the reading with the low-ohm parts.
func (s *groupSketch) shares(p *part, fixed bool, total []float64) [][]float64 {
	n := len(p.probes.Discs)
	probes := s.basis.project(p.probes)
	w := s.weigh(probes, p.current[:n], p.volts[:n])
	rows := make([][]float64, len(s.basis.mixed))
	for i := range rows {
		rows[i] = make([]float64, len(total))
	}
	for at, ohms := range total {
		if ohms >= farOhms {
			continue
		}
		touching := -1
		if !fixed {
			touching = slices.IndexFunc(p.probes.all(), func(i int) bool { return p.probes.overlap(i, p.sites, at) })
		}
		switch {
		case fixed:
			w.share(s, rows, at, ohms)
		case touching >= 0:
			current, volts := slices.Clone(w.current), slices.Clone(w.volts)
			current[touching] += p.current[n]
			volts[touching] += p.volts[n]
			s.weigh(probes, current, volts).share(s, rows, at, ohms)
		default:
			w.shareAtSite(s, rows, at, p.current[n], p.volts[n], ohms)
		}
	}
	return rows
}

// weighed is the probes of a reading on one group, with the current into each
// and the weight of its volts.
type weighed struct {
	probes         *projected
	current, volts []float64
	c, v           []float64   // coordinates of the fields of current and of volts
	byC, byV       [][]float64 // [set] their energy with each basis field, less what c and v make of it
	total          []float64   // [set] their energy with each other
}

func (s *groupSketch) weigh(probes *projected, current, volts []float64) *weighed {
	w := &weighed{probes: probes, current: current, volts: volts}
	w.c, w.v = combined(probes.at, current), combined(probes.at, volts)
	for l, m := range s.basis.mixed {
		c, v := make([]float64, len(w.c)), make([]float64, len(w.v))
		for i, with := range probes.with {
			for k, ohms := range with[l] {
				c[k] += current[i] * ohms
				v[k] += volts[i] * ohms
			}
		}
		mc, mv := times(m, w.c), times(m, w.v)
		w.total = append(w.total, dot(w.v, c)+dot(w.c, v)-dot(w.v, mc))
		for k := range c {
			c[k] -= mc[k]
			v[k] -= mv[k]
		}
		w.byC, w.byV = append(w.byC, c), append(w.byV, v)
	}
	return w
}

// share adds what the probes have by themselves; total is the reading.
func (w *weighed) share(s *groupSketch, rows [][]float64, at int, total float64) {
	for l, ohms := range w.total {
		rows[l][at] += ohms
	}
	s.give(rows, at, total-dot(w.v, w.c), w.claims(nil))
}

// shareAtSite adds what the probes have with a site, of the given current and
// weight of its volts; total is the reading.
func (w *weighed) shareAtSite(s *groupSketch, rows [][]float64, site int, current, volts, total float64) {
	z := s.sites.at[site]
	for l := range rows {
		e := s.sites.with[site][l]
		rows[l][site] += w.total[l] + current*(dot(w.byV[l], z)+dot(w.v, e)) +
			volts*(dot(w.byC[l], z)+dot(w.c, e)) + current*volts*s.self[l][site]
	}
	within := dot(w.v, w.c) + current*dot(w.v, z) + volts*dot(w.c, z) + current*volts*dot(z, z)
	own := claim{s.sites.layer[site], (math.Abs(current) + math.Abs(volts)) * s.sites.rest[site]}
	s.give(rows, site, total-within, w.claims([]claim{own}))
}

// claim is how much of the remainder of a reading is likely to be a contact's,
// relative to others, and the layer that it stands on.
type claim struct {
	layer  int
	weight float64
}

func (w *weighed) claims(out []claim) []claim {
	for i, rest := range w.probes.rest {
		out = append(out, claim{w.probes.layer[i], (math.Abs(w.current[i]) + math.Abs(w.volts[i])) * rest})
	}
	return out
}

// give shares a remainder out to the layers of its contacts.
func (s *groupSketch) give(rows [][]float64, at int, ohms float64, claims []claim) {
	sum := 0.0
	for _, c := range claims {
		sum += c.weight
	}
	for _, c := range claims {
		if set, ok := s.own[c.layer]; ok && sum > 0 {
			rows[set][at] += ohms * c.weight / sum
		}
	}
}
