package geom

import "testing"

func TestInsidePoints(t *testing.T) {
	ell := Ring{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 100}, {X: 100, Y: 100}, {X: 100, Y: 110}, {X: 0, Y: 110}}
	for i := range ell {
		ell[i].X, ell[i].Y = ell[i].X*1000, ell[i].Y*1000
	}
	got := InsidePoints([]Ring{ell})
	if len(got) < 5 {
		t.Fatalf("%d places in an L, want some", len(got))
	}
	for _, p := range got {
		if !ell.Contains(p) || Winding([]Ring{ell}, p) != 1 || Winding([]Ring{ell.Reverse()}, p) != -1 {
			t.Errorf("%v is not inside", p)
		}
	}
	ring := []Ring{Circle(Point{}, 1_000_000, 100), Circle(Point{}, 600_000, 100).Reverse()}
	for _, p := range InsidePoints(ring) {
		if d := Distance(p, Point{}); d < 590_000 || d > 1_001_000 {
			t.Errorf("%v is not inside the annulus", p)
		}
	}
}
