package mesh

import (
	"context"
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"ohmward/geom"
	"ohmward/internal/boardread"
	"ohmward/internal/check"
	"ohmward/internal/copper"
)

// leastHeight is the smallest height of any triangle, in metres.
func leastHeight(m *Mesh) float64 {
	least := math.Inf(1)
	for _, v := range m.Triangle {
		long := 0.0
		for i := range 3 {
			a, b := v[i], v[(i+1)%3]
			long = max(long, math.Hypot(m.X[a]-m.X[b], m.Y[a]-m.Y[b]))
		}
		least = min(least, 2*triArea(m, v)/long)
	}
	return least
}

// TestNearMiss lays curve points beside a slanting outline at less than a
// nanometre, on either side: no face may be so thin that sums over the mesh
// suffer.
func TestNearMiss(t *testing.T) {
	region := one(geom.Ring{{X: 0, Y: 0}, {X: 3*mm + 7, Y: 0}, {X: 3*mm + 7, Y: 2*mm + 1}})
	a, b := region[0].Outer[2], region[0].Outer[0]
	rng := rand.New(rand.NewPCG(11, 12))
	tried := 0
	for range 400 {
		x := 100*um + rng.Int64N(28*mm/10)
		p := geom.Point{X: x, Y: int64(math.Round(float64(x) * float64(a.Y) / float64(a.X)))}
		if geom.Orient(a, b, p) == 0 {
			continue
		}
		tried++
		q := geom.Point{X: x + rng.Int64N(200*um) - 100*um, Y: p.Y + rng.Int64N(200*um) - 100*um}
		in := Input{Region: region, Curves: [][]geom.Point{{q, p, {X: x + 50*um, Y: p.Y - 60*um}}}}
		m := mustMesh(t, in)
		checkMesh(t, in, m)
		if h := leastHeight(m); h < 0.9e-9 {
			t.Errorf("curve %v: a triangle of height %g m", in.Curves[0], h)
		}
		if len(m.CurveEdges) == 0 {
			t.Errorf("curve %v: no edges", in.Curves[0])
		}
	}
	if tried < 300 {
		t.Errorf("only %d near misses tried", tried)
	}
}

// TestRimsOnBoard lays contact rims over the copper of a real board, half of
// them centred on points of its outline.
func TestRimsOnBoard(t *testing.T) {
	if testing.Short() {
		t.Skip("a whole board: full runs only")
	}
	b, err := boardread.Open(context.Background(), filepath.Join(check.Shared(t), "checks", "boards",
		"fomu-dvt1a"), boardread.Options{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	nets, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(13, 14))
	for layer, region := range nets.Layers {
		in := Input{Region: region}
		for k := range 100 {
			outer := region[rng.IntN(len(region))].Outer
			at := outer[rng.IntN(len(outer))]
			if k%2 == 0 {
				at.X += rng.Int64N(300*um) - 150*um
				at.Y += rng.Int64N(300*um) - 150*um
			}
			in.Curves = append(in.Curves, closedChain(circle(at.X, at.Y, 150*um, 24)))
		}
		m := mustMesh(t, in)
		checkMesh(t, in, m)
		checkRims(t, in, m)
		in.Simplify = 1000
		m = mustMesh(t, in)
		checkMesh(t, in, m)
		t.Logf("L%d: %d triangles, least angle %.3g degrees, least height %.3g m", layer+1, len(m.Triangle),
			worstAngle(m), leastHeight(m))
	}
}

// checkRims checks that the edges on each rim lie on it and are as long in
// all as the rim inside the copper, sampled.
func checkRims(t *testing.T, in Input, m *Mesh) {
	t.Helper()
	length := make([]float64, len(in.Curves))
	for _, e := range m.CurveEdges {
		length[e.Curve] += math.Hypot(m.X[e.A]-m.X[e.B], m.Y[e.A]-m.Y[e.B])
		mid := geom.Point{X: int64((m.X[e.A] + m.X[e.B]) * 5e8), Y: int64((m.Y[e.A] + m.Y[e.B]) * 5e8)}
		if d := farthest(geom.Ring{mid}, in.Curves[e.Curve]); d > 5 {
			t.Errorf("an edge on curve %d is %g nm off it", e.Curve, d)
		}
	}
	loc := geom.NewLocator(in.Region)
	const steps = 400
	for k, c := range in.Curves {
		want, whole := 0.0, 0.0
		for i := range len(c) - 1 {
			dx, dy := float64(c[i+1].X-c[i].X), float64(c[i+1].Y-c[i].Y)
			step := math.Hypot(dx, dy) / steps * 1e-9
			for j := range steps {
				f := (float64(j) + 0.5) / steps
				whole += step
				if loc.Locate(geom.Point{X: c[i].X + int64(math.Round(f*dx)), Y: c[i].Y + int64(math.Round(f*dy))}) >= 0 {
					want += step
				}
			}
		}
		// Each crossing of the outline is sampled to half a step.
		if math.Abs(length[k]-want) > 0.004*whole {
			t.Errorf("curve %d: edges of %g m, %g m of it run in copper", k, length[k], want)
		}
	}
}
