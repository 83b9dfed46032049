package locate

import (
	"math"
	"sort"

	"ohmward/internal/suspect"
)

const (
	reachSites    = 64 // suspects sampled
	reachReadings = 4
	probable      = 0.674 // of a standard deviation: half of all errors are less
	joined        = 1e5   // ohms; more stands for copper that is not joined
)

// Reach is how near four well-chosen readings of one kind can come to a place
// in a row of suspects, in millimetres: the median over the suspects, by their
// prior, of 0.674 times the Cramér–Rao deviation along the row. For each place
// the readings are those whose values change most along its row, which a
// search comes to. ok is false where readings of that kind do not tell places
// in a row apart, or no suspect lies in a row.
func Reach(c Case, a, b Table, fourWire bool) (mm float64, ok bool) {
	links := c.siteIndex().links
	var sigmas []float64
	for _, s := range sampleRows(c, links) {
		sigma := math.Inf(1)
		r := row{c: c, site: s, link: links[s]}
		if fourWire {
			r.senseOn(a)
			r.senseOn(b)
		} else {
			r.touch(a, b)
		}
		if v, ok := r.bound(); ok {
			sigma = v
		}
		sigmas = append(sigmas, sigma)
	}
	if len(sigmas) == 0 {
		return 0, false
	}
	sort.Float64s(sigmas)
	mm = probable * sigmas[len(sigmas)/2]
	return mm, !math.IsInf(mm, 1)
}

// sampleRows picks suspects that have a neighbour, evenly by their prior.
func sampleRows(c Case, links []link) (out []int) {
	total := 0.0
	links = links[:c.listed()]
	for s, l := range links {
		if l.span > 0 {
			total += c.Sites[s].Prior
		}
	}
	next, sum := 0.5, 0.0
	for s, l := range links {
		if l.span == 0 {
			continue
		}
		sum += c.Sites[s].Prior
		for ; next < reachSites && sum >= next/reachSites*total; next++ {
			out = append(out, s)
		}
	}
	return out
}

// row is one suspect with its two neighbours, and the readings chosen for it.
type row struct {
	c    Case
	site int
	link link
	read []Reading
}

// at3 is a table row at the hind neighbour, the place and the fore one.
func (r row) at3(v []float64) [3]float64 {
	return [3]float64{v[r.link.prev], v[r.site], v[r.link.next]}
}

// ends gives the places between which the table changes most and least along
// the row, -1 where none is joined to it.
func (r row) ends(t Table, of [][]float64) (least, most int) {
	least, most = -1, -1
	low, high := math.Inf(1), math.Inf(-1)
	for i, v := range of {
		at := r.at3(v)
		if !t.Probes[i].Reach || math.Abs(at[0])+math.Abs(at[1])+math.Abs(at[2]) > joined {
			continue
		}
		d := at[2] - at[0]
		if d < low {
			low, least = d, i
		}
		if d > high {
			high, most = d, i
		}
	}
	return least, most
}

// touch chooses two-wire readings: half where the value rises along the row,
// half where it falls; Rs and the residue are the same in both.
func (r *row) touch(a, b Table) {
	i0, i1 := r.ends(a, a.R)
	j0, j1 := r.ends(b, b.R)
	if i0 < 0 || j0 < 0 {
		return
	}
	for k := range reachReadings {
		i, j := i0, j0
		if k%2 == 1 {
			i, j = i1, j1
		}
		p, q := r.at3(a.R[i]), r.at3(b.R[j])
		c := []float64{p[0] + q[0], p[1] + q[1], p[2] + q[2]}
		r.read = append(r.read, Reading{Ohms: c[1], D: 1, C: [][]float64{c}})
	}
}

// senseOn chooses four-wire readings on one net: volts between the places
// whose difference changes most, current in where the value is least, so that
// the copper's thickness matters least.
func (r *row) senseOn(t Table) {
	if t.GP == nil {
		return
	}
	m, n := r.ends(t, t.G)
	if m < 0 || m == n {
		return
	}
	p, q := r.at3(t.G[m]), r.at3(t.G[n])
	least, base := math.Inf(1), 0.0
	for i := range t.Probes {
		if i == m || i == n || !t.Probes[i].Reach {
			continue
		}
		enter := t.GP[m][i] - t.GP[n][i]
		if v := math.Abs(enter - p[1] + q[1]); v < least {
			least, base = v, enter
		}
	}
	if math.IsInf(least, 1) {
		return
	}
	c := []float64{base - p[0] + q[0], base - p[1] + q[1], base - p[2] + q[2]}
	for range reachReadings / 2 {
		r.read = append(r.read, Reading{Ohms: c[1], FourWire: true, C: [][]float64{c}})
	}
}

// bound is the Cramér–Rao deviation of the place in millimetres.
func (r row) bound() (float64, bool) {
	c := r.c
	c.Readings = r.read
	c.Copper = Copper{Scale: math.Hypot(c.Copper.Scale, c.Copper.own(0)), Model: c.Copper.Model,
		ModelFour: c.Copper.ModelFour}
	c.Sites = []suspect.Site{r.c.Sites[r.link.prev], r.c.Sites[r.site], r.c.Sites[r.link.next]}
	links := []link{{}, {next: 2, prev: 0, span: r.link.span}, {}}
	return newModel(c, &SiteIndex{links: links}, func(int, Reading) bool { return true }).bound(1)
}
