package locate

import (
	"math"
	"testing"

	"ohmward/internal/check"
	"ohmward/internal/suspect"
)

// solderAt is solder seen to bridge at a place of the track.
func solderAt(x float64) Finding {
	return Finding{Done: "looked", Seen: "bridge", What: "solder", HasPlace: true, X: x}
}

// TestSeenSettles: a place where what bridges was seen is fifty times likelier than
// before against any other, within the place and not beside it; on the other side
// of the board and inside it nothing was seen.
func TestSeenSettles(t *testing.T) {
	c := supplyTrack(t, []float64{5, 20}, []float64{0.0076, 0.0156}, Meter{NoiseOhms: 3e-3})
	last := len(c.Sites) - 1
	c.Sites[last].A, c.Sites[last].B, c.Sites[last].Kind = c.Sites[0].A, c.Sites[0].B, suspect.Layers
	c.Sites[last-1].A, c.Sites[last-1].B = c.Sites[0].A, c.Sites[0].B
	c.Sites[last-1].LayerA, c.Sites[last-1].LayerB = 3, 3
	c.Sites[0].A = c.Sites[1].A
	before, err := Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	x, _ := c.Sites[1].Mid()
	c.Findings = []Finding{solderAt(x)}
	after, err := Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	gain := func(s int) float64 { return after.P[s] / after.P[200] / (before.P[s] / before.P[200]) }
	for s, want := range map[int]float64{1: sightOdds, 4: sightOdds, 30: 1, last: 1, last - 1: 1} {
		check.Approx(t, gain(s), want, check.Tol{Rel: 1e-6}, "site")
		_ = s
	}
	g, ok := after.Sighting()
	if !ok || !g.Listed || g.Against || g.Worst >= 0 || !g.At(c.Sites[1]) || g.At(c.Sites[30]) || g.At(c.Sites[last]) {
		t.Errorf("%+v", g)
	}
	if _, ok := before.Sighting(); ok {
		t.Error("seen before anybody looked")
	}
}

// TestReadingsAgainstSight: readings that clearly fit another place say so, and which
// suits the place that was seen least; the answer stays where they point.
func TestReadingsAgainstSight(t *testing.T) {
	m, _ := Profile("bench-6.5-digit")
	c := supplyTrack(t, []float64{5, 20, 45, 55}, []float64{0.007, 0.022, 0.049, 0.060}, m)
	c.Findings = []Finding{solderAt(40)}
	p, err := Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	g, ok := p.Sighting()
	if !ok || !g.Listed || !g.Against || g.Worst < 0 || g.P > 0.1 {
		t.Errorf("%+v", g)
	}
	if x, _ := p.Case.Sites[p.Best.Site].Mid(); math.Abs(x-5) > 6 {
		t.Errorf("the answer went to %.1f mm", x)
	}
	for _, x := range []float64{5, 400} { // where the readings point, and where nothing is listed
		c.Findings = []Finding{solderAt(x)}
		if p, err = Solve(c); err != nil {
			t.Fatal(err)
		}
		if g, ok := p.Sighting(); !ok || g.Against || g.Listed != (x < 60) {
			t.Errorf("at %.0f mm: %+v", x, g)
		}
	}
}
