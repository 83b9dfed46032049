package locate

import "math"

// ExpectedInformation is the information about the place, in bits, that something done or
// looked at is expected to give: outcomes are the findings that may come of
// it, one of which will.
func (p *Posterior) ExpectedInformation(outcomes []Finding) float64 {
	total := make([]float64, len(outcomes))
	within, mass := 0.0, 0.0
	own := make([]float64, len(outcomes))
	for i, q := range p.P {
		if q == 0 {
			continue
		}
		sum := 0.0
		s := p.Case.Uncovered(p.Case.Sites[i], len(p.Case.Findings))
		for k, f := range outcomes {
			own[k] = f.likelihood(i, s)
			sum += own[k]
		}
		if sum == 0 {
			continue
		}
		mass += q
		for k := range own {
			own[k] /= sum
			total[k] += q * own[k]
			within += q * xlog(own[k])
		}
	}
	if mass == 0 {
		return 0
	}
	all := 0.0
	for _, t := range total {
		all += xlog(t / mass)
	}
	return math.Max(0, within/mass-all) / math.Ln2
}

// ProbableSites lists the sites that hold all but a thousandth of the mass, heaviest
// first: all that MeasurementInformation asks about.
func (p *Posterior) ProbableSites() []int { return p.probableSites(len(p.P)) }

// MeasurementInformation is the information about the place, in bits, of a measured number
// that would be mean[s] with standard uncertainty u, plus spread times the
// mean, if the short is at site s.
func (p *Posterior) MeasurementInformation(mean []float64, u, spread float64) float64 {
	var list []outcome
	mass := 0.0
	heavy := p.ProbableSites()
	for _, s := range heavy {
		mass += p.P[s]
	}
	for _, s := range heavy {
		list = append(list, outcome{weight: p.P[s] / mass, mean: mean[s], sd: math.Hypot(u, spread*mean[s])})
	}
	return information(list)
}
