package copper

import (
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"ohmward/geom"
	"ohmward/internal/board"
)

// Drilling hole by hole gives to the last corner what painting all holes
// clear over the whole layer gives.
func TestDrilledAsPainted(t *testing.T) {
	seeds := 60
	if testing.Short() {
		seeds = 12
	}
	cut, kept := 0, 0
	for seed := range uint64(seeds) {
		rng := rand.New(rand.NewPCG(seed, 7))
		at := func() geom.Point { return geom.Point{X: rng.Int64N(8_000_000), Y: rng.Int64N(8_000_000)} }
		var coats []geom.Coat
		b := &board.Board{Name: "made"}
		for range 40 {
			p := at()
			coats = append(coats, geom.Coat{Dark: rng.IntN(4) > 0, Rings: []geom.Ring{geom.Stroke(p, at(), 50_000+rng.Int64N(300_000), 250)}})
			if rng.IntN(2) == 0 {
				coats = append(coats, geom.Coat{Dark: true, Rings: []geom.Ring{geom.Circle(p, 300_000, 250)}})
				b.Holes = append(b.Holes, board.Hole{At: p, To: p, Diameter: 100_000 + rng.Int64N(600_000)})
			}
		}
		for range 5 {
			p := at()
			q := geom.Point{X: p.X + rng.Int64N(900_000), Y: p.Y + rng.Int64N(900_000)}
			b.Holes = append(b.Holes, board.Hole{At: p, To: q, Diameter: 200_000})
		}
		b.Layers = []board.Layer{{Name: "L1", Copper: geom.Paint(coats)}}
		n := &Nets{Board: b, holes: board.NewHoleGrid(b.Holes, DefaultTip)}
		want := geom.Paint([]geom.Coat{{Dark: true, Rings: ringsOf(b.Layers[0].Copper)}, {Rings: holeRings(b, 0)}})
		got, err := n.drilled(0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d: drilled hole by hole %d polygons of %.9g mm2, all at once %d of %.9g", seed,
				len(got), got.Area()/1e12, len(want), want.Area()/1e12)
		}
		before := map[*geom.Point]bool{}
		for _, p := range b.Layers[0].Copper {
			before[&p.Outer[0]] = true
		}
		for _, p := range got {
			if before[&p.Outer[0]] {
				kept++
			} else {
				cut++
			}
		}
	}
	if kept < seeds || cut < seeds {
		t.Errorf("%d pieces cut and %d kept: the test does not reach both ways", cut, kept)
	}
}

// Holes without end, or across everything, are drilled as all at once or given
// up with one line, in bounded time.
func TestDrillingBounded(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 7))
	at := func(side int64) geom.Point { return geom.Point{X: rng.Int64N(side), Y: rng.Int64N(side)} }
	var pads []geom.Coat
	pitches := int64(60)
	if testing.Short() {
		pitches = 20
	}
	for x := range pitches {
		for y := range pitches {
			pads = append(pads, geom.Coat{Dark: true, Rings: []geom.Ring{geom.Circle(geom.Point{X: x * 1_000_000, Y: y * 1_000_000}, 300_000, 250)}})
		}
	}
	copper := geom.Paint(pads)
	for name, c := range map[string]struct {
		holes int
		make  func() board.Hole
		want  string // of the error; "": none
	}{
		"in one place": {15_000, func() board.Hole {
			p := at(900_000)
			return board.Hole{At: p, To: p, Diameter: 2_000}
		}, ""},
		"across all": {3_000, func() board.Hole {
			return board.Hole{At: at(60_000_000), To: at(60_000_000), Diameter: 100_000}
		}, "drilling L1"},
		"beyond a metre": {1, func() board.Hole {
			return board.Hole{At: at(10), To: geom.Point{X: 1 << 40}, Diameter: 100_000}
		}, "beyond a metre"},
	} {
		if testing.Short() && name == "across all" {
			continue // spends all the work that is allowed: some ten seconds
		}
		b := &board.Board{Name: "made", Layers: []board.Layer{{Name: "L1", Copper: copper}}}
		if testing.Short() {
			c.holes = max(1, c.holes/5)
		}
		for range c.holes {
			b.Holes = append(b.Holes, c.make())
		}
		n := &Nets{Board: b, holes: board.NewHoleGrid(nil, 0)}
		if c.want == "" {
			n.holes = board.NewHoleGrid(b.Holes, DefaultTip)
		}
		begin := time.Now()
		got, err := n.drilled(0, 0)
		t.Logf("%s: %.1f s, %v", name, time.Since(begin).Seconds(), err)
		if c.want != "" {
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s: error %v, want one of %q", name, err, c.want)
			}
			continue
		}
		want := geom.Paint([]geom.Coat{{Dark: true, Rings: ringsOf(copper)}, {Rings: holeRings(b, 0)}})
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: error %v, %d polygons, all at once %d", name, err, len(got), len(want))
		}
	}
}
