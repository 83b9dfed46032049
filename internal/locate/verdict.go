package locate

import (
	"fmt"
	"math"
	"slices"
)

// openedReadings looks at readings that no metallic short can give. All of them so:
// not a short. The last ones so, after something was done: the short is gone.
// Mixed without a cause: it comes and goes.
func (p *Posterior) openedReadings() (verdict, why string) {
	var across, open int
	last, lastShort := -1, -1
	for i, r := range p.Case.Readings {
		if r.Skip || !r.across() || p.split(i) {
			continue
		}
		across++
		if r.open() {
			open++
			last = i
		} else {
			lastShort = i
		}
	}
	switch {
	case open == 0:
		return "", ""
	case open == across:
		return NotShort, fmt.Sprintf("every reading across is above %d Ω; a metallic short reads under about 1 "+
			"Ω%s", OpenOhms, p.Case.perhapsMilli())
	case last > lastShort && p.doneBetween(lastShort, last):
		return NotShort, fmt.Sprintf("since the last repair the nets read above %d Ω", OpenOhms)
	}
	return Intermittent,
		fmt.Sprintf("some readings are of a short, others above %d Ω, and nothing was done in "+
			"between", OpenOhms)
}

// unsteady looks for findings that only a dry contact makes: a resistance that
// changed on flexing, or a short that was cleared and is read again with
// nothing put back in between.
func (p *Posterior) unsteady() (bool, string) {
	for i, f := range p.Case.Findings {
		if f.Done == "flexed" && f.Short == "changed" {
			return true, fmt.Sprintf("finding %d: its resistance changed on flexing, as only a dry contact's does",
				i+1)
		}
		if f.Short != "cleared" || f.Disconnected != nil || p.putBack(i) {
			continue
		}
		for k := f.AfterReading; k < len(p.Case.Readings); k++ {
			if r := p.Case.Readings[k]; !r.Skip && r.across() && !r.open() && r.Spread == 0 {
				return true, fmt.Sprintf("finding %d cleared it and reading %d shows it again", i+1, k+1)
			}
		}
	}
	return false, ""
}

// putBack tells whether something was fitted again after finding i.
func (p *Posterior) putBack(i int) bool {
	return slices.ContainsFunc(p.Case.Findings[i+1:], func(f Finding) bool {
		return f.Done == "refitted" || f.Done == "replaced"
	})
}

// ReadingName is how a person would call a reading.
func (c Case) ReadingName(k int) string {
	if k >= 0 && k < len(c.Readings) && c.Readings[k].Name != "" {
		return c.Readings[k].Name
	}
	return fmt.Sprintf("reading %d", k+1)
}

// doneBetween tells whether something was done after reading i and before j.
func (p *Posterior) doneBetween(i, j int) bool {
	return slices.ContainsFunc(p.Case.Findings, func(f Finding) bool {
		return f.AfterReading > i && f.AfterReading <= j && f.Done != "looked"
	})
}

// repeats looks for the same places read twice with different results: more
// than five times the noise and more than a twentieth (BENCH.md: a metallic
// short repeats within 5 %), with nothing done in between. The copper cannot
// do that; only a short whose own resistance changes, or a bad touch.
func (p *Posterior) repeats() (bool, string) {
	m := p.model
	for i, a := range m.readings {
		for j := range i {
			b := m.readings[j]
			if !a.across() || !b.across() || !m.sameCopper(a, b) || p.doneBetween(m.index[j], m.index[i]) {
				continue
			}
			u := math.Hypot(m.meter.sigma(a), m.meter.sigma(b))
			if a.Null != b.Null {
				u = math.Hypot(u, math.Sqrt2*m.meter.NullOhms)
			}
			d := math.Abs(a.Ohms - b.Ohms)
			if d > 5*u && d > 0.05*math.Max(math.Abs(a.Ohms), math.Abs(b.Ohms)) {
				return true, fmt.Sprintf("readings %d and %d touch the same places and differ by %s", m.index[j]+1,
					m.index[i]+1, m.meter.Text(d, a.FourWire))
			}
		}
	}
	return false, ""
}

// sameCopper tells whether two readings see the same copper at every place.
func (m *model) sameCopper(a, b Reading) bool {
	same := func(v, w float64) bool { return math.Abs(v-w) <= 1e-9+1e-6*math.Abs(v) }
	return a.FourWire == b.FourWire && slices.EqualFunc(a.C, b.C, func(x, y []float64) bool {
		return slices.EqualFunc(x, y, same)
	})
}

// steadyPart tells whether the readings free of Rs, three at least, fit a
// place by themselves while at least two that see Rs spoil it.
func (p *Posterior) steadyPart() bool {
	free, sees := 0, 0
	for _, r := range p.model.readings {
		if r.D == 0 && !r.SameNet {
			free++
		} else if r.D != 0 {
			sees++
		}
	}
	if free < 3 || sees < 2 {
		return false
	}
	sub := newModel(p.Case, p.index, func(_ int, r Reading) bool { return !r.Skip && r.D == 0 })
	return chiSquareTail(p.leastMisfit(sub, p.possibleListed()), sub.freedom(-1)) > 0.05
}
