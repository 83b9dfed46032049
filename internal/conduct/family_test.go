package conduct

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// hardContact is a shape of copper, of one ohm per square, with straight
// electrodes and contacts where a tip is hard to get right. Every shape is
// small, so that the reference can be had to 0.003 square.
type hardContact struct {
	name string
	strip
	at    [][2]float64
	holes []holeAt // plated
	gaps  []holeAt // antipads
}

type holeAt struct{ x, y, diameter float64 }

const hardTip = 0.3 // millimetres

// hardFamily draws shapes: tracks of 0.1 to 1 mm, their ends, small pads at a
// track's end, planes with edges and corners, bends and branches, places beside
// and over holes, and necks between antipads.
func hardFamily(seed uint64, n int) []hardContact {
	rng := rand.New(rand.NewPCG(seed, 0.3e6))
	in := func(a, b float64) float64 { return math.Round(1e4*(a+(b-a)*rng.Float64())) / 1e4 }
	var out []hardContact
	for i := range n {
		w := in(0.1, 0.25)
		if i%2 == 1 {
			w = in(0.25, 1)
		}
		var h hardContact
		switch i % 8 {
		case 0, 1:
			l := 0.8 + 2*w
			h = hardContact{name: "track", strip: bar(l, w), at: [][2]float64{{in(l/2, l), in(0, w)}}}
		case 2, 3:
			pw, pl := in(0.25, 0.8), in(0.25, 0.8)
			w = min(w, 0.8*pw)
			h = hardContact{
				name:  "pad",
				strip: padOnTrack(w, pl, pw),
				at:    [][2]float64{{0.6 + in(0, pl), in(-pw/2, pw/2)}},
			}
		case 4:
			x, y := in(1, 2), in(0, 2)
			if rng.IntN(2) == 0 {
				x, y = 2-in(0, 0.2), 2-in(0, 0.2)
			}
			h = hardContact{name: "plane", strip: bar(2, 2), at: [][2]float64{{x, y}}}
		case 5:
			h = hardContact{name: "bend", strip: strip{
				[][2]float64{{0, 0}, {1, 0}, {1, 1.2}, {1 - w, 1.2}, {1 - w, w}, {0, w}}, [][4]float64{{0, 0, 0, w}}},
				at: [][2]float64{{1 - in(0, w), in(0, w)}}}
			if w > 0.8 {
				h.name, h.strip = "track", bar(2, w)
			}
		case 6:
			d := in(0.2, 0.5)
			side := d + in(0.2, 0.5)
			x, y := in(-side/2, side/2), in(-side/2, side/2)
			h = hardContact{
				name:  "hole",
				strip: land(side, min(w, side/2)),
				holes: []holeAt{{0, 0, d}},
				at:    [][2]float64{{x, y}},
			}
		case 7:
			neck, d := in(0.1, 0.4), in(0.6, 1)
			h = hardContact{
				name:  "neck",
				strip: bar(2.4, 2),
				at:    [][2]float64{{1.2 + in(-0.2, 0.2), 1 + in(-neck/2, neck/2)}},
				gaps:  []holeAt{{1.2, 1 + neck/2 + d/2, d}, {1.2, 1 - neck/2 - d/2, d}},
			}
		}
		h.name = fmt.Sprintf("%d %s", i, h.name)
		out = append(out, h)
	}
	return out
}

func bar(l, w float64) strip { return strip{rectangle(l, w), [][4]float64{{0, 0, 0, w}}} }

// padOnTrack is a pad of l by w at the end of a track of width t.
func padOnTrack(t, l, w float64) strip {
	h := t / 2
	return strip{
		[][2]float64{
			{0, -h},
			{0.6, -h},
			{0.6, -w / 2},
			{0.6 + l, -w / 2},
			{0.6 + l, w / 2},
			{0.6, w / 2},
			{0.6, h},
			{0, h},
		},
		[][4]float64{{0, -h, 0, h}},
	}
}

// land is a square round the origin with a track of width t to the left.
func land(side, t float64) strip {
	s, h := side/2, t/2
	return strip{
		[][2]float64{{-s - 0.6, -h}, {-s, -h}, {-s, -s}, {s, -s}, {s, s}, {-s, s}, {-s, h}, {-s - 0.6, h}},
		[][4]float64{{-s - 0.6, -h, -s - 0.6, h}},
	}
}

// problem gives the copper and the contacts, the electrodes first.
func (h hardContact) problem() (Group, []Disc) {
	g, discs := h.strip.group(h.name)
	for _, a := range append(append([]holeAt{}, h.holes...), h.gaps...) {
		drilled := geom.Fill(
			[]geom.Ring{geom.Circle(geom.FromMM(a.x, a.y), int64(a.diameter*5e5), 250)}, geom.NonZero,
		)
		g.Sheets[0].Copper = geom.Difference(g.Sheets[0].Copper, drilled)
	}
	for _, a := range h.holes {
		at := geom.FromMM(a.x, a.y)
		g.Barrels = append(g.Barrels, Barrel{At: at, To: at, Diameter: int64(a.diameter * 1e6)})
	}
	for _, at := range h.at {
		discs = append(discs, Disc{At: geom.FromMM(at[0], at[1]), Diameter: hardTip * 1e6})
	}
	return g, discs
}

// corners asks for a fine mesh at a shape's inner corners, which no contact is
// to blame for.
func corners(g Group) (out []SheetSize) {
	for _, poly := range g.Sheets[0].Copper {
		poly.Rings(func(r geom.Ring) {
			if len(r) > 12 {
				return // round
			}
			for i, b := range r {
				a, c := r[(i+len(r)-1)%len(r)], r[(i+1)%len(r)]
				if geom.Orient(a, b, c) < 0 {
					out = append(out, SheetSize{Size: mesh.Size{At: b, Edge: 4000}})
				}
			}
		})
	}
	return out
}

// contactSlack is what a contact may be off, in squares: 0.005 mohm on copper
// of 35 um.
const contactSlack = 0.005 / 0.4926

// evenSheet is the longest edge, in nanometres, of a mesh whose own error is
// small beside a contact's.
const evenSheet = 30_000

// A tip anywhere on hard copper is right to 0.005 mohm on meshes that know
// nothing of it: an even one, the default one, and the default one refined for
// a suspect. The reference is a mesh that follows it and whose bracket is 0.003
// square to either side or less.
func TestHardContacts(t *testing.T) {
	n := few(4, 48)
	testContacts(t, hardFamily(1, n), 0)
}

// testContacts takes how fast the even mesh grows away from inner corners: 0 is
// the default.
func testContacts(t *testing.T, family []hardContact, grading float64) {
	var worst [3]float64
	for _, h := range family {
		t.Run(h.name, func(t *testing.T) {
			g, discs := h.problem()
			want := reference(t, g, discs)
			at := SheetSize{Size: mesh.Size{At: discs[1].At, Radius: 150_000, Edge: 150_000}}
			off := func(o Options) float64 {
				m, err := Build(context.Background(), g, o)
				if err != nil {
					t.Fatal(err)
				}
				return resistanceOf(t, m, discs, probePieces) - want.Ohms
			}
			followed := off(Options{Discs: discs[1:]})
			for k, v := range []struct {
				name string
				o    Options
			}{
				{"even", Options{MaxEdge: evenSheet, Grading: grading, Sizes: corners(g)}},
				{"refined", Options{Sizes: []SheetSize{at}}},
				{"default", Options{}},
			} {
				got := off(v.o)
				t.Logf(
					"%-7s off %+.4f of %.4f +- %.4f squares; followed %+.4f", v.name, got, want.Ohms, (want.High-want.Low)/2,
					followed,
				)
				worst[k] = math.Max(worst[k], math.Abs(got))
				if math.Abs(got) > contactSlack {
					t.Errorf("contact at %.4f,%.4f on %v: off by %.4f squares", h.at[0][0], h.at[0][1], h.outline, got)
				}
			}
		})
	}
	t.Logf("worst: even %.4f, refined %.4f, default %.4f squares", worst[0], worst[1], worst[2])
}

// reference is the resistance between the first two contacts on a mesh that
// follows them, refined until it is known to 0.003 square.
func reference(t *testing.T, g Group, discs []Disc) Bounds {
	t.Helper()
	accuracy := 0.01
	var r Bounds
	for range 4 {
		c, err := Solve(context.Background(), g, Options{Discs: discs}, [][2]int{{0, 1}}, accuracy)
		if err != nil {
			t.Fatal(err)
		}
		if r, err = c.Resistance(0, 1); err != nil {
			t.Fatal(err)
		}
		if r.High-r.Low < 0.006 {
			return r
		}
		accuracy = 0.8 * 0.003 / r.Ohms
	}
	t.Fatalf("no reference to 0.003 square: %+v", r)
	return Bounds{}
}
