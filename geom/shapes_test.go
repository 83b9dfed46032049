package geom

import (
	"math"
	"testing"
)

const mm = 1_000_000

func at(x, y float64) Point { return FromMM(x, y) }

// TestKnownAreas: REFERENCES E1, areas of standard apertures and the Gerber
// Layer Format Specification's example 1, in mm². The tolerances hold the last
// digit given, chords of 1 nm and vertices rounded to 1 nm.
func TestKnownAreas(t *testing.T) {
	const tol = 1
	polygon := func(d float64, n int) Ring {
		var r Ring
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r = append(r, at(d/2*cos, d/2*sin))
		}
		return r
	}
	cutX := Rectangle(Box{at(-1, -0.0625), at(1, 0.0625)})
	cutY := Rectangle(Box{at(-0.0625, -1), at(0.0625, 1)})
	frame := func(x float64) []Ring {
		return []Ring{
			Stroke(at(x, 0), at(x+5, 0), 0.010*mm, tol), Stroke(at(x+5, 0), at(x+5, 5), 0.010*mm, tol),
			Stroke(at(x+5, 5), at(x, 5), 0.010*mm, tol), Stroke(at(x, 5), at(x, 0), 0.010*mm, tol),
		}
	}
	for _, c := range []struct {
		name   string
		region Region
		want   float64
		eps    float64
	}{
		{"circle 0.6", Fill([]Ring{Circle(Point{}, 0.3*mm, tol)}, NonZero), 0.282743, 1e-5},
		{"obround 0.4x1", Fill([]Ring{Stroke(at(0, -0.3), at(0, 0.3), 0.4*mm, tol)}, NonZero), 0.365664, 1e-5},
		{"polygon 1x3", Fill([]Ring{polygon(1, 3)}, NonZero), 0.324760, 1e-6},
		{"polygon 1x6", Fill([]Ring{polygon(1, 6)}, NonZero), 0.649519, 1e-6},
		{"polygon 1x8", Fill([]Ring{polygon(1, 8)}, NonZero), 0.707107, 2e-6},
		{"draw 5 mm, 0.1 round", Fill([]Ring{Stroke(at(0, 0), at(3, 4), 0.1*mm, tol)}, NonZero), 0.507854, 1e-5},
		{"thermal 0.8/0.55/0.125/45", Paint([]Coat{
			{true, []Ring{Circle(Point{}, 0.4*mm, tol)}},
			{false, []Ring{Circle(Point{}, 0.275*mm, tol), cutX.Rotate(Point{}, 45), cutY.Rotate(Point{}, 45)}},
		}), 0.202196, 2e-5},
		{"one square box", Fill(frame(0), NonZero), 0.1999785, 1e-7},
		{"two square boxes", Fill(append(frame(0), frame(6)...), NonZero), 0.3999571, 2e-7},
	} {
		if got := c.region.Area() / (mm * mm); math.Abs(got-c.want) > c.eps {
			t.Errorf("%s: %.7f mm², want %.7f", c.name, got, c.want)
		}
	}
	two := Fill(append(frame(0), frame(6)...), NonZero)
	if got, want := two.Bounds(), (Box{at(-0.005, -0.005), at(11.005, 5.005)}); got != want {
		t.Errorf("two square boxes: bounds %v, want %v", got, want)
	}
}

func TestCircle(t *testing.T) {
	for _, c := range []struct{ radius, tol int64 }{{1, 1}, {2, 1}, {7, 1}, {1000, 10}, {300_000, 2000},
		{5_000_000, 1}, {50_000, 1_000_000}} {
		r := Circle(Point{10, -20}, c.radius, c.tol)
		has := map[Point]bool{}
		worst := 0.0
		for i, p := range r {
			has[p] = true
			off := math.Abs(Distance(p, Point{10, -20}) - float64(c.radius))
			if off > 0.71 {
				t.Errorf("radius %d: vertex %v is %v nm off the circle", c.radius, p, off)
			}
			worst = max(worst, float64(c.radius)-DistPointSegment(Point{10, -20}, p, r[(i+1)%len(r)]))
		}
		for _, d := range []Point{{c.radius, 0}, {0, c.radius}, {-c.radius, 0}, {0, -c.radius}} {
			if !has[Point{10 + d.X, -20 + d.Y}] {
				t.Errorf("radius %d: no vertex on the axis at %v", c.radius, d)
			}
		}
		for p := range has {
			if !has[Point{20 - p.X, p.Y}] || !has[Point{p.X, -40 - p.Y}] {
				t.Errorf("radius %d: %v has no mirror image", c.radius, p)
			}
		}
		if c.radius > 100 && (len(r)%4 != 0 || len(r) < 12) {
			t.Errorf("radius %d: %d sides", c.radius, len(r))
		}
		if c.tol < c.radius && worst > float64(c.tol)+1 {
			t.Errorf("radius %d: chord error %v, allowed %d", c.radius, worst, c.tol)
		}
		if r.Area() < 0 {
			t.Errorf("radius %d: clockwise", c.radius)
		}
	}
	if Circle(Point{}, 0, 1) != nil || Stroke(Point{}, Point{5, 5}, 0, 1) != nil {
		t.Error("a shape of no width has vertices")
	}
}

func TestStroke(t *testing.T) {
	r := Stroke(at(0, 0), at(10, 0), 0.25*mm, 1000)
	for _, want := range []Point{at(0, 0.125), at(0, -0.125), at(10, 0.125), at(10, -0.125), at(10.125, 0),
		at(-0.125, 0)} {
		found := false
		for _, p := range r {
			found = found || p == want
		}
		if !found {
			t.Errorf("no vertex at %v", want)
		}
	}
	for angle := 0.0; angle < 360; angle += 7.5 {
		sin, cos := SinCos(angle)
		b := at(3*cos, 3*sin)
		r := Stroke(Point{}, b, 0.3*mm, 100)
		if want := (3*0.3 + math.Pi*0.15*0.15) * mm * mm; math.Abs(r.Area()-want) > 1e-3*want {
			t.Errorf("%v degrees: area %v, want %v", angle, r.Area(), want)
		}
		for _, p := range r {
			if d := DistPointSegment(p, Point{}, b); math.Abs(d-0.15*mm) > 1.5 {
				t.Errorf("%v degrees: vertex %v is %v nm from the centre line", angle, p, d)
			}
		}
	}
}

func TestArcPoints(t *testing.T) {
	c := at(1, 2)
	for _, k := range []struct {
		name       string
		start, end Point
		ccw        bool
		sweep      float64
	}{
		{"quarter", at(6, 2), at(1, 7), true, math.Pi / 2},
		{"three quarters", at(6, 2), at(1, 7), false, 3 * math.Pi / 2},
		{"half", at(6, 2), at(-4, 2), true, math.Pi},
		{"half, clockwise", at(6, 2), at(-4, 2), false, math.Pi},
		{"full", at(6, 2), at(6, 2), true, 2 * math.Pi},
		{"full, clockwise", at(6, 2), at(6, 2), false, 2 * math.Pi},
		{"small", at(6, 2), at(6, 2.001), true, 0.0002},
	} {
		p := ArcPoints(k.start, k.end, c, k.ccw, 500)
		if p[0] != k.start || p[len(p)-1] != k.end {
			t.Errorf("%s: ends %v and %v", k.name, p[0], p[len(p)-1])
		}
		swept := 0.0
		for i := 1; i < len(p); i++ {
			ax, ay := float64(p[i-1].X-c.X), float64(p[i-1].Y-c.Y)
			bx, by := float64(p[i].X-c.X), float64(p[i].Y-c.Y)
			swept += math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
			if d := DistPointSegment(c, p[i-1], p[i]); d < 5*mm-502 {
				t.Errorf("%s: chord %d is %v nm from the centre", k.name, i, d)
			}
		}
		if !k.ccw {
			swept = -swept
		}
		if math.Abs(swept-k.sweep) > 1e-6 {
			t.Errorf("%s: sweeps %v, want %v", k.name, swept, k.sweep)
		}
	}
}
