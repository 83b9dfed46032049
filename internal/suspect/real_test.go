package suspect

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
	"ohmward/internal/check"
	"ohmward/internal/copper"
)

// opened keeps the real boards that tests have read.
var opened = map[string]*copper.Nets{}

// openReal reads a board of the shared folder and finds its nets, once for
// all tests; it skips where the folder is absent.
func openReal(t testing.TB, name string) *copper.Nets {
	t.Helper()
	if n := opened[name]; n != nil {
		return n
	}
	b, err := boardread.Open(context.Background(), filepath.Join(check.Shared(t), "checks", "boards", name), boardread.Options{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	n, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	opened[name] = n
	return n
}

// between asks for two nets by name.
func between(t testing.TB, n *copper.Nets, a, b string) Question {
	t.Helper()
	q := Question{Board: n.Board, Nets: n, Rates: DefaultRates()}
	for g, name := range []string{a, b} {
		i, err := n.ByName(name)
		if err != nil {
			t.Fatal(err)
		}
		q.Groups[g] = []int{i}
	}
	return q
}

// knownShort is one case of shorts.json.
type knownShort struct {
	ID    string `json:"id"`
	Board string `json:"board"`
	NetA  string `json:"net_a"`
	NetB  string `json:"net_b"`
	Truth struct {
		Layer string     `json:"layer"`
		OnA   [2]float64 `json:"on_a"`
		OnB   [2]float64 `json:"on_b"`
		Gap   float64    `json:"gap_mm"`
	} `json:"truth"`
}

func knownShorts(t testing.TB) []knownShort {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(check.Shared(t), "checks", "shorts.json"))
	if err != nil {
		t.Skip("no shorts.json among the outside checks: skipped")
	}
	var file struct{ Cases []knownShort }
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	return file.Cases
}

// Shared checks, shorts.json: places on facing edges found by an independent
// program. Each must lie near a listed sample, with the gap right.
func TestKnownShortsAreListed(t *testing.T) {
	cases := knownShorts(t)
	if len(cases) == 0 {
		t.Fatal("no cases in shorts.json")
	}
	listed, inside, slowest := 0, 0, time.Duration(0)
	for _, c := range cases {
		if testing.Short() && c.Board != "openrpncalc" {
			continue // large boards: seconds each
		}
		n := openReal(t, c.Board)
		q := between(t, n, c.NetA, c.NetB)
		start := time.Now()
		sites, _ := List(q)
		took := time.Since(start)
		slowest = max(slowest, took)
		off, gapOff := nearestTruth(n, sites, c)
		if !onOutline(n, q.Groups[0][0], c.Truth.Layer, c.Truth.OnA) {
			// One place lies on the edge of a pad that a pour of its own net
			// covers: its gap runs through copper, so only the place counts.
			t.Logf("%s: the true place lies 5 µm or more inside its copper", c.ID)
			gapOff = 0
			inside++
		}
		if off <= 0.15 && gapOff <= 0.020 {
			listed++
		} else {
			t.Errorf("%s: nearest listed gap %.3f mm from the truth, its gap off by %.4f mm; want within 0.15 and 0.020", c.ID, off, gapOff)
		}
		t.Logf("%s: %d sites in %v, off %.3f mm, gap off %.4f mm", c.ID, len(sites), took.Round(time.Millisecond), off, gapOff)
	}
	if inside > 1 {
		t.Errorf("%d places lie inside their copper, want 1 at most", inside)
	}
	t.Logf("%d of %d places listed; slowest list %v", listed, len(cases), slowest.Round(time.Millisecond))
}

// onOutline tells whether a place lies within 5 µm of a net's outline.
func onOutline(n *copper.Nets, net int, layer string, at [2]float64) bool {
	l := slices.IndexFunc(n.Board.Layers, func(l board.Layer) bool { return l.Name == layer })
	var edges []geom.TaggedSegment
	n.Copper(net, l).Rings(func(r geom.Ring) { edges = appendEdges(edges, r, 0, everywhere) })
	_, ok := geom.NewEdgeIndex(edges).Nearest(geom.FromMM(at[0], at[1]), 5_000, nil)
	return ok
}

// nearestTruth gives, in millimetres, how far the listed gap nearest to the
// truth is from it and how far off the gap is; of those within 0.15 mm the
// one whose gap is nearest.
func nearestTruth(n *copper.Nets, sites []Site, c knownShort) (off, gapOff float64) {
	tx, ty := (c.Truth.OnA[0]+c.Truth.OnB[0])/2, (c.Truth.OnA[1]+c.Truth.OnB[1])/2
	off, gapOff = math.Inf(1), math.Inf(1)
	for _, s := range sites {
		if s.Kind != Gap || n.Board.Layers[s.LayerA].Name != c.Truth.Layer {
			continue
		}
		x, y := s.Mid()
		d, g := math.Hypot(x-tx, y-ty), math.Abs(s.Gap*1e3-c.Truth.Gap)
		if d <= 0.15 && g < gapOff || off > 0.15 && d < off {
			off, gapOff = d, g
		}
	}
	return off, gapOff
}

func BenchmarkList(b *testing.B) {
	for _, c := range [][3]string{
		{"glasgow-revc0", "GND", "+3V3"}, {"openrpncalc", "GND", "VDD"}, {"orangecrab", "GND", "P3.3V"},
	} {
		b.Run(c[0], func(b *testing.B) {
			q := between(b, openReal(b, c[0]), c[1], c[2])
			b.ReportAllocs()
			for b.Loop() {
				sites, _ := List(q)
				b.ReportMetric(float64(len(sites)), "sites")
			}
		})
	}
}

func BenchmarkProne(b *testing.B) {
	for _, name := range []string{"glasgow-revc0", "openrpncalc", "orangecrab"} {
		b.Run(name, func(b *testing.B) {
			n := openReal(b, name)
			for b.Loop() {
				if _, err := Prone(context.Background(), n.Board, n, DefaultRates(), 200); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
