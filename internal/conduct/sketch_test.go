package conduct

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

// sketched is a bridge between two copies of a random two-layer group, with
// sites at random on either layer, its sketch and the places to touch.
func sketched(t *testing.T, rng *rand.Rand, sites int) (b *Bridge, s *LayerSketch, places []Disc) {
	t.Helper()
	g, places := twoLayers(rng)
	var at []Disc
	for range sites {
		turn, r := 2*math.Pi*rng.Float64(), 3*rng.Float64()
		at = append(at, Disc{Layer: rng.IntN(2), At: geom.FromMM(r*math.Cos(turn), r*math.Sin(turn)), Diameter: 300_000})
	}
	m, err := Build(context.Background(), g, Options{Discs: append(at, places...), MaxEdge: 500_000})
	if err != nil {
		t.Fatal(err)
	}
	b, err = NewBridge(context.Background(), [2]*Model{m, m}, [2][]Disc{at, at})
	if err != nil {
		t.Fatal(err)
	}
	s, err = b.SketchLayers(context.Background(), [][]int{{0}, {1}}, [2][]Disc{places, places})
	if err != nil {
		t.Fatal(err)
	}
	return b, s, places
}

// TestSketchIsEnergy: of a reading on one net, whose places are pivots, each
// layer's share is the energy of the whole field in that layer.
func TestSketchIsEnergy(t *testing.T) {
	for seed := range uint64(5) {
		b, s, places := sketched(t, rand.New(rand.NewPCG(seed, 1)), 4)
		c, err := b.Models[0].Prepare(places, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(places); i++ {
			in, out := Probe{0, places[0]}, Probe{0, places[i]}
			rows, _, err := s.Half(0, Reading{In: in, Out: out, High: in, Low: out})
			if err != nil {
				t.Fatal(err)
			}
			flow, err := c.Flow([2]int{0, i})
			if err != nil {
				t.Fatal(err)
			}
			for l, sheet := range flow.Sheets {
				if got := rows[1+l][0]; math.Abs(got-sheet.Ohms) > 0.002*flow.Ohms {
					t.Errorf("seed %d, place %d, L%d: %.4g ohm of %.4g, its energy is %.4g", seed, i, l+1, got,
						flow.Ohms, sheet.Ohms)
				}
			}
		}
	}
}

// TestSketchAddsUp: what the layers and the rest have is the reading, and what
// a layer has is what it loses where it is made a little thinner, whether the
// site stands among the pivots or not.
func TestSketchAddsUp(t *testing.T) {
	for seed := range uint64(2) {
		b, s, places := sketched(t, rand.New(rand.NewPCG(seed, 2)), mostPivots+40)
		exact, err := b.Layers(context.Background(), [][]int{{0}, {1}})
		if err != nil {
			t.Fatal(err)
		}
		p := func(g, i int) Probe { return Probe{g, places[i]} }
		for _, r := range []Reading{
			{In: p(0, 0), Out: p(1, 3), High: p(0, 0), Low: p(1, 3)},
			{In: p(0, 1), Out: p(1, 2), High: p(0, 4), Low: p(0, 5)},
		} {
			rows, prediction, err := s.Predict(r)
			if err != nil {
				t.Fatal(err)
			}
			want, _, err := exact.Predict(r)
			if err != nil {
				t.Fatal(err)
			}
			for site, whole := range prediction.sum() {
				sum, off := 0.0, 0.0
				for l := range rows {
					sum += rows[l][site]
					off += math.Abs(rows[l][site] - want[l][site])
				}
				if math.Abs(sum-whole) > 1e-12 {
					t.Errorf("seed %d, site %d: the shares add up to %.6g ohm of %.6g", seed, site, sum, whole)
				}
				if off > 0.05*(math.Abs(whole)+0.1) {
					t.Errorf("seed %d, site %d: shares %.4g, by thinner copper %.4g", seed, site,
						column(rows, site), column(want, site))
				}
			}
		}
	}
}

func column(rows [][]float64, i int) (out []float64) {
	for _, row := range rows {
		out = append(out, row[i])
	}
	return out
}
