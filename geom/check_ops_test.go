package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// paintOracle judges a place by the last coat that covers it, coat by coat
// from the definition.
func paintOracle(coats []Coat, p Point) bool {
	dark := false
	for _, c := range coats {
		w := 0
		for _, r := range c.Rings {
			w += windingAt(r, p)
		}
		if w != 0 {
			dark = c.Dark
		}
	}
	return dark
}

func nearAny(rings []Ring, p Point, d float64) bool {
	for _, r := range rings {
		for i := range r {
			if DistPointSegment(p, r[i], r[(i+1)%len(r)]) < d {
				return true
			}
		}
	}
	return false
}

func TestPaintAgainstDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for range 40 {
		var coats []Coat
		var all []Ring
		for range 1 + rng.IntN(12) {
			rings := randomRings(rng, 1+rng.IntN(2), 4, 100_000)
			coats = append(coats, Coat{rng.IntN(2) == 0, rings})
			all = append(all, rings...)
		}
		r := Paint(coats)
		if err := checkClean(r); err != nil {
			t.Fatal(err)
		}
		find := NewLocator(r)
		for range 300 {
			p := Point{rng.Int64N(100_000), rng.Int64N(100_000)}
			if nearAny(all, p, 6) {
				continue
			}
			want := paintOracle(coats, p)
			if got := r.Contains(p); got != want {
				t.Fatalf("%v: at %v painted %v, want %v", coats, p, got, want)
			}
			if got := find.Locate(p) >= 0; got != want {
				t.Fatalf("%v: at %v located %v, want %v", coats, p, got, want)
			}
		}
	}
}

func TestPaintTable(t *testing.T) {
	big, mid, small := square(0, 0, 100), square(10, 10, 50), square(20, 20, 10)
	for _, c := range []struct {
		name  string
		coats []Coat
		area  float64
	}{
		{"nothing", nil, 0},
		{"clear only", []Coat{{false, []Ring{big}}}, 0},
		{"dark, clear, dark", []Coat{{true, []Ring{big}}, {false, []Ring{mid}}, {true, []Ring{small}}},
			10000 - 2500 + 100},
		{"clear first", []Coat{{false, []Ring{mid}}, {true, []Ring{big}}}, 10000},
		{"opposite turns in two coats add", []Coat{{true, []Ring{big}}, {true, []Ring{mid.Reverse()}}}, 10000},
		{"opposite turns in one coat cancel", []Coat{{true, []Ring{big, mid.Reverse()}}}, 7500},
		{"a coat with a hole clears its ring only", []Coat{{true, []Ring{big}},
			{false, []Ring{mid, small.Reverse()}}}, 10000 - 2500 + 100},
	} {
		if got := Paint(c.coats).Area(); got != c.area {
			t.Errorf("%s: area %v, want %v", c.name, got, c.area)
		}
	}
}

// TestOffsetAgainstDistance: a place belongs to the grown region if it is
// within the distance of the region, to the shrunk one if it is farther than
// that from the outside.
func TestOffsetAgainstDistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	const by, tol = 8_000, 50
	for range 12 {
		r := Fill(randomRings(rng, 2, 5, 100_000), EvenOdd)
		edge := func(p Point) float64 {
			d := math.Inf(1)
			r.Edges(func(s Segment) { d = min(d, DistPointSegment(p, s.A, s.B)) })
			return d
		}
		out, in := Offset(r, by, tol), Offset(r, -by, tol)
		for _, q := range []Region{out, in} {
			if err := checkClean(q); err != nil {
				t.Fatal(err)
			}
		}
		for range 400 {
			p := Point{rng.Int64N(130_000) - 15_000, rng.Int64N(130_000) - 15_000}
			d := edge(p)
			if math.Abs(d-by) < tol+6 || d < 6 {
				continue
			}
			hold := r.Contains(p)
			if got, want := out.Contains(p), hold || d < by; got != want {
				t.Fatalf("grown: at %v %v, want %v; edge %v nm away: %v", p, got, want, d, r)
			}
			if got, want := in.Contains(p), hold && d > by; got != want {
				t.Fatalf("shrunk: at %v %v, want %v; edge %v nm away: %v", p, got, want, d, r)
			}
		}
	}
}

// TestOffsetClosedForm: Steiner's formula for a rectangle, and its inner
// rectangle.
func TestOffsetClosedForm(t *testing.T) {
	r := Region{{Outer: Rectangle(Box{Point{0, 0}, Point{3_000_000, 2_000_000}})}}
	d := 500_000.0
	want := 6e12 + d*1e7 + math.Pi*d*d
	if got := Offset(r, 500_000, 10).Area(); math.Abs(got-want) > 4*1.6*10*d {
		t.Errorf("grown area %v, want %v", got, want)
	}
	if got := Offset(r, -500_000, 10).Area(); got != 2e12 {
		t.Errorf("shrunk area %v, want 2e12", got)
	}
	if got := Offset(r, -1_000_000, 10); got != nil {
		t.Errorf("shrunk to nothing leaves %v", got)
	}
}

func TestLocatorAgainstScan(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	for _, side := range []int64{6, 50, 10_000, 100_000_000} {
		for range 10 {
			r := Fill(randomRings(rng, 4, 8, side), EvenOdd)
			l := NewLocator(r)
			for range 200 {
				p := Point{rng.Int64N(side+3) - 1, rng.Int64N(side+3) - 1}
				want := -1
				for i := len(r) - 1; i >= 0; i-- {
					if r[i].Contains(p) {
						want = i
					}
				}
				if got := l.Locate(p); got != want {
					t.Fatalf("%v: %v is in %d, want %d", r, p, got, want)
				}
			}
		}
	}
	if NewLocator(nil).Locate(Point{}) != -1 {
		t.Error("a point was found in nothing")
	}
}

func TestEdgeIndexAgainstScan(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	for _, side := range []int64{40, 50_000, 100_000_000} {
		var edges []TaggedSegment
		for i := range 300 {
			a := Point{rng.Int64N(side), rng.Int64N(side)}
			b := Point{a.X + rng.Int64N(side/4) - side/8, a.Y + rng.Int64N(side/4) - side/8}
			edges = append(edges, TaggedSegment{Segment{a, b}, int32(i % 3)})
		}
		x := NewEdgeIndex(edges)
		for range 100 {
			p, within := Point{rng.Int64N(2*side) - side/2, rng.Int64N(2*side) - side/2}, rng.Int64N(side/3)
			s := Segment{p, Point{rng.Int64N(side), rng.Int64N(side)}}
			tag := int32(rng.IntN(3))
			accept := func(i int32) bool { return x.Edge(i).Tag == tag }
			var want []int32
			best, bestD := int32(-1), float64(within)
			for i, e := range edges {
				if e.Tag != tag {
					continue
				}
				if _, _, d := Closest(s, e.Segment); d <= float64(within) {
					want = append(want, int32(i))
				}
				if d := DistPointSegment(p, e.A, e.B); d < bestD || d <= bestD && best < 0 {
					best, bestD = int32(i), d
				}
			}
			got := x.Near(s, within, accept)
			if len(got) != len(want) {
				t.Fatalf("side %d: %d segments near %v, want %d", side, len(got), s, len(want))
			}
			for i := range got {
				if got[i].Edge != want[i] {
					t.Fatalf("side %d: segment %d near %v, want %d", side, got[i].Edge, s, want[i])
				}
			}
			f, ok := x.Nearest(p, within, accept)
			if ok != (best >= 0) || ok && (f.Edge != best || f.Dist != bestD) {
				t.Fatalf("side %d: nearest to %v is %v %v, want %d at %v", side, p, f, ok, best, bestD)
			}
		}
	}
}

// TestArrange: nothing crosses afterwards, every source runs along edges from
// its one end to the other, and stays within a nanometre or so of its way.
func TestArrange(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	for _, side := range []int64{3, 10, 60, 1000, 1_000_000} {
		for range 20 {
			var segs []Segment
			for range 2 + rng.IntN(30) {
				segs = append(segs, Segment{Point{rng.Int64N(side), rng.Int64N(side)},
					Point{rng.Int64N(side), rng.Int64N(side)}})
			}
			checkArrange(t, segs)
		}
	}
}

func checkArrange(t *testing.T, segs []Segment) {
	t.Helper()
	points, edges, source := arrange(segs)
	at := make([]map[Point]int, len(segs)) // degree of each point on a source
	for i := range at {
		at[i] = map[Point]int{}
	}
	for e, uv := range edges {
		a, b := points[uv[0]], points[uv[1]]
		for f := range e {
			if SegmentsCross(a, b, points[edges[f][0]], points[edges[f][1]]) || edges[f] == uv {
				t.Fatalf("%v: edges %v and %v cross", segs, uv, edges[f])
			}
		}
		for _, p := range points {
			if p != a && p != b && OnSegment(p, a, b) {
				t.Fatalf("%v: point %v inside edge %v %v", segs, p, a, b)
			}
		}
		if len(source[e]) == 0 {
			t.Fatalf("%v: edge %v has no source", segs, uv)
		}
		for k, s := range source[e] {
			if k > 0 && source[e][k-1] >= s {
				t.Fatalf("%v: sources %v not ascending", segs, source[e])
			}
			at[s][a]++
			at[s][b]++
			for _, p := range []Point{a, b} {
				if d := DistPointSegment(p, segs[s].A, segs[s].B); d > 3.5 {
					t.Fatalf("%v: segment %v was led through %v, %v nm away", segs, segs[s], p, d)
				}
			}
		}
	}
	for i, s := range segs {
		for p, deg := range at[i] {
			if end := p == s.A || p == s.B; end != (deg == 1) || deg > 2 {
				t.Fatalf("%v: segment %d meets %v with %d edges", segs, i, p, deg)
			}
		}
		if s.A != s.B && (at[i][s.A] != 1 || at[i][s.B] != 1) {
			t.Fatalf("%v: segment %d does not reach its ends", segs, i)
		}
	}
}

func TestArrangeCross(t *testing.T) {
	points, edges, source := arrange([]Segment{
		{Point{0, 0}, Point{10, 10}}, {Point{0, 10}, Point{10, 0}}, {Point{5, 5}, Point{5, 20}},
		{Point{10, 10}, Point{0, 0}},
	})
	if len(points) != 6 || len(edges) != 5 {
		t.Fatalf("%d points %v, %d edges; want 6 and 5", len(points), points, len(edges))
	}
	if e := edges[0]; points[e[0]] != (Point{0, 0}) || points[e[1]] != (Point{5, 5}) {
		t.Errorf("first edge %v-%v, want (0,0)-(5,5)", points[e[0]], points[e[1]])
	}
	if s := source[0]; len(s) != 2 || s[0] != 0 || s[1] != 3 {
		t.Errorf("sources of the first edge %v, want [0 3]", s)
	}
}

// arrange cuts segments where they cross or touch, rounds the cuts to
// nanometres by snap rounding and merges what falls together. Points are
// distinct and ascending by x, then y; edges are distinct pairs of points in
// ascending order; source lists for every edge, ascending, the indices of the
// segments that run along it.
func arrange(segs []Segment) (points []Point, edges [][2]int32, source [][]int32) {
	var in intake
	for i, s := range segs {
		at := int32(len(in.points))
		in.points = append(in.points, clampPoint(s.A), clampPoint(s.B))
		in.pieces = append(in.pieces, piece{at, at + 1, int32(i), 1})
	}
	n := snap(in.network(), nil)
	used := make([]int32, len(n.pts))
	for e := range n.u {
		used[n.u[e]], used[n.v[e]] = 1, 1
	}
	for i, u := range used {
		used[i] = int32(len(points))
		if u == 1 {
			points = append(points, n.pts[i])
		}
	}
	edges = make([][2]int32, n.edges())
	source = make([][]int32, n.edges())
	for e := range edges {
		edges[e] = [2]int32{used[n.u[e]], used[n.v[e]]}
		source[e] = n.ch[n.off[e]:n.off[e+1]:n.off[e+1]]
	}
	return points, edges, source
}

// symDifference gives the area that lies in exactly one of the regions.
func symDifference(a, b Region) Region {
	return combineTwo(a, b, func(a, b bool) bool { return a != b })
}
