package conduct

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// freshFamily draws other shapes than hardFamily: branches, pads with the tip
// over their edge, webs between four antipads, hairline necks beside the tip,
// pads with a plated hole near their corner, and bends between tracks of two
// widths with the tip at the inner corner.
func freshFamily(seed uint64, n int) []hardContact {
	rng := rand.New(rand.NewPCG(seed, 0x5eed))
	in := func(a, b float64) float64 { return math.Round(1e4*(a+(b-a)*rng.Float64())) / 1e4 }
	var out []hardContact
	for i := range n {
		w, v := in(0.1, 0.4), in(0.1, 0.4)
		var h hardContact
		switch i % 6 {
		case 0:
			h = hardContact{name: "branch", strip: strip{
				[][2]float64{
					{0, 0},
					{1.2, 0},
					{1.2, w},
					{0.6 + v, w},
					{0.6 + v, w + 0.5},
					{0.6, w + 0.5},
					{0.6, w},
					{0, w},
				}, [][4]float64{{0, 0, 0, w}}},
				at: [][2]float64{{in(0.5, 0.7+v), in(0, w)}}}
		case 1:
			pw, pl := in(0.4, 1.2), in(0.3, 1)
			x, y := in(0, pl), pw/2
			if rng.IntN(2) == 0 {
				x, y = pl, in(0, pw/2)
			}
			h = hardContact{name: "edge", strip: padOnTrack(min(w, 0.8*pw), pl, pw), at: [][2]float64{{0.6 + x, y}}}
		case 2:
			d, web := in(0.5, 0.8), in(0.08, 0.3)
			p := (d + web) / 2
			h = hardContact{
				name:  "web",
				strip: bar(2.4, 2.4),
				at:    [][2]float64{{1.2 + in(-p, p), 1.2 + in(-web/2, web/2)}},
			}
			for _, s := range [][2]float64{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
				h.gaps = append(h.gaps, holeAt{1.2 + s[0]*p, 1.2 + s[1]*p, d})
			}
		case 3:
			d, neck := in(0.4, 0.7), in(0.002, 0.02)
			h = hardContact{
				name:  "hairline",
				strip: bar(2.4, 2),
				at:    [][2]float64{{1.2 + in(-0.6, 0.6), in(0.1, 0.5)}},
				gaps:  []holeAt{{1.2 - (d+neck)/2, 1, d}, {1.2 + (d+neck)/2, 1, d}},
			}
		case 4:
			d := in(0.2, 0.4)
			side := d + in(0.2, 0.5)
			h = hardContact{name: "drilled", strip: land(side, min(w, side/2)), holes: []holeAt{{0, 0, d}},
				at: [][2]float64{{in(0.3*side, side/2), in(-side/2, side/2)}}}
		case 5:
			h = hardContact{name: "bend", strip: strip{
				[][2]float64{
					{0, 0},
					{0.8 + v, 0},
					{0.8 + v, 0.8 + w},
					{0.8, 0.8 + w},
					{0.8, w},
					{0, w},
				}, [][4]float64{{0, 0, 0, w}}},
				at: [][2]float64{{0.8 + in(-0.05, 0.05), w + in(-0.05, 0)}}}
		}
		h.name = fmt.Sprintf("%d %s", i, h.name)
		out = append(out, h)
	}
	return out
}

// The same on shapes that no choice in patch.go was made on. The even mesh grows
// more slowly from its corners than by default: with the default one tip of the
// 48, on a pad's edge, is 0.0105 square off.
func TestFreshContacts(t *testing.T) {
	n := few(3, 48)
	testContacts(t, freshFamily(5, n), 0.3)
}
