package locate

import (
	"math"
	"slices"

	"ohmward/internal/parallel"
)

// Posterior is what is believed after all readings and findings.
type Posterior struct {
	Case      Case      // what was evaluated
	P         []float64 // per site; those of the listed ones and Elsewhere sum to 1
	Elsewhere float64   // the sites that are not listed included
	Ohms      []Range   // of Rs per site; zero where the site holds no mass to speak of
	Best      Place     // the place to look at first
	Places    []Place   // best first, the first 200
	Count     int       // how many places there are, those beyond the list too
	Fit       Fit       // how well it explains the readings

	index *SiteIndex
	model *model
	plan  []moments // per site, as Ohms
	fits  []siteFit

	possible []int // the sites that neither prior nor findings exclude, in order
}

// possibleListed are the possible ones of the listed sites.
func (p *Posterior) possibleListed() []int {
	n, _ := slices.BinarySearch(p.possible, p.Case.listed())
	return p.possible[:n]
}

// Range is the 5 %, 50 % and 95 % point of a resistance in ohms.
type Range struct{ Low, Median, High float64 }

// spare is the share of the greatest probability below which a site gets no
// Rs range and takes no part in planning.
const spare = 2e-4

// Solve gives the posterior. A case without readings gives the prior, as
// findings leave it. Readings that no metallic short can give (above OpenOhms)
// tell nothing about the place and only count for the verdict.
func Solve(c Case) (*Posterior, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	if err := c.checkUnits(); err != nil {
		return nil, err
	}
	p := &Posterior{Case: c, index: c.siteIndex()}
	p.model = newModel(c, p.index, counts)
	p.setProbabilities()
	p.details()
	p.places()
	p.Fit = p.judge()
	return p, nil
}

// setProbabilities works out P and Elsewhere.
func (p *Posterior) setProbabilities() {
	sites := p.Case.Sites
	log := p.prior()
	last := len(sites)
	for s := range sites {
		if !math.IsInf(log[s], -1) {
			p.possible = append(p.possible, s)
		}
	}
	p.fits, p.plan, p.Ohms = make([]siteFit, last), make([]moments, last), make([]Range, last)
	p.fitSites(log)
	for s := range sites {
		log[s] += p.fits[s].log
	}
	weight := make([]float64, last)
	for s := range p.Case.listed() {
		weight[s] = sites[s].Prior
	}
	log[last] += p.model.elsewhere(weight)
	total := logSumExp(log)
	p.P = make([]float64, last)
	n := p.Case.listed()
	for s := n; s < last; s++ {
		p.P[s] = math.Exp(log[s] - total)
	}
	list := logSumExp(log[:n])
	if math.IsInf(list, -1) { // findings exclude every place
		p.Elsewhere = 1
		return
	}
	share := max(math.Exp(list-total), minListed) // keeps their order when none of them fits
	for s := range n {
		p.P[s] = share * math.Exp(log[s]-list)
	}
	p.Elsewhere = 1 - share
}

// minListed is the least that all listed places hold together: no model is
// surer of its own broad alternative than that.
const minListed = 1e-12

// prior is the log chance of each site, elsewhere last, with the findings.
func (p *Posterior) prior() []float64 {
	sites := p.Case.Sites
	last := len(sites)
	listed := 0.0
	for _, s := range sites {
		listed += s.Prior
	}
	log := make([]float64, last+1)
	for i, s := range sites {
		log[i] = math.Log(s.Prior * (1 - p.Case.Elsewhere) / listed)
	}
	log[last] = math.Log(p.Case.Elsewhere)
	for n, f := range p.Case.Findings {
		for i, s := range sites {
			log[i] += math.Log(f.likelihood(i, p.Case.Uncovered(s, n)))
		}
		log[last] += math.Log(f.elsewhere())
	}
	p.Case.bySide(log)
	return log
}

const (
	// hopeless is how far below the best, in log, a rough value settles a site
	// in any case, and hopeful how far it is worth planning for.
	hopeless = 24
	hopeful  = 9
	// skewedFine sites are worked out finely where touches are skewed, which is
	// dear; the rough values of the others are put level with theirs.
	skewedFine = 200
)

// fitSites works out the likelihoods: roughly first, and on the grid only
// where a site is still in the running.
func (p *Posterior) fitSites(log []float64) {
	skewed := p.model.anySkewed()
	value := make([]float64, len(p.fits))
	each(len(p.fits), p.model, func(i int, w *workspace) {
		s := p.index.along[i]
		w.warm = i%block != 0 && w.warm // the same on any number of cores
		p.fits[s] = p.model.fit(s, w, skewed, roughFit)
		value[s] = log[s] + p.fits[s].log
	})
	best := slices.Max(value)
	fine, planned := best-hopeless, best-hopeful
	few := skewed && len(value) > skewedFine
	if few {
		sorted := slices.Sorted(slices.Values(value))
		fine = max(fine, sorted[len(sorted)-skewedFine])
		planned = max(planned, fine)
	}
	each(len(p.fits), p.model, func(s int, w *workspace) {
		switch {
		case value[s] > planned:
			p.detail(s, w, skewed)
		case value[s] > fine:
			p.fits[s] = p.model.fit(s, w, skewed, gridFit)
		}
	})
	if few {
		p.level(log, value, fine)
	}
}

// level adds to the rough values what fine ones are above theirs in the
// median.
func (p *Posterior) level(log, value []float64, fine float64) {
	var above []float64
	for s, v := range value {
		if v > fine {
			above = append(above, log[s]+p.fits[s].log-v)
		}
	}
	if len(above) == 0 {
		return
	}
	slices.Sort(above)
	for s, v := range value {
		if v <= fine {
			p.fits[s].log += above[len(above)/2]
			p.plan[s] = p.fits[s].moments
		}
	}
}

// details works out Rs and the moments for planning where it matters and has
// not been done.
func (p *Posterior) details() {
	skewed := p.model.anySkewed()
	top := slices.Max(p.P)
	each(len(p.P), p.model, func(s int, w *workspace) {
		switch q := p.P[s]; {
		case q == 0 || q < spare*top:
			p.plan[s], p.Ohms[s] = moments{}, Range{}
		case p.plan[s].kappa == 0:
			p.detail(s, w, skewed)
		case p.Ohms[s] == Range{}: // known roughly
			mo, prior := p.plan[s], priorOf(p.Case.Sites[s].Kind)
			sd := math.Sqrt(mo.varOffset)
			p.Ohms[s] = Range{math.Max(p.fits[s].rs-1.645*sd, prior.low), p.fits[s].rs, p.fits[s].rs + 1.645*sd}
		}
	})
}

// detail fits a site with all that planning needs, and the range of its Rs.
func (p *Posterior) detail(s int, w *workspace, skewed bool) {
	f := p.model.fit(s, w, skewed, planFit)
	p.fits[s], p.plan[s] = f, f.moments
	prior := priorOf(p.Case.Sites[s].Kind)
	if !f.sees {
		p.Ohms[s] = Range{prior.quantile(0.05), prior.quantile(0.5), prior.quantile(0.95)}
		return
	}
	p.Ohms[s] = w.ranges()
}

// ranges gives the quantiles of Rs over the nodes of the last fit.
func (w *workspace) ranges() Range {
	at := func(q float64) float64 {
		sum := 0.0
		for i, step := range w.chance {
			if sum+step >= q {
				prev := w.rs[max(i-1, 0)]
				return prev + (w.rs[i]-prev)*(q-sum)/step
			}
			sum += step
		}
		return w.rs[len(w.rs)-1]
	}
	return Range{at(0.05), at(0.5), at(0.95)}
}

// block is how many sites in a row one core takes.
const block = 64

// each runs f over 0..n-1 on all cores; results must go to separate places,
// so that they do not depend on the order.
func each(n int, m *model, f func(i int, w *workspace)) {
	parallel.Workers(n, block, func() func(int) {
		w := m.newWorkspace()
		return func(i int) { f(i, w) }
	})
}

// counts tells whether a reading says where the short is.
func counts(_ int, r Reading) bool { return !r.Skip && !r.open() }
