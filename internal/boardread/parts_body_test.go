package boardread

import (
	"fmt"
	"math"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
)

// lands makes one part's surface pads of a size in millimetres.
func lands(w, h float64, at ...[2]float64) (pads []board.Pad, own []int) {
	for i, p := range at {
		b := geom.Box{Min: geom.FromMM(p[0]-w/2, p[1]-h/2), Max: geom.FromMM(p[0]+w/2, p[1]+h/2)}
		pads = append(pads, board.Pad{At: geom.FromMM(p[0], p[1]), Shape: geom.Region{{Outer: geom.Rectangle(b)}}, Ref: "U1", Pin: fmt.Sprint(i + 1), Hole: -1})
		own = append(own, i)
	}
	return pads, own
}

func gridOf(nx, ny int, pitch float64) (at [][2]float64) {
	for i := range nx {
		for j := range ny {
			at = append(at, [2]float64{float64(i) * pitch, float64(j) * pitch})
		}
	}
	return at
}

// ring is the outer ring of a grid.
func ringOf(n int, pitch float64) (at [][2]float64) {
	for _, p := range gridOf(n, n, pitch) {
		if last := float64(n-1) * pitch; p[0] == 0 || p[1] == 0 || p[0] == last || p[1] == last {
			at = append(at, p)
		}
	}
	return at
}

// Bodies guessed from pads; sizes of the customary packages (common practice,
// no source).
func TestGuessedBodies(t *testing.T) {
	for _, c := range []struct {
		name  string
		w, h  float64
		at    [][2]float64
		array bool
		size  [2]float64
	}{
		{"chip", 0.6, 0.5, [][2]float64{{0, 0}, {1, 0}}, false, [2]float64{1.8, 0.7}},
		{"balls", 0.4, 0.4, gridOf(10, 10, 0.8), true, [2]float64{8.4, 8.4}},
		{"few balls", 0.25, 0.25, gridOf(4, 3, 0.5), true, [2]float64{2.45, 1.95}},
		{"balls without a middle", 0.4, 0.4, append(ringOf(10, 0.8), [2]float64{0.8, 0.8}, [2]float64{1.6, 0.8}, [2]float64{0.8, 1.6}, [2]float64{6.4, 6.4}, [2]float64{5.6, 6.4}), true, [2]float64{8.4, 8.4}},
		{"two rows of leads", 0.6, 1.5, append(gridOf(4, 1, 1.27), [2]float64{0, 5.4}, [2]float64{1.27, 5.4}, [2]float64{2.54, 5.4}, [2]float64{3.81, 5.4}), false, [2]float64{4.41, 6.9}},
		{"three lands", 0.6, 0.8, [][2]float64{{0, 0}, {1.9, 0}, {0.95, 2}}, false, [2]float64{2.5, 2.8}},
		{"a square of leads and a land for heat", 0.3, 0.3, append(ringOf(8, 0.5), [2]float64{1.75, 1.75}), false, [2]float64{3.8, 3.8}},
		{"two rows of contacts", 0.5, 0.5, gridOf(10, 2, 1), false, [2]float64{9.5, 1.5}},
	} {
		pads, own := lands(c.w, c.h, c.at...)
		body, array := guessBody(pads, own)
		b := body.Bounds()
		w, h := float64(b.Max.X-b.Min.X)*1e-6, float64(b.Max.Y-b.Min.Y)*1e-6
		if array != c.array || math.Abs(w-c.size[0]) > 0.01 || math.Abs(h-c.size[1]) > 0.01 || body.Area() <= 0 {
			t.Errorf("%s: array %v, %.2f × %.2f mm; want %v, %v", c.name, array, w, h, c.array, c.size)
		}
	}
	// Drilled pins are no balls.
	pads, own := lands(1.5, 1.5, gridOf(5, 4, 2.54)...)
	for i := range pads {
		pads[i].Hole = 0
	}
	if _, array := guessBody(pads, own); array {
		t.Error("a connector's drilled pins are taken as balls")
	}
}
