package conduct

import (
	"context"
	"math"
	"testing"

	"ohmward/geom"
)

// TestSlivers: a contact that leaves a strip of a micrometre or less of its track
// beside it reads as one that leaves none, and its bracket is as narrow as was
// asked for. Before the rim was led past such strips, 0.14 um of a board's track
// made 8 % of bracket, however fine the mesh, and as much of error.
func TestSlivers(t *testing.T) {
	const within = 0.001
	track := geom.Region{{Outer: geom.Ring{{}, {X: 5_000_000}, {X: 5_000_000, Y: 200_000}, {Y: 200_000}}}}
	g := Group{Name: "track", Sheets: []Sheet{{Copper: track, Conductance: perSquare}}}
	const corner = 150_861 // of the rim's polygon, beside the track's lower edge
	least, most := math.Inf(1), 0.0
	for _, sliver := range []int64{-2500, -900, -300, -20, 0, 20, 139, 300, 900, 1900} {
		discs := []Disc{
			{At: geom.Point{X: 800_000, Y: 100_000}, Diameter: 300_000},
			{At: geom.Point{X: 4_200_000, Y: corner + sliver}, Diameter: 300_000},
		}
		c, err := Solve(context.Background(), g, Options{Discs: discs}, [][2]int{{0, 1}}, within)
		if err != nil {
			t.Fatal(err)
		}
		b, err := c.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		if b.High-b.Low > 2*within*b.Ohms {
			t.Errorf("%d nm: %.6g is said to lie within %.2f %%", sliver, b.Ohms, 50*(b.High-b.Low)/b.Ohms)
		}
		least, most = min(least, b.Ohms), max(most, b.Ohms)
	}
	// What moving the disc by 4 um across the track does, and the bracket.
	if most > least*(1+2*within) {
		t.Errorf("from %.6g to %.6g ohms", least, most)
	}
}

// TestSliversAtPads: a contact as large as its pad, which the pad's outline crosses
// again and again, takes the whole pad in; one that leaves a notch's corner, or
// a corner of copper, just beyond it takes that in; and what is farther away, or
// a plated hole's wall, is left as it is.
func TestSliversAtPads(t *testing.T) {
	plain := func(copper geom.Region, holes ...Barrel) int {
		d := Disc{Diameter: 300_000}
		r := newRimTracer(Sheet{Copper: copper}, newRimFinder(holes))
		moved := 0
		seen := map[geom.Point]bool{}
		for _, p := range d.rim() {
			seen[p] = true
		}
		for _, p := range r.rim(d) {
			if !seen[p] {
				moved++
			}
		}
		return moved
	}
	round := geom.Region{{Outer: geom.Circle(geom.Point{}, 150_000, 250)}}
	d := Disc{Diameter: 300_000}
	for _, p := range newRimTracer(Sheet{Copper: round}, newRimFinder(nil)).rim(d) {
		if round.Contains(p) {
			t.Errorf("a pad of the disc's size: the rim comes inside at %v", p)
		}
	}
	box := func(x, y int64) geom.Region {
		return geom.Region{{Outer: geom.Ring{{X: -x, Y: -y}, {X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}}}}
	}
	if n := plain(box(2_000_000, 152_000)); n != 2 {
		t.Errorf("both sides of a track 1.1 um away: %d points are led", n)
	}
	if n := plain(box(2_000_000, 155_000)); n != 0 {
		t.Errorf("a track 4 um away: %d points are led", n)
	}
	notch := geom.Difference(
		box(2_000_000, 2_000_000),
		geom.Region{{Outer: geom.Ring{{X: 149_500, Y: 20_000}, {X: 200_000, Y: 10_000}, {X: 200_000, Y: 30_000}}}},
	)
	if n := plain(notch); n != 1 {
		t.Errorf("a notch's corner: %d points are led", n)
	}
	hole := Barrel{At: geom.Point{X: 401_500}, To: geom.Point{X: 401_500}, Diameter: 500_000}
	drilled := geom.Difference(
		box(2_000_000, 2_000_000), geom.Region{{Outer: geom.Circle(hole.At, 250_000, 250)}},
	)
	if n := plain(drilled, hole); n != 0 {
		t.Errorf("a plated hole beside it: %d points are led", n)
	}
	if n := plain(drilled); n == 0 {
		t.Error("an opening beside it: nothing is led")
	}
}
