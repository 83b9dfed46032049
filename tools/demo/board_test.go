package main

import (
	"sync"
	"testing"
)

var (
	once    sync.Once
	built   *board
	buildEr error
)

// theBoard builds the board once for all tests.
func theBoard(t *testing.T) *board {
	t.Helper()
	once.Do(func() { built, buildEr = build() })
	if buildEr != nil {
		t.Fatalf("build: %v", buildEr)
	}
	return built
}

// TestCounts holds the board to the size that the demo promises.
func TestCounts(t *testing.T) {
	b := theBoard(t)
	fitted := 0
	for _, p := range b.parts {
		if !p.bare {
			fitted++
		}
	}
	if fitted < 45 {
		t.Errorf("fitted parts: got %d, want 45 or more", fitted)
	}
	if len(b.nets) < 40 {
		t.Errorf("nets: got %d, want 40 or more", len(b.nets))
	}
	if len(b.holes) != 4 {
		t.Errorf("mounting holes: got %d, want 4", len(b.holes))
	}
}

// TestRailsHaveCapacitors finds a capacitor to ground on every supply.
func TestRailsHaveCapacitors(t *testing.T) {
	b := theBoard(t)
	for _, rail := range []string{"VSYS", "+3V3", "+3V3A", "+3V3_RF", "VREF"} {
		found := false
		for _, p := range b.parts {
			if p.ref[0] == 'C' && len(p.lands) == 2 {
				n, m := b.nets[b.lands[p.lands[0]].net], b.nets[b.lands[p.lands[1]].net]
				found = found || n == rail && m == "GND" || m == rail && n == "GND"
			}
		}
		if !found {
			t.Errorf("no capacitor between %s and GND", rail)
		}
	}
}

// TestClearance measures every pair of copper of different nets, by plain
// geometry and not by the router's grid.
func TestClearance(t *testing.T) {
	b := theBoard(t)
	all := b.coppers()
	for i, c := range all {
		for _, d := range all[:i] {
			if c.layers&d.layers == 0 || c.net == d.net && c.net != noNet || !near(c.shape, d.shape, clearance) {
				continue
			}
			if g := gap(c.shape, d.shape); g < clearance {
				t.Errorf("%s of %s and %s of %s near (%.3f, %.3f) mm: gap %.1f um, want %d or more",
					c.what, b.netName(c.net), d.what, b.netName(d.net),
					float64(c.shape.a.x)/1000, float64(c.shape.a.y)/1000, g, clearance)
			}
		}
		lo, hi := c.shape.bounds()
		if lo.x < edgeClearance || lo.y < edgeClearance || hi.x > boardW-edgeClearance || hi.y > boardH-edgeClearance {
			t.Errorf("%s of %s is within %d um of the edge", c.what, b.netName(c.net), edgeClearance)
		}
		for _, h := range b.holes {
			if g := gap(c.shape, disc(h.at, h.diameter)); g < pourClearance {
				t.Errorf("%s of %s is %.0f um from a mounting hole", c.what, b.netName(c.net), g)
			}
		}
	}
}

func (b *board) netName(n int) string {
	if n == noNet {
		return "no net"
	}
	return b.nets[n]
}

// TestPourClearance measures the pour's edges against all foreign copper.
func TestPourClearance(t *testing.T) {
	b := theBoard(t)
	ground := b.netID("GND")
	for layer := range 2 {
		for _, c := range b.coppers() {
			if c.net == ground || c.layers&(1<<layer) == 0 {
				continue
			}
			if inPour(b, layer, c.shape.a) || inPour(b, layer, c.shape.b) {
				t.Errorf("L%d: %s of %s lies in the pour", layer+1, c.what, b.netName(c.net))
			}
			b.eachEdge(layer, func(p, q point) {
				edge := shape{a: p, b: q}
				if near(edge, c.shape, pourClearance) && gap(edge, c.shape) < pourClearance {
					t.Errorf("L%d near (%.3f, %.3f) mm: pour %.1f um from %s of %s, want %d", layer+1,
						float64(p.x)/1000, float64(p.y)/1000, gap(edge, c.shape), c.what, b.netName(c.net), pourClearance)
				}
			})
		}
	}
}

// TestPourKeepsOff measures the pour against the profile and the mounting
// holes.
func TestPourKeepsOff(t *testing.T) {
	b := theBoard(t)
	for layer := range 2 {
		b.eachEdge(layer, func(p, q point) {
			if d := insideProfile(float64(p.x), float64(p.y)); d < edgeClearance {
				t.Errorf("L%d: pour at %v is %.0f um from the profile, want %d", layer+1, p, d, edgeClearance)
			}
			for _, h := range b.holes {
				if g := gap(disc(h.at, h.diameter), shape{a: p, b: q}); g < holeClearance {
					t.Errorf("L%d: pour at %v is %.0f um from a hole, want %d", layer+1, p, g, holeClearance)
				}
			}
		})
	}
}

// eachEdge calls f for every edge of a layer's pour.
func (b *board) eachEdge(layer int, f func(p, q point)) {
	for _, p := range b.pour[layer] {
		for _, ring := range append([][]point{p.outer}, p.holes...) {
			for i, a := range ring {
				f(a, ring[(i+1)%len(ring)])
			}
		}
	}
}

// TestHoleSpacing keeps the walls between drilled holes whole.
func TestHoleSpacing(t *testing.T) {
	b := theBoard(t)
	var holes []shape
	for _, v := range b.vias {
		holes = append(holes, disc(v.at, viaDrill))
	}
	for _, l := range b.lands {
		if l.drill > 0 {
			holes = append(holes, disc(l.at, l.drill))
		}
	}
	for i, h := range holes {
		for _, g := range holes[:i] {
			if d := gap(h, g); d < 250 {
				t.Errorf("holes at %v and %v: wall of %.0f um, want 250 or more", h.a, g.a, d)
			}
		}
	}
}

// TestSpokes asks for a thermal tie or a way down at every ground pad.
func TestSpokes(t *testing.T) {
	b := theBoard(t)
	if len(b.spokes) < 50 {
		t.Errorf("thermal spokes: got %d, want 50 or more", len(b.spokes))
	}
	for _, l := range b.lands {
		if l.drill == 0 || l.net != b.netID("GND") {
			continue
		}
		n := 0
		for _, s := range b.spokes {
			if s.a == l.at {
				n++
			}
		}
		if n < 4 {
			t.Errorf("%s.%s: got %d spokes on two layers, want 4 or more", l.ref, l.pin, n)
		}
	}
}
