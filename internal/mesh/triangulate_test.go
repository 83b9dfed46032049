package mesh

import (
	"math"
	"testing"

	"ohmward/geom"
)

func TestShapes(t *testing.T) {
	for _, s := range shapes {
		t.Run(s.name, func(t *testing.T) {
			in := Input{Region: s.region}
			m := mustMesh(t, in)
			checkMesh(t, in, m)
			t.Logf("%d triangles, least angle %.3f degrees", len(m.Triangle), worstAngle(m))
			if s.tame && worstAngle(m) < 25-1e-6 {
				t.Errorf("least angle %.4f degrees, want 25", worstAngle(m))
			}
		})
	}
}

// TestInside checks the exact properties on the inner triangulation, before
// and after refinement.
func TestInside(t *testing.T) {
	for _, s := range shapes {
		t.Run(s.name, func(t *testing.T) {
			coarse, err := construct(s.region, nil, 1e6, 0)
			if err != nil {
				t.Fatal(err)
			}
			checkTin(t, coarse)
			r, err := readRules(Input{})
			if err != nil {
				t.Fatal(err)
			}
			fine, err := refined(s.region, nil, r)
			if err != nil {
				t.Fatal(err)
			}
			checkTin(t, fine)
		})
	}
}

func mustMesh(t *testing.T, in Input) *Mesh {
	t.Helper()
	m, err := Triangulate(in)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// checkTin checks orientation, links, marks and the Delaunay property exactly.
func checkTin(t *testing.T, m *tin) {
	t.Helper()
	for k := range m.t {
		f := &m.t[k]
		if orient(m.p[f.v[0]], m.p[f.v[1]], m.p[f.v[2]]) <= 0 {
			t.Fatalf("face %d is turned over or flat", k)
		}
		for i := range int32(3) {
			g := f.n[i]
			if g < 0 {
				continue
			}
			o, j := &m.t[g>>2], g&3
			if o.n[j] != int32(4*k)+i || o.v[next3[j]] != f.v[prev3[i]] || o.v[prev3[j]] != f.v[next3[i]] {
				t.Fatalf("face %d edge %d: neighbour does not link back", k, i)
			}
			if (f.s[i] == 0) != (o.s[j] == 0) {
				t.Fatalf("face %d edge %d: marked on one side only", k, i)
			}
			if f.s[i] == 0 && inCircle(m.p[f.v[0]], m.p[f.v[1]], m.p[f.v[2]], m.p[o.v[j]]) > 0 {
				t.Errorf("face %d edge %d: not Delaunay", k, i)
			}
		}
	}
}

// checkMesh checks what every mesh must be, from outside.
func checkMesh(t *testing.T, in Input, m *Mesh) {
	t.Helper()
	checkBoundary(t, in, m, checkTriangles(t, in, m))
}

// checkTriangles checks area, orientation and neighbours, and gives the number
// of edges on the outline.
func checkTriangles(t *testing.T, in Input, m *Mesh) (border int) {
	t.Helper()
	want, slack := in.Region.Area()*1e-18, areaSlack(in.Region, len(in.Curves) > 0)
	if in.Simplify == 0 && math.Abs(areaOf(m)-want) > slack {
		t.Errorf("area %.12g m2, want %.12g", areaOf(m), want)
	}
	type edge [2]int32
	left := map[edge]int{}
	used := make([]bool, len(m.X))
	perPiece := map[int32]float64{}
	for k, v := range m.Triangle {
		area := triArea(m, v)
		if area <= 0 {
			t.Fatalf("triangle %d: area %g", k, area)
		}
		perPiece[m.Polygon[k]] += area
		for i := range 3 {
			e := edge{v[i], v[(i+1)%3]}
			if _, twice := left[e]; twice {
				t.Fatalf("edge %v has two triangles on one side", e)
			}
			left[e] = k
			used[v[i]] = true
		}
	}
	for i, u := range used {
		if !u {
			t.Errorf("vertex %d is in no triangle", i)
		}
	}
	for i, poly := range in.Region {
		want := poly.Area() * 1e-18
		slack := areaSlack(geom.Region{poly}, len(in.Curves) > 0)
		// The areas per piece come from the output's metres, which round at
		// 1e-16 of the coordinates.
		for _, p := range poly.Outer {
			slack += 1e-25 * (math.Abs(float64(p.X)) + math.Abs(float64(p.Y))) * float64(len(m.Triangle)) * 1e-3
		}
		if in.Simplify == 0 && math.Abs(perPiece[int32(i)]-want) > slack+1e-8*want {
			t.Errorf("polygon %d: area %g, want %g", i, perPiece[int32(i)], want)
		}
	}
	for k, v := range m.Triangle {
		for i := range 3 {
			a, b := v[(i+1)%3], v[(i+2)%3]
			other, shared := left[edge{b, a}]
			switch {
			case shared && m.Neighbour[k][i] != int32(other):
				t.Fatalf("triangle %d: neighbour %d is %d, want %d", k, i, m.Neighbour[k][i], other)
			case !shared:
				border++
				if m.Neighbour[k][i] != -1 || !m.Outline[a] || !m.Outline[b] {
					t.Fatalf("triangle %d edge %d is outline but not said to be", k, i)
				}
			}
		}
	}
	return border
}

// areaSlack is the area by which a mesh may differ from its region, in square
// metres: an added vertex on the outline is off it by less than one tick, and
// the sum of the parts rounds. With curves the outline may be led through
// points up to a nanometre beside it.
func areaSlack(region geom.Region, curves bool) float64 {
	length, off := 0.0, metresPerTick
	if curves {
		off = 1e-9
	}
	for _, poly := range region {
		for _, ring := range append([]geom.Ring{poly.Outer}, poly.Holes...) {
			for j, p := range ring {
				q := ring[(j+1)%len(ring)]
				length += math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) * 1e-9
			}
		}
	}
	return 1e-9*region.Area()*1e-18 + length*off
}

// checkBoundary checks that the boundary edges lie on the rings they name
// and add up to the rings' lengths.
func checkBoundary(t *testing.T, in Input, m *Mesh, border int) {
	t.Helper()
	if len(m.Boundary) != border || len(m.BoundaryRing) != border {
		t.Fatalf("%d boundary edges, %d rings, want %d", len(m.Boundary), len(m.BoundaryRing), border)
	}
	length := map[[2]int32]float64{}
	for i, e := range m.Boundary {
		length[m.BoundaryRing[i]] += math.Hypot(m.X[e[0]]-m.X[e[1]], m.Y[e[0]]-m.Y[e[1]])
	}
	if in.Simplify > 0 {
		return
	}
	slack := 16 * metresPerTick
	for _, c := range in.Curves {
		slack += 2e-9 * float64(len(c))
	}
	for i, poly := range in.Region {
		for k, ring := range append([]geom.Ring{poly.Outer}, poly.Holes...) {
			want := 0.0
			for j, p := range ring {
				q := ring[(j+1)%len(ring)]
				want += math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) * 1e-9
			}
			if got := length[[2]int32{int32(i), int32(k)}]; math.Abs(got-want) > 1e-9*want+slack {
				t.Errorf("polygon %d ring %d: boundary of %g m, want %g", i, k, got, want)
			}
		}
	}
}

func triArea(m *Mesh, v [3]int32) float64 {
	ax, ay := m.X[v[1]]-m.X[v[0]], m.Y[v[1]]-m.Y[v[0]]
	bx, by := m.X[v[2]]-m.X[v[0]], m.Y[v[2]]-m.Y[v[0]]
	return (ax*by - ay*bx) / 2
}

// areaOf is a mesh's area, in square metres.
func areaOf(m *Mesh) (sum float64) {
	for _, v := range m.Triangle {
		sum += triArea(m, v)
	}
	return sum
}

// worstAngle is the smallest angle of all triangles, in degrees.
func worstAngle(m *Mesh) float64 {
	worst := 180.0
	for _, v := range m.Triangle {
		worst = min(worst, leastAngle(m, v))
	}
	return worst
}

// leastAngle is the smallest angle of a triangle, in degrees.
func leastAngle(m *Mesh, v [3]int32) float64 {
	least := 180.0
	for i := range 3 {
		a, b, c := v[i], v[(i+1)%3], v[(i+2)%3]
		bx, by := m.X[b]-m.X[a], m.Y[b]-m.Y[a]
		cx, cy := m.X[c]-m.X[a], m.Y[c]-m.Y[a]
		least = min(least, math.Atan2(bx*cy-by*cx, bx*cx+by*cy)*180/math.Pi)
	}
	return least
}
