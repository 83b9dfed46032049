package mesh

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"ohmward/demo"
	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
	"ohmward/internal/check"
	"ohmward/internal/copper"
)

// The boards of the sweep that short runs keep, and those that only claims take.
var (
	quick = []string{"ts-usbvil"}
	slow  = []string{"glasgow-revc0", "orangecrab", "upduino-v3"}
)

// TestSweepDemo and TestSweepBoards mesh every net of every board, layer by
// layer, as the program solves them (outlines simplified by 1 um) and as they
// are drawn. Nothing may fail or get lost, and the area must be the copper's to
// one part in a million, polygon by polygon.
func TestSweepDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("every net of the demo board: full runs only")
	}
	b, err := boardread.Read(demo.Board(), "demo", boardread.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sweepBoard(t, b)
}

func TestSweepBoards(t *testing.T) {
	boards := filepath.Join(check.Shared(t), "checks", "boards")
	folders, err := os.ReadDir(boards)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range folders {
		if testing.Short() && !slices.Contains(quick, f.Name()) {
			continue
		}
		t.Run(f.Name(), func(t *testing.T) {
			if slices.Contains(slow, f.Name()) {
				check.Claim(t)
			}
			b, err := boardread.Open(context.Background(), filepath.Join(boards, f.Name()), boardread.Options{}, nil)
			if err != nil {
				t.Fatal(err)
			}
			sweepBoard(t, b)
		})
	}
}

func sweepBoard(t *testing.T, b *board.Board) {
	t.Helper()
	nets, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	solved, drawn := sweep{t: t, in: Input{MaxEdge: 2_500_000, Grading: 0.5, Simplify: 1000}},
		sweep{t: t, in: Input{MaxEdge: 2_500_000, Grading: 0.5}}
	for n := range nets.Nets {
		layers := nets.Nets[n].Layers()
		slices.Sort(layers)
		for _, l := range slices.Compact(layers) {
			where := fmt.Sprintf("net %s, L%d", nets.Nets[n].Name, l+1)
			solved.region(where, nets.Copper(n, l))
			drawn.region(where, nets.Copper(n, l))
		}
	}
	drawn.report("as drawn")
	solved.report("as solved")
	// Simplified outlines have few features below the least edge; one board has
	// slivers of a nanometre where arcs of its thermal reliefs meet.
	if solved.small*100 > solved.triangles {
		t.Errorf("as solved, %d of %d triangles are below 24.9 degrees, more than one in 100", solved.small,
			solved.triangles)
	}
}

// sweep meshes regions in one way and gathers what the meshes are like.
type sweep struct {
	t         *testing.T
	in        Input
	meshes    int
	polygons  int
	triangles int
	small     int     // triangles below 24.9 degrees
	worst     float64 // angle, degrees
	worstAt   string
	off       float64 // most that a polygon's area is off, relative
	offAt     string
}

// region meshes some copper and checks it.
func (s *sweep) region(where string, r geom.Region) {
	s.t.Helper()
	s.in.Region = r
	m, err := Triangulate(s.in)
	if err != nil {
		s.t.Errorf("%s, simplified by %d nm: %v", where, s.in.Simplify, err)
		return
	}
	checkMesh(s.t, s.in, m)
	s.meshes++
	s.polygons += len(r)
	s.triangles += len(m.Triangle)
	if off, polygon := worstArea(r, m); off > s.off {
		s.off, s.offAt = off, where
		if off > 1e-6 {
			s.t.Errorf("%s, simplified by %d nm: the mesh of polygon %d is off by %.3g of its area", where,
				s.in.Simplify, polygon, off)
		}
	}
	for _, v := range m.Triangle {
		a := leastAngle(m, v)
		if a < 24.9 {
			s.small++
		}
		if s.worst == 0 || a < s.worst {
			s.worst, s.worstAt = a, fmt.Sprintf("%s at (%.4f, %.4f) mm", where, m.X[v[0]]*1e3, m.Y[v[0]]*1e3)
		}
	}
}

func (s *sweep) report(how string) {
	s.t.Helper()
	s.t.Logf("%s: %d meshes of %d polygons, %d triangles, %d below 24.9 degrees, least %.2g degrees (%s); area "+
		"off by %.2g at most (%s)",
		how, s.meshes, s.polygons, s.triangles, s.small, s.worst, s.worstAt, s.off, s.offAt)
}

// worstArea is the largest relative difference in area between a polygon and
// its triangles.
func worstArea(r geom.Region, m *Mesh) (off float64, polygon int) {
	got := make([]float64, len(r))
	for k, v := range m.Triangle {
		got[m.Polygon[k]] += triArea(m, v)
	}
	for i, p := range r {
		want := p.Area() * 1e-18
		if d := math.Abs(got[i]-want) / want; !(d <= off) {
			off, polygon = d, i
		}
	}
	return off, polygon
}
