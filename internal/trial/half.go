package trial

import (
	"cmp"
	"math"
	"slices"

	"ohmward/internal/conduct"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
)

// halves makes what the program predicts for readings of what each group adds.
type halves struct {
	s *engine.Pair
	*practice.Halves
}

func newHalves(s *engine.Pair) (*halves, error) {
	_, layers, err := s.Solver.Solved()
	return &halves{s, practice.NewHalves(layers)}, err
}

// tip1 is the contact of one probe place of a group.
func tip1(s *engine.Pair, g, i int) conduct.Probe {
	return conduct.Probe{Group: g, Disc: s.Disc(s.Probes[g][i].Spot)}
}

// twoWire is what the program predicts for a reading between two places.
func (h *halves) twoWire(a, b int) (locate.Reading, error) {
	p, q := h.TwoWire(tip1(h.s, 0, a)), h.TwoWire(tip1(h.s, 1, b))
	if err := cmp.Or(p.Err, q.Err); err != nil {
		return locate.Reading{}, err
	}
	r := locate.Reading{D: 1, Slope: h.slope(0, a, 1, b)}
	for l, row := range p.Rows {
		sum := make([]float64, len(row))
		for s, v := range row {
			sum[s] = v + q.Rows[l][s]
		}
		r.C = append(r.C, sum)
	}
	r.C = append(append(r.C, p.Ties...), q.Ties...)
	return r, nil
}

// slope is what the reading changes by as its volt tips move, as for a case's
// readings.
func (h *halves) slope(g, i, k, j int) []float64 {
	return []float64{math.Hypot(h.s.Slope(h.s.Probes[g][i].Spot), h.s.Slope(h.s.Probes[k][j].Spot))}
}

// fourWire is the same with volts between two places of the group that the
// current enters; it is positive where current enters nearer to high.
func (h *halves) fourWire(g, in, high, low int) (locate.Reading, error) {
	p := h.FourWire(tip1(h.s, g, in), tip1(h.s, g, high), tip1(h.s, g, low))
	if p.Err != nil {
		return locate.Reading{}, p.Err
	}
	var ties [2][][]float64
	ties[g] = p.Ties
	for range h.s.Links[1-g] {
		ties[1-g] = append(ties[1-g], []float64{0})
	}
	return locate.Reading{FourWire: true, C: slices.Concat(p.Rows, ties[0], ties[1]),
		Slope: h.slope(g, high, g, low)}, nil
}
