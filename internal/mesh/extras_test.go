package mesh

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"ohmward/geom"
)

// TestCurves lays rims across, along and off the outline.
func TestCurves(t *testing.T) {
	square := one(rect(0, 0, 4*mm, 4*mm))
	for _, c := range []struct {
		name   string
		region geom.Region
		curves [][]geom.Point
		inside float64 // length of all curves inside the region, mm; negative: not known
	}{
		{"disc inside", square, [][]geom.Point{closedChain(circle(2*mm, 2*mm, 150*um, 48))},
			polygonLength(48, 0.15)},
		{"disc over an edge", square, [][]geom.Point{closedChain(circle(2*mm, 4*mm, 150*um, 48))},
			polygonLength(48, 0.15) / 2},
		{"disc over a corner", square, [][]geom.Point{closedChain(circle(0, 0, 150*um, 48))},
			polygonLength(48, 0.15) / 4},
		{"two discs crossing", square, [][]geom.Point{closedChain(circle(2*mm, 2*mm, 150*um, 48)),
			closedChain(circle(2*mm+100*um, 2*mm+30*um, 150*um, 48))}, 2 * polygonLength(48, 0.15)},
		{"disc outside", square, [][]geom.Point{closedChain(circle(9*mm, 9*mm, 150*um, 48))}, 0},
		{"twice the same", square, [][]geom.Point{closedChain(circle(2*mm, 2*mm, 150*um, 48)),
			closedChain(circle(2*mm, 2*mm, 150*um, 48))}, 2 * polygonLength(48, 0.15)},
		{"along a hole", one(rect(0, 0, 4*mm, 4*mm), reversed(circle(2*mm, 2*mm, 500*um, 60))),
			[][]geom.Point{closedChain(circle(2*mm, 2*mm, 500*um, 60))}, polygonLength(60, 0.5)},
		{"open line", square, [][]geom.Point{{{X: -mm, Y: mm}, {X: 5 * mm, Y: 3 * mm}}}, math.Hypot(4, 4.0/3)},
		{"line along the edge", square, [][]geom.Point{{{X: mm, Y: 0}, {X: 3 * mm, Y: 0}}}, 2},
		{"line over the edge's end", square, [][]geom.Point{{{X: 3 * mm, Y: 0}, {X: 6 * mm, Y: 0}}}, 1},
		{"one point", square, [][]geom.Point{{{X: mm, Y: mm}}}, 0},
		{"thin angle with the edge", square, [][]geom.Point{{{X: mm, Y: -1}, {X: 3 * mm, Y: 1}}}, 1},
		{"across a slit", shapes[5].region, [][]geom.Point{closedChain(circle(5*mm, 2*mm, 300*um, 64))},
			polygonLength(64, 0.3) - 2e-6},
		{"across a slant slit", shapes[6].region, [][]geom.Point{closedChain(circle(5*mm, 2333*um, 300*um, 64))},
			-1},
		{"across a hairline bridge", shapes[7].region, [][]geom.Point{closedChain(circle(20*mm, mm, 150*um,
			48))}, 2e-6 / math.Cos(math.Pi/48)},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := Input{Region: c.region, Curves: c.curves}
			m := mustMesh(t, in)
			checkMesh(t, in, m)
			length := 0.0
			for _, e := range m.CurveEdges {
				length += math.Hypot(m.X[e.A]-m.X[e.B], m.Y[e.A]-m.Y[e.B]) * 1e3
			}
			if c.inside >= 0 && math.Abs(length-c.inside) > 2e-5*c.inside {
				t.Errorf("curve edges of %g mm, want %g", length, c.inside)
			}
			t.Logf("%d triangles, least angle %.3f", len(m.Triangle), worstAngle(m))
			checkCurvePoints(t, c.region, c.curves, m)
		})
	}
}

// polygonLength is the perimeter of a regular n-gon of radius r.
func polygonLength(n int, r float64) float64 {
	return float64(n) * 2 * r * math.Sin(math.Pi/float64(n))
}

// checkCurvePoints checks that every curve point well inside is a vertex.
func checkCurvePoints(t *testing.T, region geom.Region, curves [][]geom.Point, m *Mesh) {
	t.Helper()
	loc := geom.NewLocator(region)
	vertex := map[geom.Point]bool{}
	for i := range m.X {
		vertex[geom.Point{X: int64(math.Round(m.X[i] * 1e9)), Y: int64(math.Round(m.Y[i] * 1e9))}] = true
	}
	for _, c := range curves {
		for _, p := range c {
			if loc.Locate(p) >= 0 && !vertex[p] {
				t.Errorf("curve point %v is no vertex", p)
			}
		}
	}
}

func TestSizes(t *testing.T) {
	in := Input{Region: one(rect(0, 0, 20*mm, 20*mm)), MaxEdge: 2 * mm,
		Sizes: []Size{{At: geom.Point{X: 5 * mm, Y: 5 * mm}, Radius: mm, Edge: 100 * um}}}
	m := mustMesh(t, in)
	checkMesh(t, in, m)
	if worstAngle(m) < 25 {
		t.Errorf("least angle %g", worstAngle(m))
	}
	inner, sum, longest := 0, 0.0, 0.0
	for _, v := range m.Triangle {
		for i := range 3 {
			a, b := v[i], v[(i+1)%3]
			l := math.Hypot(m.X[a]-m.X[b], m.Y[a]-m.Y[b])
			longest = max(longest, l)
			if math.Hypot(m.X[a]-5e-3, m.Y[a]-5e-3) < 0.9e-3 {
				inner++
				sum += l
				if l > 1.5e-4 {
					t.Errorf("edge of %g m where 100 um are asked", l)
				}
			}
		}
	}
	if mean := sum / float64(inner); mean < 0.6e-4 || mean > 1.3e-4 {
		t.Errorf("mean edge %g m where 100 um are asked", mean)
	}
	if longest > 2.0001e-3 {
		t.Errorf("longest edge %g m above the limit of 2 mm", longest)
	}
	t.Logf("%d triangles, mean inner edge %.3g m", len(m.Triangle), sum/float64(inner))
}

func TestLimits(t *testing.T) {
	square := one(rect(0, 0, mm, mm))
	bowtie := one(geom.Ring{{X: 0, Y: 0}, {X: mm, Y: mm}, {X: mm, Y: 0}, {X: 0, Y: mm}})
	for _, c := range []struct {
		name string
		in   Input
	}{
		{"too many vertices", Input{Region: square, MaxEdge: 2 * um, MaxVertices: 5000}},
		{"too many points", Input{Region: square, MaxVertices: 3}},
		{"beyond the range", Input{Region: one(rect(0, 0, geom.MaxCoord+1, mm))}},
		{"angle", Input{Region: square, MinAngle: 40}},
		{"angle not a number", Input{Region: square, MinAngle: math.NaN()}},
		{"grading", Input{Region: square, Grading: -1}},
		{"negative edge", Input{Region: square, MinEdge: -1}},
		{"size of nothing", Input{Region: square, Sizes: []Size{{}}}},
		{"ring crosses itself", Input{Region: bowtie}},
		{"ring the wrong way", Input{Region: one(reversed(rect(0, 0, mm, mm)))}},
		{"overlapping", Input{Region: geom.Region{{Outer: rect(0, 0, mm, mm)}, {Outer: rect(0, 0, mm, mm)}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := Triangulate(c.in)
			if err == nil {
				t.Fatalf("got %d triangles, want an error", len(m.Triangle))
			}
			t.Log(err)
		})
	}
	for _, r := range []geom.Region{nil, {{}}} {
		if m, err := Triangulate(Input{Region: r}); err != nil || len(m.Triangle) != 0 {
			t.Errorf("empty region: %v", err)
		}
	}
}

func TestSimplify(t *testing.T) {
	for _, s := range shapes {
		for _, tol := range []int64{1, 100, 1000, 2000, 20000} {
			t.Run(fmt.Sprintf("%s/%d", s.name, tol), func(t *testing.T) {
				in := Input{Region: s.region, Simplify: tol}
				m := mustMesh(t, in)
				checkMesh(t, in, m)
				got, _ := simplify(s.region, nil, tol)
				checkMoved(t, s.region, got, float64(tol))
				want := s.region.Area()
				// A new point is rounded by up to 0.7 nm, which shifts the area by
				// that times half the length beside it: 4e6 nm2 on a 10 mm track.
				if lost := math.Abs(want - got.Area()); lost > 1e-5*want+2 {
					t.Errorf("area lost %g of %g nm2", lost, want)
				}
			})
		}
	}
}

// checkMoved checks that the rings moved no further than tol.
func checkMoved(t *testing.T, was, is geom.Region, tol float64) {
	t.Helper()
	for i := range was {
		before := append([]geom.Ring{was[i].Outer}, was[i].Holes...)
		after := append([]geom.Ring{is[i].Outer}, is[i].Holes...)
		for k := range before {
			for _, d := range []float64{farthest(before[k], after[k]), farthest(after[k], before[k])} {
				if d > tol+1 {
					t.Errorf("polygon %d ring %d moved by %g nm, allowed %g", i, k, d, tol)
				}
			}
		}
	}
}

// farthest is the largest distance from a point of a to the chain b.
func farthest(a, b geom.Ring) float64 {
	worst := 0.0
	for _, p := range a {
		best := math.Inf(1)
		for i := range b {
			best = min(best, geom.DistPointSegment(p, b[i], b[(i+1)%len(b)]))
		}
		worst = max(worst, best)
	}
	return worst
}

func TestSimplifyCircle(t *testing.T) {
	r := circle(3*mm, mm, 150*um, 54) // chord error 0.25 um
	for _, c := range []struct {
		tol  int64
		most int
	}{{1000, 36}, {1500, 28}, {2000, 26}} {
		got, _ := simplify(one(r), nil, c.tol)
		if n := len(got[0].Outer); n > c.most || n < 10 {
			t.Errorf("within %d nm: %d sides, want at most %d", c.tol, n, c.most)
		} else {
			t.Logf("within %d nm: %d sides", c.tol, n)
		}
	}
}

// TestSimplifyFollows checks that a rim on a hole still runs along it.
func TestSimplifyFollows(t *testing.T) {
	in := Input{
		Region:   one(rect(0, 0, 4*mm, 4*mm), reversed(circle(2*mm, 2*mm, 500*um, 100))),
		Curves:   [][]geom.Point{closedChain(circle(2*mm, 2*mm, 500*um, 100))},
		Simplify: 2000,
	}
	m := mustMesh(t, in)
	checkMesh(t, in, m)
	hole := 0
	for _, r := range m.BoundaryRing {
		if r == [2]int32{0, 1} {
			hole++
		}
	}
	if hole != len(m.CurveEdges) || hole > 60 || hole < 20 {
		t.Errorf("%d edges on the hole, %d on the rim", hole, len(m.CurveEdges))
	}
}

func TestFind(t *testing.T) {
	m := mustMesh(t, Input{Region: antipads(5, 40)})
	rng := rand.New(rand.NewPCG(1, 2))
	var wait sync.WaitGroup
	for range 2 {
		wait.Go(func() { m.Find(0, 0) })
	}
	wait.Wait()
	for range 3000 {
		k := rng.IntN(len(m.Triangle))
		a, b := rng.Float64(), rng.Float64()
		if a+b > 1 {
			a, b = 1-a, 1-b
		}
		v := m.Triangle[k]
		x := a*m.X[v[0]] + b*m.X[v[1]] + (1-a-b)*m.X[v[2]]
		y := a*m.Y[v[0]] + b*m.Y[v[1]] + (1-a-b)*m.Y[v[2]]
		tri, w, ok := m.Find(x, y)
		if !ok || tri != k && min(a, b, 1-a-b) > 1e-6 {
			t.Fatalf("found triangle %d, want %d (%g, %g)", tri, k, a, b)
		}
		u := m.Triangle[tri]
		if d := math.Abs(w[0]*m.X[u[0]] + w[1]*m.X[u[1]] + w[2]*m.X[u[2]] - x); d > 1e-12 {
			t.Fatalf("weights miss the point by %g m", d)
		}
	}
	if _, _, ok := m.Find(0.5e-3, 0.5e-3); ok {
		t.Error("found the middle of a hole")
	}
	tri, w, ok := m.Find(2e-3+1e-5, -1.5e-6)
	if !ok {
		t.Fatal("a point 1.5 um outside is not snapped")
	}
	v := m.Triangle[tri]
	if y := w[0]*m.Y[v[0]] + w[1]*m.Y[v[1]] + w[2]*m.Y[v[2]]; math.Abs(y) > 1e-12 {
		t.Errorf("snapped to y = %g, want 0", y)
	}
	if _, _, ok := m.Find(2e-3, -3e-6); ok {
		t.Error("a point 3 um outside is found")
	}
	if _, _, ok := m.Find(math.NaN(), 0); ok {
		t.Error("found not-a-number")
	}
}

// TestTouching checks that parts which touch share no vertex.
func TestTouching(t *testing.T) {
	region := geom.Region{{Outer: rect(0, 0, mm, mm)}, {Outer: rect(mm, mm, 2*mm, 2*mm)}}
	if m := mustMesh(t, Input{Region: region}); len(m.X) != 8 {
		t.Errorf("%d vertices, want 8", len(m.X))
	}
}

// TestTouchingAlong checks touching that is more than corner to corner.
func TestTouchingAlong(t *testing.T) {
	corner := geom.Region{{Outer: rect(0, 0, 4*mm, mm)}, {Outer: geom.Ring{{X: 2 * mm, Y: mm},
		{X: 3 * mm, Y: 2 * mm}, {X: mm, Y: 2 * mm}}}}
	in := Input{Region: corner}
	m := mustMesh(t, in)
	checkMesh(t, in, m)
	for k, nb := range m.Neighbour {
		for _, n := range nb {
			if n >= 0 && m.Polygon[n] != m.Polygon[k] {
				t.Errorf("a corner on an edge joins pieces %d and %d", m.Polygon[k], m.Polygon[n])
			}
		}
	}
	// A shared edge joins the pieces electrically.
	m = mustMesh(t, Input{Region: geom.Region{{Outer: rect(0, 0, mm, mm)}, {Outer: rect(mm, 0, 2*mm, mm)}}})
	joined := 0
	for k, nb := range m.Neighbour {
		for _, n := range nb {
			if n >= 0 && m.Polygon[n] != m.Polygon[k] {
				joined++
			}
		}
	}
	if joined == 0 || math.Abs(areaOf(m)-2e-6) > 1e-15 {
		t.Errorf("%d joints over the shared edge, area %g m2", joined, areaOf(m))
	}
}

// TestAngles checks that any allowed least angle is reached where the input
// allows it.
func TestAngles(t *testing.T) {
	for _, s := range shapes {
		for _, angle := range []float64{5, 20, 30, 33} {
			m := mustMesh(t, Input{Region: s.region, MinAngle: angle, MaxVertices: 200_000})
			if s.tame && worstAngle(m) < angle-1e-6 {
				t.Errorf("%s: least angle %g, want %g", s.name, worstAngle(m), angle)
			}
		}
	}
}
