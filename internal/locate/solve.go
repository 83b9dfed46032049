package locate

import (
	"math"
	"runtime"
	"sync"
)

// Posterior is what is believed after all readings and findings.
type Posterior struct {
	Case      Case
	P         []float64 // per site; with Elsewhere they sum to 1
	Elsewhere float64
	Ohms      []Range // of Rs per site; zero where the site holds no mass to speak of
	Best      Place
	Places    []Place // best first
	Fit       Fit

	links []link
	model *model
	plan  []moments // per site, as Ohms
	fits  []siteFit
}

// Range is the 5 %, 50 % and 95 % point of a resistance in ohms.
type Range struct{ Low, Median, High float64 }

// spare is the share of the greatest probability below which a site gets no
// Rs range and takes no part in planning.
const spare = 1e-5

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
	p := &Posterior{Case: c, links: chains(c.Sites)}
	p.model = newModel(c, p.links, func(i int, r Reading) bool { return !r.Skip && !r.open() })
	p.weigh()
	p.details()
	p.places()
	p.Fit = p.judge()
	return p, nil
}

// weigh works out P and Elsewhere.
func (p *Posterior) weigh() {
	sites := p.Case.Sites
	hand := p.model.hand()
	p.fits = make([]siteFit, len(sites))
	each(len(sites), p.model, func(s int, w *work) {
		if sites[s].Prior > 0 {
			p.fits[s] = p.model.fit(s, w, hand, false)
		}
	})
	listed, prior := 0.0, make([]float64, len(sites))
	for s := range sites {
		listed += sites[s].Prior
		prior[s] = sites[s].Prior
	}
	log := make([]float64, len(sites)+1)
	for s := range sites {
		log[s] = math.Log(prior[s]*(1-p.Case.Elsewhere)/listed) + p.fits[s].log
	}
	last := len(sites)
	log[last] = math.Log(p.Case.Elsewhere) + p.model.elsewhere(prior)
	for _, f := range p.Case.Findings {
		for s := range sites {
			log[s] += math.Log(f.likelihood(sites[s]))
		}
		log[last] += math.Log(f.elsewhere())
	}
	total := logSumExp(log)
	p.P = make([]float64, len(sites))
	if math.IsInf(total, -1) {
		// Findings excluded every place, and elsewhere had no prior.
		p.Elsewhere = 1
		return
	}
	for s := range sites {
		p.P[s] = math.Exp(log[s] - total)
	}
	p.Elsewhere = math.Exp(log[last] - total)
}

// details works out Rs and the moments for planning where it matters.
func (p *Posterior) details() {
	sites := p.Case.Sites
	hand := p.model.hand()
	top := 0.0
	for _, q := range p.P {
		top = math.Max(top, q)
	}
	p.Ohms = make([]Range, len(sites))
	p.plan = make([]moments, len(sites))
	each(len(sites), p.model, func(s int, w *work) {
		if p.P[s] == 0 || p.P[s] < spare*top {
			return
		}
		f := p.model.fit(s, w, hand, true)
		p.plan[s] = f.usual
		prior := priorOf(sites[s].Kind)
		if !f.sees {
			p.Ohms[s] = Range{prior.quantile(0.05), prior.quantile(0.5), prior.quantile(0.95)}
			return
		}
		p.Ohms[s] = w.ranges()
	})
}

// ranges gives the quantiles of Rs over the nodes of the last fit.
func (w *work) ranges() Range {
	total := logSumExp(w.ll)
	q := [3]float64{0.05, 0.5, 0.95}
	var out [3]float64
	sum, j := 0.0, 0
	for i := range w.rs {
		step := math.Exp(w.ll[i] - total)
		for j < 3 && sum+step >= q[j] {
			prev := w.rs[max(i-1, 0)]
			out[j] = prev + (w.rs[i]-prev)*(q[j]-sum)/step
			j++
		}
		sum += step
	}
	for ; j < 3; j++ {
		out[j] = w.rs[len(w.rs)-1]
	}
	return Range{out[0], out[1], out[2]}
}

// each runs f over 0..n-1 on all cores; results must go to separate places,
// so that they do not depend on the order.
func each(n int, m *model, f func(i int, w *work)) {
	const block = 64
	workers := min(runtime.GOMAXPROCS(0), (n+block-1)/block)
	if workers <= 1 {
		w := m.room()
		for i := range n {
			f(i, w)
		}
		return
	}
	var wg sync.WaitGroup
	for k := range workers {
		wg.Go(func() {
			w := m.room()
			for from := k * block; from < n; from += workers * block {
				for i := from; i < min(from+block, n); i++ {
					f(i, w)
				}
			}
		})
	}
	wg.Wait()
}
