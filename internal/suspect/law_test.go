package suspect

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

// randomBoard strews small pads of nets A, B and X over two layers, with
// holes, and gives the places of X's.
func randomBoard(seed uint64) (maker, int) {
	rng := rand.New(rand.NewPCG(seed, 7))
	m := blank(2)
	strangers := 0
	for i := range 8 {
		for j := range 8 {
			x, y := float64(i)*0.9+rng.Float64()*0.1, float64(j)*0.9+rng.Float64()*0.1
			w, h := 0.3+rng.Float64()*0.4, 0.3+rng.Float64()*0.4
			net := []string{"A", "B", "X"}[rng.IntN(3)]
			if net == "X" {
				strangers++
			}
			// Pads of a net hang together by name only where copper joins
			// them, so each has a name of its own, and a group has many nets.
			m.land(rng.IntN(2), fmt.Sprintf("%s%d", net, i*8+j), fmt.Sprintf("U%d", rng.IntN(6)), fmt.Sprint(i*8+j), -1, x, y, x+w, y+h)
		}
	}
	return m, strangers
}

// groupsOf asks for all nets whose names begin with A against those with B.
func groupsOf(t testing.TB, m maker, without string) Question {
	t.Helper()
	q := Question{Board: m.Board, Nets: extract(t, m, without), Rates: DefaultRates()}
	for n := range q.Nets.Nets {
		switch q.Nets.Nets[n].Name[0] {
		case 'A':
			q.Groups[0] = append(q.Groups[0], n)
		case 'B':
			q.Groups[1] = append(q.Groups[1], n)
		}
	}
	return q
}

func TestSwappingTheGroupsMirrorsTheList(t *testing.T) {
	for seed := range uint64(20) {
		m, _ := randomBoard(seed)
		q := groupsOf(t, m, "")
		there, e1 := List(q)
		q.Groups[0], q.Groups[1] = q.Groups[1], q.Groups[0]
		back, e2 := List(q)
		if len(there) == 0 || len(there) != len(back) || e1 != e2 {
			t.Fatalf("seed %d: %d sites one way (elsewhere %g), %d the other (%g)", seed, len(there), e1, len(back), e2)
		}
		for i, s := range there {
			b := back[i]
			slices.Reverse(b.Near)
			b.A, b.B, b.LayerA, b.LayerB = b.B, b.A, b.LayerB, b.LayerA
			if !reflect.DeepEqual(s, b) {
				t.Fatalf("seed %d: site %d is\n%+v one way,\n%+v the other", seed, i, s, b)
			}
		}
	}
}

func TestMovingTheBoardMovesTheSites(t *testing.T) {
	by := geom.Point{X: 123_456_789, Y: -87_654_321}
	for seed := range uint64(10) {
		m, _ := randomBoard(seed)
		before, _ := List(groupsOf(t, m, ""))
		m, _ = randomBoard(seed)
		for i := range m.Layers {
			m.Layers[i].Copper = moved(m.Layers[i].Copper, by)
		}
		for i := range m.Labels {
			m.Labels[i].At = plus(m.Labels[i].At, by)
		}
		for i := range m.Pads {
			m.Pads[i].At, m.Pads[i].Shape = plus(m.Pads[i].At, by), moved(m.Pads[i].Shape, by)
		}
		after, _ := List(groupsOf(t, m, ""))
		if len(before) != len(after) {
			t.Fatalf("seed %d: %d sites, moved %d", seed, len(before), len(after))
		}
		for i, s := range before {
			a := after[i]
			if plus(s.A, by) != a.A || plus(s.B, by) != a.B || s.Gap != a.Gap || !slices.Equal(s.Near, a.Near) || s.Cluster != a.Cluster {
				t.Fatalf("seed %d: site %d is %+v, moved %+v", seed, i, s, a)
			}
			check.Approx(t, a.Prior, s.Prior, check.Tol{Rel: 1e-12})
		}
	}
}

func plus(p, d geom.Point) geom.Point { return geom.Point{X: p.X + d.X, Y: p.Y + d.Y} }

func moved(r geom.Region, by geom.Point) geom.Region {
	var out geom.Region
	for _, p := range r {
		q := geom.Polygon{Outer: p.Outer.Move(by)}
		for _, h := range p.Holes {
			q.Holes = append(q.Holes, h.Move(by))
		}
		out = append(out, q)
	}
	return out
}

// Copper of other nets can only stand between. Of what it hides, the walk
// along the other outline may take the place, so sites are compared by place.
func TestRemovingStrangersOnlyUncovers(t *testing.T) {
	removed := 0
	for seed := range uint64(20) {
		m, strangers := randomBoard(seed)
		with, _ := List(groupsOf(t, m, ""))
		m, _ = randomBoard(seed)
		without, _ := List(groupsOf(t, m, "X"))
		removed += strangers
		for _, s := range of(Gap, with) {
			if !slices.ContainsFunc(without, func(o Site) bool {
				return o.Kind == Gap && o.LayerA == s.LayerA && metres(o.A, s.A) < 0.12e-3 && metres(o.B, s.B) < 0.12e-3
			}) {
				t.Errorf("seed %d: the gap from %v to %v is gone without the other nets", seed, s.A, s.B)
			}
		}
	}
	if removed == 0 {
		t.Fatal("no stranger was removed")
	}
}

func TestPriorsSumToOneInOrder(t *testing.T) {
	for seed := range uint64(10) {
		m, _ := randomBoard(seed)
		q := groupsOf(t, m, "")
		sites, elsewhere := List(q)
		sum := elsewhere
		for i, s := range sites {
			sum += s.Prior
			if !(s.Prior > 0) || i > 0 && s.Prior > sites[i-1].Prior {
				t.Fatalf("seed %d: site %d has prior %g after %g", seed, i, s.Prior, sites[max(i-1, 0)].Prior)
			}
		}
		check.Approx(t, sum, 1, check.Tol{Abs: 1e-12}, "all priors and elsewhere")
		check.Approx(t, elsewhere, q.Rates.Elsewhere, check.Tol{}, "elsewhere")
		again, _ := List(q)
		if !reflect.DeepEqual(sites, again) {
			t.Fatalf("seed %d: two lists of one question differ", seed)
		}
	}
}

func TestNothingInCommon(t *testing.T) {
	m := blank(1).draw(0, "A", rect(0, 0, 1, 1)).draw(0, "B", rect(50, 50, 51, 51))
	if sites, elsewhere := List(m.ask(t, "A", "B")); len(sites) != 0 || elsewhere != 1 {
		t.Errorf("%d sites, elsewhere %g; want none and 1", len(sites), elsewhere)
	}
}

// Samples of one cluster are of one kind between the same pins, hang together
// by steps of the reach, and no two clusters could be joined.
func TestClustersHangTogether(t *testing.T) {
	m := blank(1)
	m.land(0, "A", "U1", "1", -1, 0, 0, 1, 1).land(0, "B", "U1", "2", -1, 1.2, 0, 2.2, 1)
	m.draw(0, "A", rect(0, 0.4, -30, 0.6)).draw(0, "A", rect(-30, 0.4, -29, 9)).draw(0, "B", rect(-28.8, 3, -28, 9)).
		draw(0, "B", rect(-28.1, 8.8, 2.2, 9)).draw(0, "B", rect(2, 0.5, 2.2, 9))
	sites, _ := List(m.ask(t, "A", "B"))
	clusters := map[int][]Site{}
	for _, s := range sites {
		clusters[s.Cluster] = append(clusters[s.Cluster], s)
	}
	if len(clusters) < 3 {
		t.Fatalf("%d clusters, want the pins' gap, the part and the far gap at least", len(clusters))
	}
	for c, members := range clusters {
		reached, queue := map[int]bool{0: true}, []int{0}
		for len(queue) > 0 {
			i := queue[0]
			queue = queue[1:]
			for j := range members {
				if !reached[j] && together(members[i], members[j]) {
					reached[j] = true
					queue = append(queue, j)
				}
			}
		}
		if len(reached) != len(members) {
			t.Errorf("cluster %d: %d of %d samples hang together", c, len(reached), len(members))
		}
	}
	for i, a := range sites {
		for _, b := range sites[:i] {
			if a.Cluster != b.Cluster && together(a, b) {
				t.Fatalf("clusters %d and %d are one", a.Cluster, b.Cluster)
			}
		}
	}
	// The far gap is 6 mm long: its cluster's lengths say so.
	var far float64
	for _, s := range sites {
		if x, y := s.Mid(); x < -28 && y > 3.2 && y < 8.8 && math.Abs(x+28.9) < 0.01 {
			far += s.Length * 1e3
		}
	}
	check.Approx(t, far, 5.6, check.Tol{Abs: 0.25}, "length of the far gap")
}
