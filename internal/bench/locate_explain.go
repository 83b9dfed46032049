package bench

import (
	"fmt"
	"math"

	"ohmward/internal/answer"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
)

// explain adds what stands behind an answer: each reading, what else would
// tell, why the place changed and where a bad reading would fit.
func explain(w *engine.Locator, a *answer.Location, post *locate.Posterior) {
	a.Each, a.Tests = Each(w, post), tests(w, post)
	a.Moves = answer.MovesOf(a.Next, a.Tests)
	a.Fit.Changed, a.Fit.Neighbour = w.Moved(post), Neighbour(w, post, w.PlaceText)
}

// Each sets every reading against the best place.
func Each(w *engine.Locator, post *locate.Posterior) []answer.ReadingFit {
	out := []answer.ReadingFit{}
	for k := range w.Readings {
		r := post.Case.Readings[k]
		f := answer.ReadingFit{Reading: k, Ohms: r.Ohms, Budget: []answer.Component{}}
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
		list, u := w.Meter.Budget(r, w.CopperKnown, copperOhms, slope)
		f.U = u
		for _, c := range list {
			f.Budget = append(f.Budget, answer.Component{Name: c.Name, Ohms: c.Ohms})
		}
		if k < len(post.Fit.Predicted) && !math.IsNaN(post.Fit.Predicted[k]) {
			v := post.Fit.Predicted[k]
			f.Predicted = &v
		}
		out = append(out, f)
	}
	return out
}

// Neighbour looks for pads beside the places of the reading that fits worst
// where it would fit: a slipped tip, or a wrong pin written down. name is how
// places are called.
func Neighbour(w *engine.Locator, post *locate.Posterior, name func(copper.Spot) string) string {
	k := post.Fit.Worst
	if post.Fit.Verdict == locate.OneShort || post.Fit.Verdict == locate.NotShort || k < 0 ||
		k >= len(w.Readings) || post.Fit.PWithoutWorst < 0.01 {
		return ""
	}
	c := w.Taken[k]
	var candidates []locate.Reading
	var names []string
	try := func(other engine.Contacts, from, to copper.Spot) {
		r, err := w.Predict(w.NetworkOf(k), other)
		if err == nil && r.SameNet == w.Readings[k].SameNet {
			candidates = append(candidates, r)
			names = append(names, fmt.Sprintf("%s in place of %s", name(to), name(from)))
		}
	}
	for _, spot := range c.Spots() {
		for _, beside := range w.Beside(spot) {
			try(c.With(spot, beside), spot, beside)
		}
	}
	if best, _ := post.AlternativeReading(k, candidates); best >= 0 {
		return fmt.Sprintf("reading %d fits if it touched %s: touch that place again", k+1, names[best])
	}
	return ""
}
