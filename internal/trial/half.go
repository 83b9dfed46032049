package trial

import (
	"math"
	"sync"

	"ohmward/internal/conduct"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
)

// halves keeps what one group adds to readings at every suspect. A two-wire
// reading is the sum of two halves, each decided by one tip; so some hundred
// solutions serve every pair.
type halves struct {
	s      *engine.Pair
	mu     sync.Mutex
	cached map[halfKey]*half
}

// halfKey is the places of a half by their index among the probes; two-wire
// has them all the same.
type halfKey struct{ group, in, high, low int }

type half struct {
	once       sync.Once
	rows, ties [][]float64
	err        error
}

// mostHalves bounds the memory: 4,000 suspects and three rows make 0.1 MB
// each. What goes beyond is solved anew whenever it is asked for.
const mostHalves = 3000

func newHalves(s *engine.Pair) *halves { return &halves{s: s, cached: map[halfKey]*half{}} }

func (h *halves) get(k halfKey) *half {
	h.mu.Lock()
	one := h.cached[k]
	if one == nil {
		one = &half{}
		if len(h.cached) < mostHalves {
			h.cached[k] = one
		}
	}
	h.mu.Unlock()
	one.once.Do(func() {
		_, layers, err := h.s.Solver.Solved()
		if one.err = err; err == nil {
			one.rows, one.ties, one.err = layers.Half(k.group, h.reading(k))
		}
	})
	return one
}

func (h *halves) reading(k halfKey) conduct.Reading {
	in, far := tip1(h.s, k.group, k.in), conduct.Probe{Group: 1 - k.group}
	if k.high == k.in && k.low == k.in {
		return conduct.Reading{In: in, Out: far, High: in, Low: far}
	}
	return conduct.Reading{In: in, Out: far, High: tip1(h.s, k.group, k.high), Low: tip1(h.s, k.group, k.low)}
}

// tip1 is the contact of one probe place of a group.
func tip1(s *engine.Pair, g, i int) conduct.Probe {
	return conduct.Probe{Group: g, Disc: s.Disc(s.Probes[g][i].Spot)}
}

// twoWire is what the program predicts for a reading between two places.
func (h *halves) twoWire(a, b int) (locate.Reading, error) {
	p, q := h.get(halfKey{0, a, a, a}), h.get(halfKey{1, b, b, b})
	if err := firstError(p.err, q.err); err != nil {
		return locate.Reading{}, err
	}
	r := locate.Reading{D: 1, Slope: h.slope(0, a, 1, b)}
	for l, row := range p.rows {
		sum := make([]float64, len(row))
		for s, v := range row {
			sum[s] = v + q.rows[l][s]
		}
		r.C = append(r.C, sum)
	}
	r.C = append(append(r.C, p.ties...), q.ties...)
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
	p := h.get(halfKey{g, in, high, low})
	if p.err != nil {
		return locate.Reading{}, p.err
	}
	r := locate.Reading{FourWire: true, C: append([][]float64{}, p.rows...), Slope: h.slope(g, high, g, low)}
	for other := range h.s.Links {
		for t := range h.s.Links[other] {
			if other == g {
				r.C = append(r.C, p.ties[t])
			} else {
				r.C = append(r.C, []float64{0})
			}
		}
	}
	return r, nil
}

func firstError(list ...error) error {
	for _, err := range list {
		if err != nil {
			return err
		}
	}
	return nil
}
