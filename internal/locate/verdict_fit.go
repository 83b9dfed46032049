package locate

import (
	"fmt"
	"math"
	"slices"
)

// Verdicts, as the contract has them.
const (
	NoReading    = "no reading yet"
	OneShort     = "one short"
	MoreThanOne  = "more than one"
	Disagree     = "readings disagree"
	Intermittent = "intermittent"
	NotShort     = "not a short"
)

// Fit says how well the best explanation meets the readings.
type Fit struct {
	Verdict string  // NoReading and so on
	Chi2    float64 // of the best-fitting place, copper, residue and Rs included
	DoF     int     // readings less what was fitted: Rs, and one for the place
	P       float64 // chance of a worse fit if all is as assumed
	Worst   int     // index of the reading that fits worst, -1 where there is none
	Why     string  // one clause for people
	// PWithoutWorst is P with the worst reading left out, at the place that fits best
	// then.
	PWithoutWorst float64
	Two           [2]int    // MoreThanOne: the two sites; else both -1
	Predicted     []float64 // per reading of the case at the best place, ohms; NaN for those left out
}

// pDisagree is where readings count as disagreeing: one sound case in a
// thousand is so called, and noise of five times the stated is nearly always.
const pDisagree = 0.001

// judge compares readings with the best explanation and gives the verdict.
func (p *Posterior) judge() Fit {
	f := Fit{Verdict: OneShort, Worst: -1, P: 1, Two: [2]int{-1, -1}}
	f.Predicted = p.predicted()
	if v, why := p.openedReadings(); v != "" {
		f.Verdict, f.Why = v, why
		return f
	}
	if len(p.Places) == 0 {
		f.Verdict, f.P, f.Why = Disagree, 0, "the findings exclude every listed place"
		return f
	}
	if !p.model.sees() {
		f.Verdict = NoReading
		if len(p.Case.Readings) > 0 {
			f.Why = "none of those taken sees the short"
		}
		return f
	}
	f.Chi2 = math.Inf(1) // the smallest misfit over the places that findings allow
	for _, s := range p.possibleListed() {
		f.Chi2 = math.Min(f.Chi2, p.fits[s].chi2)
	}
	f.DoF = max(p.model.freedom(-1)-p.model.unreachedAt(p.Best.Site), 0)
	f.P = chiSquareTail(f.Chi2, f.DoF)
	f.Worst, f.PWithoutWorst = p.worst(f.P)
	p.verdict(&f)
	return f
}

// verdict names what a bad fit means.
func (p *Posterior) verdict(f *Fit) {
	for _, look := range []func() (bool, string){p.repeats, p.unsteady} {
		if v, why := look(); v {
			f.Verdict, f.Why = Intermittent, why
			return
		}
	}
	switch {
	case f.P >= pDisagree && p.Elsewhere <= 0.5:
		f.Why = "all readings fit one place"
	case f.P >= pDisagree:
		f.Verdict, f.Why = Disagree, "a place that is not listed fits better than any listed one"+p.foreign()
	case p.steadyPart():
		f.Verdict, f.Why = Intermittent, "the readings free of the short's own resistance agree, the others do "+
			"not: its resistance changes"
	case p.twoFit(f):
		x, y := p.Case.Sites[f.Two[0]], p.Case.Sites[f.Two[1]]
		f.Verdict, f.Why = MoreThanOne, fmt.Sprintf("two shorts at once explain the readings: %s and %s",
			Name(x), Name(y))
	case f.PWithoutWorst > 0.01:
		f.Verdict, f.Why = Disagree, fmt.Sprintf("%s does not fit; without it the rest agree: touch that place "+
			"again", p.Case.ReadingName(f.Worst))
	case p.Elsewhere > 0.5:
		f.Verdict, f.Why = Disagree, "no listed place explains the readings, nor does leaving one out: are these "+
			"the two nets, and is it this board?"
	default:
		f.Verdict, f.Why = Disagree, "no single place explains the readings, nor does leaving one out"
	}
}

// foreign names the likeliest of the places that are not listed, as far as
// they are known by a sample, or "".
func (p *Posterior) foreign() string {
	n := p.Case.listed()
	if n == len(p.P) {
		return ""
	}
	most := slices.Max(p.P[n:])
	if most == 0 {
		return ""
	}
	best := n + slices.Index(p.P[n:], most)
	site := p.Case.Sites[best]
	if site.Part != "" {
		return fmt.Sprintf(": is %s's body of metal, or bent? mark it if so", site.Part)
	}
	where := ""
	switch len(site.Near) {
	case 1:
		where = "beside " + site.Near[0] + ", "
	case 2:
		where = "between " + site.Near[0] + " and " + site.Near[1] + ", "
	}
	x, y := site.Mid()
	return fmt.Sprintf(": look for loose metal (a strand, a clipping) %sat %.0f,%.0f mm", where, x, y)
}

// twoFit tells whether two bridges fit where one does not, and better than
// one bridge with a reading left out: two take three more numbers to say, a
// slipped tip one, so both must be told apart by more than that.
func (p *Posterior) twoFit(f *Fit) bool {
	if f.PWithoutWorst > 0.01 {
		return false
	}
	b, dof, ok := p.both()
	if !ok || dof < 1 || chiSquareTail(b.chi2, dof) < 0.01 {
		return false
	}
	f.Two = b.at
	return true
}

// leastMisfit is the smallest misfit of a model's readings over some sites.
func (p *Posterior) leastMisfit(m *model, sites []int) float64 {
	w, least := m.newWorkspace(), math.Inf(1)
	for _, s := range sites {
		m.load(s, w)
		x, _ := m.gaussianFit(w).chi2(priorOf(p.Case.Sites[s].Kind))
		least = math.Min(least, x)
	}
	return least
}

// sees tells whether any reading depends on where the short is.
func (m *model) sees() bool {
	return slices.ContainsFunc(m.readings, func(r Reading) bool { return !r.SameNet })
}

// freedom counts degrees of freedom without reading skip: Rs is fitted where
// some reading sees it, and the place counts for one where any reading
// depends on it.
func (m *model) freedom(skip int) int {
	n, rs, place := 0, 0, 0
	for k, r := range m.readings {
		if k == skip {
			continue
		}
		n++
		if r.D != 0 {
			rs = 1
		}
		if !r.SameNet {
			place = 1
		}
	}
	return max(n-rs-place, 0)
}

// worst finds the reading whose removal improves the fit most. Where the fit is
// good anyway it is the reading furthest off at the best place.
func (p *Posterior) worst(pFit float64) (index int, gain float64) {
	if len(p.model.readings) == 0 || len(p.Places) == 0 {
		return -1, pFit
	}
	if pFit >= 0.05 {
		return p.model.index[p.model.furthest(p.Best.Site)], pFit
	}
	best := slices.Repeat([]float64{math.Inf(1)}, len(p.model.readings))
	w := p.model.newWorkspace()
	for _, s := range p.possibleListed() {
		for j, x := range p.model.withoutEach(w, s) {
			best[j] = math.Min(best[j], x)
		}
	}
	at := slices.Index(best, slices.Min(best))
	return p.model.index[at], chiSquareTail(best[at], p.model.freedom(at))
}

// furthest is the reading with the greatest misfit of its own at a site,
// predicted from the others.
func (m *model) furthest(s int) int {
	left := m.withoutEach(m.newWorkspace(), s)
	return slices.Index(left, slices.Min(left))
}

// withoutEach is the misfit at a site with each reading in turn left out.
func (m *model) withoutEach(w *workspace, s int) (left []float64) {
	m.load(s, w)
	q, prior := m.gaussianFit(w), priorOf(m.sites[s].Kind)
	for j := range m.readings {
		x, _ := m.leaveOneOut(w, q, j).chi2(prior)
		left = append(left, x)
	}
	return left
}

// predicted gives each reading at the best place with the copper factor, the
// residue and Rs that fit best there, and what a touch by hand adds on average.
func (p *Posterior) predicted() []float64 {
	out := slices.Repeat([]float64{math.NaN()}, len(p.Case.Readings))
	if len(p.model.readings) == 0 || len(p.Places) == 0 {
		return out
	}
	m, w, s := p.model, p.model.newWorkspace(), p.Best.Site
	m.load(s, w)
	_, r := m.gaussianFit(w).chi2(priorOf(p.Case.Sites[s].Kind))
	m.thetaAt(w, r)
	for k, rd := range m.readings {
		out[m.index[k]] = rd.Ohms - m.residual(w, k, r) + w.excess(k)
	}
	return out
}
