package suspect

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/copper"
)

// Body is a metal body (a shell, shield or screw) that the user has marked
// and tied to one of the groups.
type Body struct {
	Part  string // its reference
	Group int    // 0: first group, 1: second
}

// Question is two groups of nets that could be shorted.
type Question struct {
	Board  *board.Board // that the nets are on
	Nets   *copper.Nets // all nets of the board
	Groups [2][]int     // net indices of each group
	Bodies []Body       // marked metal; none: no such places
	Rates  Rates        // of the kinds of place
	Reach  float64      // widest gap, metres; 0: 0.62 mm
	Step   float64      // metres between samples; 0: 0.2 mm
	Most   int          // most samples; 0: 4000; the step grows to keep it
}

// List gives every place where the two groups could touch, most likely first,
// and the probability of a place that is not listed; together they make one.
// A pair without any place gives only elsewhere.
func List(q Question) (sites []Site, elsewhere float64) {
	q = q.withDefaults()
	s := newScene(q)
	sites = s.sampledGaps()
	for i := range sites {
		s.judge(&sites[i], s.near)
	}
	sites = append(sites, s.parts()...)
	sites = append(sites, s.layers()...)
	sites = append(sites, s.metal()...)
	return finish(sites, q.Rates.Elsewhere)
}

// sampledGaps samples the gaps so finely that there are no more than asked for. No
// step makes fewer samples than there are outlines: where it helps no more, samples
// near each other become one.
func (s *scene) sampledGaps() []Site {
	step := s.q.Step
	sites := s.gaps(step)
	for len(sites) > s.q.Most {
		before := len(sites)
		step *= math.Max(1.2, float64(before)/float64(s.q.Most))
		if sites = s.gaps(step); len(sites) > before-before/50 {
			return joinNear(sites, s.q.Most)
		}
	}
	return sites
}

// joinNear joins samples on one layer that lie in one cell of a square grid, as
// coarse as it takes to keep at most so many; the likeliest stands for all of a
// cell.
func joinNear(sites []Site, most int) []Site {
	for cell := 0.2; len(sites) > most; cell *= 1.1 { // millimetres
		type place struct{ layer, x, y int }
		at := map[place]int{}
		var kept []Site
		for _, site := range sites {
			x, y := site.Mid()
			k := place{site.LayerA, int(math.Floor(x / cell)), int(math.Floor(y / cell))}
			i, known := at[k]
			if !known {
				at[k] = len(kept)
				kept = append(kept, site)
				continue
			}
			length, prior := kept[i].Length+site.Length, kept[i].Prior+site.Prior
			if site.Prior > kept[i].Prior {
				kept[i] = site
			}
			kept[i].Length, kept[i].Prior = length, prior
		}
		sites = kept
	}
	return sites
}

func (q Question) withDefaults() Question {
	if q.Reach == 0 {
		q.Reach = 0.62e-3
	}
	if q.Step == 0 {
		q.Step = 0.2e-3
	}
	if q.Most == 0 {
		q.Most = 4000
	}
	return q
}

// finish turns rates into probabilities, sorts and numbers the clusters.
func finish(sites []Site, elsewhere float64) ([]Site, float64) {
	sites = slices.DeleteFunc(sites, func(s Site) bool { return !(s.Prior > 0) })
	slices.SortStableFunc(sites, likelier)
	var total float64
	for _, s := range sites {
		total += s.Prior
	}
	if total == 0 {
		return nil, 1
	}
	for i := range sites {
		sites[i].Prior *= (1 - elsewhere) / total
	}
	clusterise(sites)
	return sites, elsewhere
}

// likelier orders sites: the likeliest first, equals by kind, layer and
// place, so that the order does not depend on which group is named first.
func likelier(a, b Site) int {
	ax, ay := a.A.X+a.B.X, a.A.Y+a.B.Y
	bx, by := b.A.X+b.B.X, b.A.Y+b.B.Y
	return cmp.Or(cmp.Compare(b.Prior, a.Prior), cmp.Compare(a.Kind, b.Kind), cmp.Compare(min(a.LayerA,
		a.LayerB), min(b.LayerA, b.LayerB)), cmp.Compare(ax, bx), cmp.Compare(ay, by), cmp.Compare(a.Part, b.Part),
		cmp.Compare(a.Gap, b.Gap))
}

// clusterReach is how near (millimetres) samples of one gap must lie to be
// shown as one place.
const clusterReach = 0.45

// clusterise numbers connected runs of samples of one kind between the same
// neighbours.
func clusterise(sites []Site) {
	places := newMids(sites, clusterReach)
	for i := range sites {
		sites[i].Cluster = -1
	}
	n := 0
	for i := range sites {
		if sites[i].Cluster >= 0 {
			continue
		}
		sites[i].Cluster = n
		for queue := []int{i}; len(queue) > 0; {
			at := queue[0]
			queue = queue[1:]
			for j := range places.around(sites[at]) {
				if sites[j].Cluster < 0 && together(sites[at], sites[j]) {
					sites[j].Cluster = n
					queue = append(queue, j)
				}
			}
		}
		n++
	}
}

func together(a, b Site) bool {
	if a.Kind != b.Kind || a.LayerA != b.LayerA || a.LayerB != b.LayerB || a.Part != b.Part ||
		!slices.Equal(a.Near, b.Near) {
		return false
	}
	return apart(a, b) <= clusterReach
}

// apart is the distance of two sites' middles in millimetres.
func apart(a, b Site) float64 {
	ax, ay := a.Mid()
	bx, by := b.Mid()
	return math.Hypot(ax-bx, ay-by)
}

// mids finds sites by their middles, in cells of some millimetres.
type mids struct {
	step  float64
	cells map[[2]int][]int
}

func newMids(sites []Site, step float64) mids {
	m := mids{step, map[[2]int][]int{}}
	for i, s := range sites {
		m.cells[m.cell(s)] = append(m.cells[m.cell(s)], i)
	}
	return m
}

func (m mids) cell(s Site) [2]int {
	x, y := s.Mid()
	return [2]int{int(math.Floor(x / m.step)), int(math.Floor(y / m.step))}
}

// around gives the sites within a step of one, and some more.
func (m mids) around(s Site) iter.Seq[int] {
	return func(yield func(int) bool) {
		c := m.cell(s)
		for k := range 9 {
			for _, i := range m.cells[[2]int{c[0] + k/3 - 1, c[1] + k%3 - 1}] {
				if !yield(i) {
					return
				}
			}
		}
	}
}

// nm turns metres into nanometres.
func nm(metres float64) int64 { return int64(math.Round(metres * 1e9)) }

// metres is the distance of two plan points.
func metres(a, b geom.Point) float64 {
	return math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)) * 1e-9
}
