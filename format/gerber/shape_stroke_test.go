package gerber

import (
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

const mm = 1_000_000

// TestChords checks that corners and chords stray no more than 0.25 um from
// the circle, that the area is the circle's and its extents are exact, over
// radii from a micrometre to a metre: common geometry, no source.
func TestChords(t *testing.T) {
	for radius := 1000.0; radius < 1e9; radius *= 2.7 {
		ring := circle(0, 0, radius)
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			if d := math.Abs(math.Hypot(float64(p.X), float64(p.Y)) - radius); d > 250 {
				t.Fatalf("radius %g: corner %v is %g nm off", radius, p, d)
			}
			mid := math.Hypot(float64(p.X+q.X)/2, float64(p.Y+q.Y)/2)
			if radius-mid > 250 {
				t.Fatalf("radius %g: chord strays %g nm", radius, radius-mid)
			}
		}
		// Rounding moves each of n corners by up to 0.71 nm.
		near(t, "area", 2*ring.Area()/2, math.Pi*radius*radius, 2*math.Pi*radius*0.71)
		b := geom.Ring(ring).Bounds()
		if r := int64(math.Round(radius)); b != (geom.Box{Min: geom.Point{X: -r, Y: -r}, Max: geom.Point{X: r, Y: r}}) {
			t.Fatalf("radius %g: extents %v", radius, b)
		}
	}
}

// area of shapes for non-zero filling, mm2.
func filled(in []geom.Ring) float64 { return geom.Fill(in, geom.NonZero).Area() * 1e-12 }

// TestArcStroke: a round stroke along an arc of radius R covers
// w*R*angle + pi*w*w/4 as long as w/2 <= R and the ends do not meet.
func TestArcStroke(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 40 {
		radius := 0.2 + 3*rng.Float64()
		w := 0.05 + 0.3*rng.Float64()
		from, turn := 2*math.Pi*rng.Float64(), 0.2+4.5*rng.Float64()
		if w/radius > 2*math.Pi-turn { // the ends would overlap
			continue
		}
		at := func(angle float64) geom.Point {
			return geom.FromMM(radius*math.Cos(angle), radius*math.Sin(angle))
		}
		clockwise := rng.IntN(2) == 0
		a, b := at(from), at(from+turn)
		if clockwise {
			a, b = b, a
		}
		c, ok := newArc(a, b, geom.Vec{}, clockwise, true)
		if !ok {
			t.Fatal("no arc")
		}
		got := filled(c.stroke(w / 2 * mm))
		want := w*radius*turn + math.Pi*w*w/4
		near(t, "arc stroke", got, want, 2e-9*(2*radius*turn+math.Pi*w)*1e3)
	}
}

func TestArcStrokeSpecial(t *testing.T) {
	ring, _ := newArc(geom.FromMM(1, 0), geom.FromMM(1, 0), geom.Vec{}, true, true)
	near(t, "full circle", filled(ring.stroke(0.1*mm)), math.Pi*(1.1*1.1-0.9*0.9), 1e-5)
	near(t, "full circle, disc wider than it", filled(ring.stroke(1.5*mm)), math.Pi*2.5*2.5, 1e-5)
	half, _ := newArc(geom.FromMM(0.1, 0), geom.FromMM(-0.1, 0), geom.Vec{}, false, true)
	b := geom.Bounds(half.stroke(0.3 * mm))
	near(t, "tight arc, left", float64(b.Min.X), -0.4*mm, 250) // chords stand inside by 0.25 um at most
	near(t, "tight arc, right", float64(b.Max.X), 0.4*mm, 250)
	near(t, "tight arc, low", float64(b.Min.Y), -0.3*mm, 250)
	near(t, "tight arc, high", float64(b.Max.Y), 0.4*mm, 250)
	short, ok := newArc(geom.Point{X: 1000, Y: 0}, geom.Point{X: 1000, Y: 1}, geom.Vec{}, false, true)
	if !ok || short.sweep > 0.01 {
		t.Errorf("a nanometre's arc turns by %g", short.sweep)
	}
}

// TestCapsule: area w*l + pi*w*w/4, and exact extents on an axis.
func TestCapsule(t *testing.T) {
	bounds(t, geom.Ring(capsule(geom.Vec{X: 0, Y: 0}, geom.Vec{X: 2 * mm, Y: 0}, 0.1*mm, chord)).Bounds(), -0.1, -0.1, 2.1, 0.1)
	near(t, "capsule", filled([]geom.Ring{capsule(geom.Vec{X: 0, Y: 0}, geom.Vec{X: 3 * mm, Y: -4 * mm}, 0.1*mm, chord)}), 5*0.2+math.Pi*0.01, 2e-6)
}

// TestSweep: a rectangle w by h moved by (dx, dy) covers
// w*h + h*|dx| + w*|dy|; a shape with a hole the same less what stays open.
func TestSweep(t *testing.T) {
	for _, c := range []struct{ w, h, dx, dy float64 }{
		{1, 0.5, 3, 0}, {1, 0.5, 0, -2}, {1, 0.5, 2, 3}, {0.3, 2, -1.5, 0.25}, {1, 1, 0, 0},
	} {
		shape := []geom.Ring{rectangle(int64(c.w*mm), int64(c.h*mm))}
		a, b := geom.FromMM(5, 6), geom.FromMM(5+c.dx, 6+c.dy)
		want := c.w*c.h + c.h*math.Abs(c.dx) + c.w*math.Abs(c.dy)
		near(t, "convex sweep", filled(sweep(shape, true, a, b)), want, 1e-5)
		near(t, "general sweep", filled(sweep(shape, false, a, b)), want, 1e-5)
	}
	frame := []geom.Ring{rectangle(2*mm, 2*mm), cw(rectangle(mm, mm))}
	got := filled(sweep(frame, false, geom.Point{}, geom.FromMM(0.25, 0.5)))
	near(t, "sweep of a frame", got, 4+2*0.25+2*0.5-0.75*0.5, 1e-5)
	got = filled(sweep(frame, false, geom.Point{}, geom.FromMM(3, 0)))
	near(t, "long sweep of a frame", got, 5*2, 1e-5)
}

// TestZeroLengthDraw: a draw of no length equals a flash (specification).
func TestZeroLengthDraw(t *testing.T) {
	for _, ad := range []string{"C,0.5", "R,0.5X0.2", "O,0.5X0.2", "P,1X5", "C,0.5X0.2"} {
		draw := mustRead(t, header+"%ADD10"+ad+"*%D10*X1Y1D02*X1Y1D01*M02*")
		flash := mustRead(t, header+"%ADD10"+ad+"*%D10*X1Y1D03*M02*")
		near(t, ad, square(painted(draw)), square(painted(flash)), 0)
		if draw.Bounds != flash.Bounds {
			t.Errorf("%s: bounds %v, %v", ad, draw.Bounds, flash.Bounds)
		}
	}
}

// TestNoSize: an aperture of no size paints nothing but leaves its way.
func TestNoSize(t *testing.T) {
	img := mustRead(t, header+"%ADD10C,0*%D10*X0Y0D02*X1000000D01*G75*G03*X0I-500000J0D01*M02*")
	if len(img.Objects) != 2 || img.Objects[0].Rings != nil || img.Objects[0].To != geom.FromMM(1, 0) ||
		len(img.Objects[1].Via) < 20 || !img.Bounds.Empty() {
		t.Errorf("got %+v", img.Objects)
	}
}
