package locate

import (
	"math"
	"sort"

	"ohmward/internal/suspect"
)

// model is a case made ready for the sums: the readings that count, and which
// column of loadings belongs to which unknown factor. All factors θ are
// standard normal; U holds what one unit of each does to each reading.
type model struct {
	sites  []suspect.Site
	links  []link
	meter  Meter
	copper Copper
	read   []Reading
	index  []int // of each reading in the case

	own    []int       // components with a factor of their own, in column order
	column map[int]int // of each null
	cols   int
	null   int // the newest null

	split   bool // some reading cannot see some site
	typical int  // a site that all readings see, where there is one
}

// Columns of U: 0 the common scale, then own factors, then one per null, then
// the place within the sample's cell.
func newModel(c Case, links []link, keep func(int, Reading) bool) *model {
	m := &model{sites: c.Sites, links: links, meter: c.Meter, copper: c.Copper, column: map[int]int{}, null: -1}
	parts := 0
	nulls := map[int]bool{}
	for i, r := range c.Readings {
		if !keep(i, r) {
			continue
		}
		m.read, m.index = append(m.read, r), append(m.index, i)
		parts = max(parts, len(r.C))
		if !r.FourWire {
			nulls[r.Null] = true
			m.null = r.Null
		}
	}
	m.cols = 1
	for l := range parts {
		if c.Copper.own(l) > 0 {
			m.own = append(m.own, l)
			m.cols++
		}
	}
	var order []int
	for n := range nulls {
		order = append(order, n)
	}
	sort.Ints(order)
	for _, n := range order {
		m.column[n] = m.cols
		m.cols++
	}
	m.cols++
	m.lookForSplits()
	return m
}

// work is the room for one site's sums; one per goroutine.
type work struct {
	c, sd   []float64 // prediction and own standard deviation per reading
	level   []float64 // log of the Gaussian density's height per reading
	u       []float64 // loadings, reading by reading
	h       []float64 // information matrix of θ, then its factor
	a, b    []float64 // θ-vectors
	theta   []float64
	rs, wt  []float64 // nodes of Rs and their weights
	ll      []float64
	chance  []float64 // of each node, once integrated; they sum to 1
	joint   []float64
	scratch []float64
	touches []touch // per reading; base 0: Gaussian
}

func (m *model) room() *work {
	k, n := len(m.read), m.cols
	return &work{
		c: make([]float64, k), sd: make([]float64, k), level: make([]float64, k), u: make([]float64, k*n),
		h: make([]float64, n*n), a: make([]float64, n), b: make([]float64, n),
		theta: make([]float64, n), joint: make([]float64, (n+1)*(n+1)),
		scratch: make([]float64, 2*(n+1)), touches: make([]touch, k),
	}
}

// load fills c, sd and u for a site.
func (m *model) load(s int, w *work) {
	n := m.cols
	for k, r := range m.read {
		row := w.u[k*n : (k+1)*n]
		clear(row)
		c := r.predict(s)
		if c >= Unreached {
			w.c[k], w.sd[k], w.level[k], w.touches[k] = r.Ohms, unseen, 0, touch{}
			continue
		}
		w.c[k] = c
		row[0] = m.copper.Scale * c
		for j, l := range m.own {
			if l < len(r.C) {
				row[1+j] = m.copper.own(l) * at(r.C[l], s)
			}
		}
		if !r.FourWire {
			row[m.column[r.Null]] = m.meter.NullOhms
		}
		row[n-1] = m.cell(r, s)
		w.sd[k] = m.deviation(r, s, c)
		w.level[k] = -math.Log(w.sd[k]) - 0.5*math.Log(2*math.Pi)
		w.touches[k] = touch{}
		if m.meter.skewed(r) {
			w.touches[k] = newTouch(w.sd[k])
		}
	}
}

// deviation is a reading's own standard deviation: meter, placement, solver.
func (m *model) deviation(r Reading, s int, c float64) float64 {
	sd := m.meter.sigma(r)
	if len(r.Slope) > 0 {
		sd = math.Hypot(sd, m.meter.PlacementM*at(r.Slope, s))
	}
	return math.Hypot(sd, math.Hypot(m.copper.Model, r.Spread)*c)
}

// cell is the effect of one standard deviation of the short's place within
// the stretch of facing edge that the sample stands for (uniform over it).
func (m *model) cell(r Reading, s int) float64 {
	return m.slope(r, s) * m.sites[s].Length / math.Sqrt(12)
}

// slope is the change of the prediction along the suspects, ohms per metre.
func (m *model) slope(r Reading, s int) float64 {
	l := m.links[s]
	if l.span == 0 {
		return 0
	}
	fore, aft := r.predict(int(l.fore)), r.predict(int(l.aft))
	if fore >= Unreached || aft >= Unreached {
		return 0
	}
	return (fore - aft) / l.span
}

// hand tells whether any reading is skewed.
func (m *model) hand() bool {
	for _, r := range m.read {
		if m.meter.skewed(r) {
			return true
		}
	}
	return false
}
