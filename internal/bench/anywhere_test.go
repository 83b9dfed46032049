package bench

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/check"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
)

// TestAnywhere: between two places drawn anywhere on the copper of one net of
// real boards, at edges, across necks and beside holes, the bracket is as narrow
// as was asked for and holds what a mesh refined three times further says. The
// two have their outlines and contacts in common; other programs' values are in
// TestSharedResistances.
func TestAnywhere(t *testing.T) {
	check.Claim(t)
	const draws = 12 // of each board
	for _, name := range []string{"fomu-dvt1a", "ipc2581-dm0002", "openrpncalc", "ts-usbvil"} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(check.Shared(t), "checks", "boards", name)
			pairs := drawPairs(t, path, draws)
			read := func(accuracy float64) []answer.Resistor {
				o := sharedOptions()
				o.Accuracy = accuracy
				a, err := Resistance(context.Background(), path, pairs, o)
				if a == nil {
					t.Fatal(err)
				}
				return a.Results
			}
			finer := read(0.001)
			for i, r := range read(0.003) {
				f := finer[i]
				if r.Error != "" || f.Error != "" {
					t.Fatalf("%v: %s%s", pairs[i], r.Error, f.Error)
				}
				if *r.High-*r.Low > 2*0.003**r.Ohms || *f.High-*f.Low > 2*0.001**f.Ohms {
					t.Errorf("%v: %.6g to %.6g ohms, finer %.6g to %.6g, is wider than was asked for", pairs[i], *r.Low, *r.High, *f.Low, *f.High)
				}
				if *f.Ohms < *r.Low || *f.Ohms > *r.High {
					t.Errorf("%v: %.7g ohms is outside %.7g to %.7g", pairs[i], *f.Ohms, *r.Low, *r.High)
				}
			}
		})
	}
}

// drawPairs draws pairs of places a millimetre or more apart on one net. Left out
// are tips that miss a hole's wall by less than 2 um: the neck between is
// narrower than the mesher's shortest edge, and the bracket says so.
func drawPairs(t *testing.T, path string, n int) (pairs []answer.Pair) {
	t.Helper()
	p, err := engine.Open(context.Background(), path, withStore())
	if p == nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 0x616e79))
	box := p.Layout.Outline.Bounds()
	on := map[int][]copper.Spot{}
	for tries := 0; len(pairs) < n; tries++ {
		if tries == 100_000 {
			t.Fatalf("%d pairs found, %d wanted", len(pairs), n)
		}
		at := geom.Point{X: box.Min.X + rng.Int64N(box.Max.X-box.Min.X), Y: box.Min.Y + rng.Int64N(box.Max.Y-box.Min.Y)}
		spot, err := p.Resolve(copper.Place{Layer: rng.IntN(len(p.Layout.Layers)), At: at}.String())
		if err != nil || slices.ContainsFunc(p.Layout.Holes, func(h board.Hole) bool {
			return math.Abs(geom.DistPointSegment(at, h.At, h.To)-float64(h.Diameter+p.Tip)/2) < 2000
		}) {
			continue
		}
		apart := slices.IndexFunc(on[spot.Net], func(o copper.Spot) bool { return geom.Distance(o.At, spot.At) > 1e6 })
		if apart < 0 {
			on[spot.Net] = append(on[spot.Net], spot)
			continue
		}
		other := on[spot.Net][apart]
		on[spot.Net] = slices.Delete(on[spot.Net], apart, apart+1)
		text := func(s copper.Spot) string {
			x, y := s.At.MM()
			return fmt.Sprintf("%s@%.4f,%.4f", p.Layout.Layers[s.Layer].Name, x, y)
		}
		pairs = append(pairs, answer.Pair{From: text(other), To: text(spot)})
	}
	return pairs
}
