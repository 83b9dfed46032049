package conduct

import (
	"context"
	"fmt"
	"testing"

	"ohmward/geom"
)

// solvedPlate is a plate of 60 by 40 mm with its mesh of some 40,000 points, and
// more around the places that are prepared on it.
func solvedPlate(b *testing.B, prepared []Disc) *Model {
	b.Helper()
	ring := geom.Ring{{X: 0, Y: 0}, {X: 60_000_000, Y: 0}, {X: 60_000_000, Y: 40_000_000}, {X: 0, Y: 40_000_000}}
	g := Group{Name: "plate", Sheets: []Sheet{{Copper: geom.Region{{Outer: ring}}, Conductance: 2000}}}
	m, err := Build(context.Background(), g, Options{MaxEdge: 300_000, Discs: prepared})
	if err != nil {
		b.Fatal(err)
	}
	return m
}

// places are n contacts spread over the plate, those of another salt
// elsewhere.
func places(n int, salt int64) []Disc {
	var out []Disc
	for i := range int64(n) {
		x, y := (i*7_368_787+salt)%58_000_000, (i*5_915_587+salt)%38_000_000
		out = append(out, Disc{At: geom.Point{X: 1_000_000 + x, Y: 1_000_000 + y}, Diameter: 300_000})
	}
	return out
}

// BenchmarkFurtherPairs: a thousand resistances among 300 prepared places.
func BenchmarkFurtherPairs(b *testing.B) {
	c, err := solvedPlate(b, places(300, 0)).Prepare(places(300, 0), probePieces)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		for k := range 1000 {
			if _, err := c.Resistance(k%300, (k*7+1)%300); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkTable: what 300 prepared places and 5,000 sites see of each other, the
// solutions of both included.
func BenchmarkTable(b *testing.B) {
	m := solvedPlate(b, places(300, 0))
	for _, n := range []int{1000, 5000} {
		b.Run(fmt.Sprintf("300x%d", n), func(b *testing.B) {
			for b.Loop() {
				sites, err := m.prepareUnrefined(places(n, 31_337), sitePieces)
				if err != nil {
					b.Fatal(err)
				}
				br := &Bridge{Models: [2]*Model{m, m}, Sites: [2]*Contacts{sites, sites}}
				if _, err := br.Table(0, places(300, 0)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
