package mesh

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"ohmward/internal/board"
	"ohmward/internal/copper"
)

// boardFolder gives a board of the shared folder, or skips.
func boardFolder(t *testing.T, name string) string {
	t.Helper()
	root := os.Getenv("OHMWARD_SHARED")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared")
	}
	p := filepath.Join(root, "checks", "boards", name)
	if _, err := os.Stat(p); err != nil {
		t.Skip("shared boards are not there")
	}
	return p
}

// TestBoards meshes the copper of real boards layer by layer, as drawn and
// simplified, and checks every invariant.
func TestBoards(t *testing.T) {
	if testing.Short() {
		t.Skip("left out in short runs: it takes many seconds")
	}
	for _, name := range []string{"fomu-dvt1a", "openrpncalc"} {
		t.Run(name, func(t *testing.T) {
			b, err := board.Open(context.Background(), boardFolder(t, name), board.Options{}, nil)
			if err != nil {
				t.Fatal(err)
			}
			nets, err := copper.Extract(context.Background(), b, copper.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for layer, region := range nets.Layers {
				for _, simplify := range []int64{0, 1000} {
					in := Input{Region: region, Simplify: simplify, MaxEdge: 2_500_000}
					start := time.Now()
					m := mustMesh(t, in)
					took := time.Since(start)
					checkMesh(t, in, m)
					points := 0
					for _, p := range region {
						points += len(p.Outer)
						for _, h := range p.Holes {
							points += len(h)
						}
					}
					small := 0
					for _, v := range m.Triangle {
						if leastAngle(m, v) < 24.9 {
							small++
						}
					}
					// Simplified outlines have few features below the least edge.
					if simplify > 0 && small*1000 > len(m.Triangle) {
						t.Errorf("L%d: %d of %d triangles are below 24.9 degrees", layer+1, small, len(m.Triangle))
					}
					t.Logf("L%d simplify %d: %d polygons, %d points, %d triangles, %d below 24.9 degrees, area lost %.2g of %.4g m2, %v",
						layer+1, simplify, len(region), points, len(m.Triangle), small, m.AreaLost, m.Area, took.Round(time.Millisecond))
				}
			}
		})
	}
}
