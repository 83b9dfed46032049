package suspect

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

func TestParallelTracks(t *testing.T) {
	for _, c := range []struct {
		name   string
		gap    float64 // millimetres
		length float64
		other  float64 // length of the second track, centred on the first
	}{
		{"equal tracks", 0.25, 20, 20},
		{"a gap narrower than the step", 0.08, 20, 20},
		{"the second longer", 0.25, 10, 30},
		{"the second shorter", 0.25, 30, 10},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := blank(1).draw(0, "A", rect(-c.length/2, 0, c.length/2, 0.2))
			m.draw(0, "B", rect(-c.other/2, 0.2+c.gap, c.other/2, 0.4+c.gap))
			sites, _ := List(m.ask(t, "A", "B"))
			var straight []Site
			for _, s := range sites {
				if s.Kind != Gap || s.LayerA != 0 || s.LayerB != 0 {
					t.Fatalf("a site that is no gap on L1: %+v", s)
				}
				if s.A.X == s.B.X && math.Abs(float64(s.A.X)) < math.Min(c.length, c.other)/2*1e6 {
					straight = append(straight, s)
					if nm(s.Gap) != nm(c.gap*1e-3) || s.A.Y != 200_000 || s.B.Y != 200_000+nm(c.gap*1e-3) {
						t.Fatalf("gap of %d nm from %v to %v, want %d", nm(s.Gap), s.A, s.B, nm(c.gap*1e-3))
					}
				}
			}
			facing := math.Min(c.length, c.other)
			check.Approx(t, float64(len(straight)), facing/0.2, check.Tol{Abs: 1.5}, "samples")
			check.Approx(t, millimetresOf(straight), facing, check.Tol{Abs: 0.3}, "length")
			// Beyond the straight part only the ends see each other.
			if all := millimetresOf(sites); all > facing+2.4 {
				t.Errorf("%.2f mm represented of %.2f mm that faces: counted twice", all, facing)
			}
		})
	}
}

func TestNothingBehindAnotherNet(t *testing.T) {
	tracks := func(til float64) maker {
		m := blank(1).draw(0, "A", rect(0, 0, 20, 0.1)).draw(0, "B", rect(0, 0.4, 20, 0.5))
		return m.draw(0, "X", rect(-1, 0.2, til, 0.3))
	}
	if sites, elsewhere := List(tracks(21).ask(t, "A", "B")); len(sites) > 0 || elsewhere != 1 {
		t.Errorf("%d sites behind another net's track, elsewhere %g; want none and 1", len(sites), elsewhere)
	}
	sites, _ := List(tracks(12).ask(t, "A", "B"))
	for _, s := range sites {
		if s.A.X < 12_000_000 && s.B.X < 12_000_000 {
			t.Errorf("site from %v to %v lies behind the other track", s.A, s.B)
		}
	}
	check.Approx(t, millimetresOf(sites), 8, check.Tol{Abs: 0.6}, "length beside the other track")
}

// Copper on both sides of a narrow track: the wider gap is not hidden by the
// narrower one, though that lies nearer through the track itself. The outline
// walked first is the shorter one, so both are tried.
func TestBothSidesOfANarrowTrack(t *testing.T) {
	for _, long := range []float64{0, 30} {
		m := blank(1).draw(0, "A", rect(-10, 0, 10, 0.1)).draw(0, "B", rect(-10, 0.2, 10, 0.4)).draw(0, "B", rect(-10, -0.6, 10, -0.4))
		m.draw(0, "B", rect(10.9, -0.6, 11.1, 0.4)).draw(0, "B", rect(9, 0.2, 11.1, 0.4)).draw(0, "B", rect(9, -0.6, 11.1, -0.4))
		m.draw(0, "A", rect(-12, 0, -10, 0.1)).draw(0, "A", rect(-12, -long, -11.8, 0.1))
		sites, _ := List(m.ask(t, "A", "B"))
		var near, far []Site
		for _, s := range sites {
			switch {
			case s.A.X != s.B.X || s.A.X < -10e6 || s.A.X > 10e6:
			case nm(s.Gap) == 100_000:
				near = append(near, s)
			case nm(s.Gap) == 400_000:
				far = append(far, s)
			}
		}
		// Within a sample at either end.
		check.Approx(t, millimetresOf(near), 20, check.Tol{Abs: 0.45}, "near side")
		check.Approx(t, millimetresOf(far), 20, check.Tol{Abs: 0.45}, "far side")
	}
}

// A corner that pokes to within reach is listed however short the facing edge
// is, at the corner itself.
func TestShortFacingEdges(t *testing.T) {
	for _, gap := range []int64{50_000, 300_000, 610_000} {
		diamond := geom.Ring{{X: 0, Y: gap}, {X: 2e6, Y: gap + 2e6}, {X: 0, Y: gap + 4e6}, {X: -2e6, Y: gap + 2e6}}
		m := blank(1).draw(0, "A", rect(-5, -1, 5, 0)).draw(0, "B", geom.Region{{Outer: diamond}})
		sites, _ := List(m.ask(t, "A", "B"))
		if len(sites) == 0 {
			t.Errorf("a corner %d nm away is not listed", gap)
			continue
		}
		best := math.Inf(1)
		for _, s := range sites {
			best = math.Min(best, s.Gap)
		}
		if nm(best) != gap {
			t.Errorf("the narrowest of %d samples is %d nm, want %d", len(sites), nm(best), gap)
		}
	}
	m := blank(1).draw(0, "A", rect(0, 0, 1, 1)).draw(0, "B", rect(1.63, 0, 2, 1))
	if sites, _ := List(m.ask(t, "A", "B")); len(sites) > 0 {
		t.Errorf("%d sites across 0.63 mm, want none beyond the reach", len(sites))
	}
}

// The prior of a wedge is the integral of the rate along it.
func TestRateAlongAWedge(t *testing.T) {
	const rise, length = 0.05, 8.0 // gap from 0.1 mm, growing by 0.05 mm per mm
	wedge := geom.Ring{{X: 0, Y: 100_000}, {X: length * 1e6, Y: 500_000}, {X: length * 1e6, Y: 3e6}, {X: 0, Y: 3e6}}
	m := blank(1).draw(0, "A", rect(0, -1, length, 0)).draw(0, "B", geom.Region{{Outer: wedge}})
	q := m.ask(t, "A", "B").withDefaults()
	s := newScene(q)
	sites := s.gaps(q.Step)
	if len(sites) == 0 {
		t.Fatal("no samples of the wedge")
	}
	var got float64
	for _, site := range sites {
		if site.A.X > 0 && site.A.X < length*1e6 && site.A.Y == 0 {
			got += site.Prior
		}
	}
	fall := q.Rates.GapFall * 1e3
	want := fall / rise * (math.Exp(-0.1/fall) - math.Exp(-0.5/fall))
	check.Approx(t, got, want, check.Tol{Rel: 0.02}, "rate of the wedge")
}

func TestWalkCoversTheOutline(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 50 {
		r := geom.Circle(mm(rng.Float64(), rng.Float64()), 20_000+rng.Int64N(2e6), 1_000)
		step := 0.05e-3 + rng.Float64()*1e-3
		var total float64
		for i, p := range r {
			total += metres(p, r[(i+1)%len(r)])
		}
		var sum, path float64
		n := 0
		last := r[0]
		walk(r, step, func(s stretch) {
			n++
			sum += s.length
			if s.points[0] != last {
				t.Fatalf("stretch %d begins at %v, the one before ended at %v", n, s.points[0], last)
			}
			last = s.points[len(s.points)-1]
			for i, p := range s.points[1:] {
				path += metres(s.points[i], p)
			}
			if d := regionDistance(geom.Region{{Outer: geom.Ring(s.points)}}, s.mid); len(s.points) > 2 && d > 5_000 {
				t.Fatalf("the middle lies %g nm off its stretch", d)
			}
		})
		if last != r[0] {
			t.Fatalf("the walk ends at %v, want %v", last, r[0])
		}
		check.Approx(t, sum, total, check.Tol{Rel: 1e-12}, "lengths")
		check.Approx(t, path, total, check.Tol{Abs: float64(n) * 3e-9}, "path")
		if want := max(1, int(math.Round(total/step))); n != want {
			t.Errorf("%d stretches, want %d", n, want)
		}
	}
}

// Looking only at edges near both groups must give what looking at all gives.
func TestFiltersChangeNothing(t *testing.T) {
	for seed := range uint64(12) {
		m, _ := randomBoard(seed)
		q := groupsOf(t, m, "").withDefaults()
		s := newScene(q)
		got := s.gapsOn(0, q.Step)
		e := s.edges[0]
		var all []geom.TaggedSegment
		for n := range q.Nets.Nets {
			q.Nets.Copper(n, 0).Rings(func(r geom.Ring) { all = appendEdges(all, r, int32(n), everywhere) })
		}
		e.all = geom.NewEdgeIndex(all)
		for g := range e.own {
			var own []geom.TaggedSegment
			for _, r := range e.rings[g] {
				own = appendEdges(own, r, 0, everywhere)
			}
			e.own[g] = geom.NewEdgeIndex(own)
		}
		want := s.gapsOn(0, q.Step)
		if len(want) == 0 {
			t.Fatalf("seed %d: nothing to compare", seed)
		}
		if len(got) != len(want) {
			t.Fatalf("seed %d: %d samples, want %d", seed, len(got), len(want))
		}
		for i := range want {
			if got[i].A != want[i].A || got[i].B != want[i].B || got[i].Length != want[i].Length {
				t.Fatalf("seed %d: sample %d is %+v, want %+v", seed, i, got[i], want[i])
			}
		}
	}
}

func TestMostSamplesWidensTheStep(t *testing.T) {
	q := blank(1).draw(0, "A", rect(0, 0, 100, 0.2)).draw(0, "B", rect(0, 0.4, 100, 0.6)).ask(t, "A", "B")
	q.Most = 100
	sites, _ := List(q)
	if len(sites) == 0 || len(sites) > 100 {
		t.Fatalf("%d samples, want 100 at most", len(sites))
	}
	check.Approx(t, millimetresOf(sites), 100, check.Tol{Abs: 2.5}, "length")
}

// TestManyOutlines: with more pairs of outlines than samples are asked for, where no
// step makes fewer, the listing ends, and near samples stand for each other: the
// length that faces stays what it is.
func TestManyOutlines(t *testing.T) {
	m := blank(1)
	for i := range 20 {
		for j := range 20 {
			x, y := 2*float64(i), 2*float64(j)
			n := fmt.Sprint(20*i + j)
			m = m.draw(0, "A"+n, rect(x, y, x+0.3, y+0.3)).draw(0, "B"+n, rect(x+0.5, y, x+0.8, y+0.3))
		}
	}
	q := m.ask(t, "A0", "B0")
	q.Groups = [2][]int{}
	for i, net := range q.Nets.Nets {
		g := strings.Index("AB", net.Name[:1])
		q.Groups[g] = append(q.Groups[g], i)
	}
	all, _ := List(q)
	q.Most = 100
	sites, elsewhere := List(q)
	if len(sites) == 0 || len(sites) > q.Most || len(all) <= q.Most {
		t.Fatalf("%d samples, and %d of all", len(sites), len(all))
	}
	total := elsewhere
	for _, s := range sites {
		total += s.Prior
	}
	check.Approx(t, total, 1, check.Tol{Abs: 1e-9}, "prior")
	check.Approx(t, millimetresOf(sites), millimetresOf(all), check.Tol{Rel: 0.35}, "length")
}
