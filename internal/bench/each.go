package bench

import (
	"fmt"
	"math"

	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
)

// ReadingFit is one reading against what the best place predicts, with what
// its uncertainty is made of.
type ReadingFit struct {
	Reading   int         `json:"reading"` // from 0, in the case's order
	Ohms      float64     `json:"ohms"`
	Predicted *float64    `json:"predicted_ohms"` // nil where it was left out
	U         float64     `json:"u_ohms"`         // standard, all components
	Budget    []Component `json:"budget"`
}

// Component is one line of an uncertainty budget.
type Component struct {
	Name string  `json:"name"`
	Ohms float64 `json:"ohms"`
}

// explain adds what stands behind an answer: each reading, what else would
// tell, why the place changed and where a bad reading would fit.
func (w *work) explain(a *LocateAnswer, post *locate.Posterior) {
	a.Each, a.Tests = w.each(post), w.tests(post)
	a.Moves = MovesOf(a.Next, a.Tests)
	a.Fit.Changed, a.Fit.Neighbour = w.moved(post), w.neighbour(post)
}

// each sets every reading against the best place.
func (w *work) each(post *locate.Posterior) []ReadingFit {
	out := []ReadingFit{}
	for k := range w.readings {
		r := post.Case.Readings[k]
		f := ReadingFit{Reading: k, Ohms: r.Ohms, Budget: []Component{}}
		copperOhms, slope := 0.0, 0.0
		if len(post.Places) > 0 {
			for _, row := range r.C {
				copperOhms += row[min(post.Best.Site, len(row)-1)]
			}
			if len(r.Slope) > 0 {
				slope = r.Slope[min(post.Best.Site, len(r.Slope)-1)]
			}
		}
		if copperOhms >= locate.Unreached {
			copperOhms = 0
		}
		list, u := w.meter.Budget(r, w.knowledge, copperOhms, slope)
		f.U = u
		for _, c := range list {
			f.Budget = append(f.Budget, Component{c.Name, c.Ohms})
		}
		if k < len(post.Fit.Predicted) && !math.IsNaN(post.Fit.Predicted[k]) {
			v := post.Fit.Predicted[k]
			f.Predicted = &v
		}
		out = append(out, f)
	}
	return out
}

// moved says why the answer's place changed with the last reading.
func (w *work) moved(post *locate.Posterior) string {
	n := len(w.readings) - 1
	if n < 1 {
		return ""
	}
	c := post.Case
	c.Readings, c.Findings = w.all()[:n:n], nil
	for _, f := range post.Case.Findings {
		if f.AfterReading <= n {
			c.Findings = append(c.Findings, f)
		}
	}
	earlier, err := w.solvedBefore(c)
	if err != nil {
		return ""
	}
	return post.Moved(earlier)
}

// solvedBefore gives the posterior of a case, without weighing it again where
// it is what was weighed last.
func (w *work) solvedBefore(c locate.Case) (*locate.Posterior, error) {
	if w.memo != nil && w.memo.last != nil && w.memo.given.Same(c) {
		return w.memo.last, nil
	}
	return locate.Solve(c)
}

// neighbour looks for pads beside the places of the reading that fits worst
// where it would fit: a slipped tip, or a wrong pin written down.
func (w *work) neighbour(post *locate.Posterior) string {
	k := post.Fit.Worst
	if post.Fit.Verdict == locate.OneShort || post.Fit.Verdict == locate.NotShort || k < 0 || k >= len(w.readings) || post.Fit.MendsP < 0.01 {
		return ""
	}
	c := w.taken[k]
	var candidates []locate.Reading
	var names []string
	try := func(other contacts, from, to copper.Spot) {
		r, err := w.predictedIn(w.within(k), other)
		if err == nil && r.SameNet == w.readings[k].SameNet {
			candidates = append(candidates, r)
			names = append(names, fmt.Sprintf("%s in place of %s", w.placeText(to), w.placeText(from)))
		}
	}
	for _, spot := range c.spots() {
		for _, beside := range w.beside(spot) {
			try(c.with(spot, beside), spot, beside)
		}
	}
	if best, p := post.Instead(k, candidates); best >= 0 {
		return fmt.Sprintf("reading %d fits if it touched %s (p %.2g): touch that place again", k+1, names[best], p)
	}
	return ""
}

// within gives the network in which a reading was taken.
func (w *work) within(k int) *network {
	if k < len(w.in) {
		return w.in[k]
	}
	return w.whole()
}

// with puts one place for another in a reading's contacts.
func (c contacts) with(was, is copper.Spot) contacts {
	for _, spot := range []*copper.Spot{&c.in, &c.out, &c.high, &c.low} {
		if spot.At == was.At && spot.Layer == was.Layer {
			*spot = is
		}
	}
	return c
}

const (
	besideMM    = 3.0 // a tip that slips lands no further off
	mostBesides = 6
)

// beside gives the pads of the same group next to a place, nearest first.
func (s *session) beside(spot copper.Spot) []copper.Spot {
	g := s.groupOfNet(spot.Net)
	type near struct {
		spot copper.Spot
		mm   float64
	}
	var list []near
	for _, p := range s.probes[g] {
		if mm := distanceMM(p.At, spot.At); mm > 0.05 && mm <= besideMM && p.Sides[s.faceOf(spot)] {
			list = append(list, near{p.Spot, mm})
		}
	}
	for i := range list {
		for j := i; j > 0 && list[j].mm < list[j-1].mm; j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
	var out []copper.Spot
	for _, n := range list[:min(len(list), mostBesides)] {
		out = append(out, n.spot)
	}
	return out
}

// faceOf is the side on which a place was touched.
func (s *session) faceOf(spot copper.Spot) board.Side {
	if spot.Layer == len(s.board.Layers)-1 && spot.Layer > 0 {
		return board.Bottom
	}
	return board.Top
}

// drive gives what a two-wire reading at a four-wire one's current contacts
// has as coefficients, for two bridges at once.
func (w *work) drive(k int) []float64 {
	if k >= len(w.taken) {
		return nil
	}
	c := w.taken[k]
	r, err := w.predictedIn(w.within(k), contacts{in: c.in, out: c.out, high: c.in, low: c.out})
	if err != nil || r.SameNet {
		return nil
	}
	out := make([]float64, len(w.sites))
	for s := range out {
		for _, row := range r.C {
			out[s] += row[min(s, len(row)-1)]
		}
	}
	return out
}
