package locate

import (
	"maps"
	"math"
	"slices"

	"ohmward/internal/suspect"
)

// model is a case made ready for the sums: the readings that count, and which
// column of loadings belongs to which unknown factor. All factors θ are
// standard normal; U holds what one unit of each does to each reading.
type model struct {
	sites    []suspect.Site
	links    []link
	meter    Meter
	copper   Copper
	readings []Reading
	index    []int       // of each reading in the case
	total    [][]float64 // of each, its prediction by site, or one for all
	above    [][]float64 // of each reading's touches, what they lie above Ohms; nil: one

	own  []int           // components with a factor of their own, in column order
	lead map[leadKey]int // column of each residue or offset
	cols int
	null int // the newest null

	meterSD        []float64 // of each reading, its own deviation without placement and solver
	predictionSD   []float64 // of each reading, the deviation of its prediction over the places
	potentialScale []float64 // of each four-wire reading, how large its predictions are, ohms

	typical int // a site that all readings see, where there is one
}

// Columns of U: 0 the common scale, then own factors, then one per null, then
// the place within the sample's cell.
func newModel(c Case, index *SiteIndex, keep func(int, Reading) bool) *model {
	m := &model{sites: c.Sites, links: index.links, meter: c.Meter, copper: c.Copper, null: -1,
		lead: map[leadKey]int{}}
	parts := 0
	leads := map[leadKey]bool{}
	for i, r := range c.Readings {
		if !keep(i, r) {
			continue
		}
		r, above := c.Meter.touched(r)
		m.readings, m.index, m.above = append(m.readings, r), append(m.index, i), append(m.above, above)
		m.total = append(m.total, r.total(len(c.Sites)))
		parts = max(parts, len(r.C))
		if key, u := m.meter.lead(r); !r.FourWire || u > 0 {
			leads[key] = true
		}
		if !r.FourWire {
			m.null = r.Null
		}
	}
	m.cols = 1
	for l := range parts {
		if m.matters(l) {
			m.own = append(m.own, l)
			m.cols++
		}
	}
	for _, key := range slices.SortedFunc(maps.Keys(leads), leadKey.compare) {
		m.lead[key] = m.cols
		m.cols++
	}
	m.cols++
	for m.unreachedAt(m.typical) > 0 && m.typical < len(m.sites)-1 {
		m.typical++
	}
	m.prepare()
	return m
}

// negligible is the share of a reading's own noise below which a component's
// factor is not worth a column: low-ohm parts that no current passes.
const negligible = 1e-3

// matters tells whether a component's own factor shows in any reading.
func (m *model) matters(l int) bool {
	own := m.copper.own(l)
	if own == 0 {
		return false
	}
	for _, r := range m.readings {
		if l >= len(r.C) {
			continue
		}
		least := negligible * m.meter.sigma(r) / own
		for _, v := range r.C[l] {
			if math.Abs(v) > least {
				return true
			}
		}
	}
	return false
}

// leadKey is what readings have an offset in common by: their null or, of
// four-wire ones, their set-up.
type leadKey struct {
	fourWire bool
	number   int
}

// compare puts nulls before set-ups.
func (k leadKey) compare(o leadKey) int {
	switch {
	case k.fourWire == o.fourWire:
		return k.number - o.number
	case k.fourWire:
		return 1
	}
	return -1
}

// lead gives a reading's residue or offset and its deviation, ohms.
func (m Meter) lead(r Reading) (leadKey, float64) {
	if r.FourWire {
		return leadKey{true, r.Setup}, m.offset(r)
	}
	return leadKey{false, r.Null}, m.NullOhms
}

// workspace holds one site's intermediate results; one per goroutine.
type workspace struct {
	c, sd      []float64 // prediction and own standard deviation per reading
	u          []float64 // loadings of θ, reading by reading
	h          []float64 // information matrix of θ, then its factor
	a, b       []float64 // θ-vectors
	theta      []float64
	f1, f2     []float64 // of each reading, its log density's derivatives
	predictive predictive
	nodes      []moments // at each node
	rs, wt     []float64 // nodes of Rs and their weights
	ll         []float64
	chance     []float64 // of each node, once integrated; they sum to 1
	joint      []float64
	scratch    []float64
	touches    []touch // per reading; base 0: Gaussian
	warm       bool    // the last site's top is known: a start for the next one's
	startRs    float64 // its Rs
	startTheta []float64
	above      [][]float64
}

func (m *model) newWorkspace() *workspace {
	k, n := len(m.readings), m.cols
	return &workspace{
		c: make([]float64, k), sd: make([]float64, k), u: make([]float64, k*n),
		h: make([]float64, n*n), a: make([]float64, n), b: make([]float64, n),
		theta: make([]float64, n), startTheta: make([]float64, n), joint: make([]float64, (n+1)*(n+1)),
		f1: make([]float64, k), f2: make([]float64, k),
		predictive: predictive{copper: make([]float64, n), lead: make([]float64, n), solved: make([]float64, 2*n)},
		scratch:    make([]float64, n+1), touches: make([]touch, k), above: m.above,
	}
}

// load fills c, sd and the loadings for a site.
func (m *model) load(s int, w *workspace) {
	n := m.cols
	for k := range m.readings {
		r := &m.readings[k]
		row := w.u[k*n : (k+1)*n]
		clear(row)
		c := at(m.total[k], s)
		if c >= Unreached {
			w.c[k], w.sd[k], w.touches[k] = r.Ohms, unreachedSD, touch{}
			continue
		}
		w.c[k] = c
		row[0] = m.copper.Scale * c
		for j, l := range m.own {
			if l < len(r.C) {
				row[1+j] = m.copper.own(l) * at(r.C[l], s)
			}
		}
		if key, u := m.meter.lead(*r); u > 0 {
			row[m.lead[key]] = u
		}
		row[n-1] = m.cell(k, s)
		fixed, grows := m.variance(k, s)
		w.sd[k] = math.Sqrt(fixed + grows*c*c)
		w.touches[k] = touch{}
		if m.meter.skewed(*r) {
			w.touches[k] = newTouch(w.sd[k])
		}
	}
}

// variance is reading k's own at a site: meter, placement and the solver's at
// potentials that nearly cancel; and what it grows by with its prediction's square.
func (m *model) variance(k, s int) (fixed, grows float64) {
	r := &m.readings[k]
	fixed = m.meterSD[k] * m.meterSD[k]
	if len(r.Slope) > 0 {
		u := m.meter.PlacementM * at(r.Slope, s)
		fixed += u * u
	}
	model := m.copper.model(*r)
	grows = model*model + r.Spread*r.Spread
	return fixed + grows*m.potentialScale[k]*m.potentialScale[k], grows
}

// prepare works out what a reading's deviation has in common for all sites:
// the meter's part, and for four-wire readings how large the potentials are
// of which they show the difference. The solver errs in proportion to those,
// also where they nearly cancel.
func (m *model) prepare() {
	weight := make([]float64, len(m.sites))
	for s, site := range m.sites {
		weight[s] = site.Prior
	}
	_, cov := m.spread(weight)
	for k, r := range m.readings {
		m.predictionSD = append(m.predictionSD, math.Sqrt(cov[k*len(m.readings)+k]))
		m.meterSD = append(m.meterSD, m.meter.averaged(r))
		large, total := 0.0, 0.0
		for s := range m.sites {
			if !r.FourWire || r.SameNet || r.Spread > 0 {
				break
			}
			if c := at(m.total[k], s); c < Unreached {
				large += m.sites[s].Prior * c * c
				total += m.sites[s].Prior
			}
		}
		if total > 0 {
			large = math.Sqrt(large / total)
		}
		m.potentialScale = append(m.potentialScale, large)
	}
}

// cell is the effect of one standard deviation of the short's place within
// the stretch of facing edge that the sample stands for (uniform over it).
func (m *model) cell(k, s int) float64 {
	return m.slope(k, s) * m.sites[s].Length / math.Sqrt(12)
}

// slope is the change of reading k's prediction along the suspects, ohms per metre.
func (m *model) slope(k, s int) float64 {
	l := m.links[s]
	if l.span == 0 {
		return 0
	}
	fore, aft := at(m.total[k], int(l.next)), at(m.total[k], int(l.prev))
	if fore >= Unreached || aft >= Unreached {
		return 0
	}
	return (fore - aft) / l.span
}

// anySkewed tells whether any reading is skewed.
func (m *model) anySkewed() bool {
	return slices.ContainsFunc(m.readings, m.meter.skewed)
}
