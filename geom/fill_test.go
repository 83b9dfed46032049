package geom

import (
	"math"
	"testing"
)

func square(x, y, s int64) Ring { return Rectangle(Box{Point{x, y}, Point{x + s, y + s}}) }

// TestWrongTurns: set operations take hand-made regions turned either way.
func TestWrongTurns(t *testing.T) {
	a := Region{{Outer: square(0, 0, 30).Reverse(), Holes: []Ring{square(10, 10, 10)}}}
	b := Region{{Outer: square(5, 5, 10)}}
	if got := Union(a, b).Area(); got != 825 {
		t.Errorf("union: area %v, want 825", got)
	}
	if got := Difference(a, b).Area(); got != 725 {
		t.Errorf("difference: area %v, want 725", got)
	}
}

// TestExtremes: nothing panics or hangs on sizes that make no sense.
func TestExtremes(t *testing.T) {
	const huge = 1 << 62
	if n := len(Circle(Point{}, huge, 0)); n > 1_000_000 {
		t.Errorf("a circle of %d vertices", n)
	}
	if n := len(ArcPoints(Point{huge, 0}, Point{0, huge}, Point{}, true, -5)); n > 1_000_000 {
		t.Errorf("an arc of %d vertices", n)
	}
	r := Region{{Outer: Ring{{0, 0}, {0, 0}, {100, 0}, {100, 100}, {100, 100}}}}
	if got := Offset(r, huge, 1000).Bounds(); got.Max.X != MaxCoord || got.Min.Y != -MaxCoord {
		t.Errorf("grown beyond all bounds: %v", got)
	}
	if got := Offset(r, -huge, 1000); got != nil {
		t.Errorf("shrunk beyond all bounds: %v", got)
	}
	x := NewEdgeIndex([]TaggedSegment{{Segment{Point{1, 1}, Point{5, 5}}, 7}})
	if f, ok := x.Nearest(Point{-MaxCoord, 0}, math.MaxInt64, nil); !ok || f.On != (Vec{1, 1}) {
		t.Errorf("nearest of all is %v, %v", f, ok)
	}
	if _, ok := x.Nearest(Point{1, 1}, -1, nil); ok {
		t.Error("something is nearer than -1 nm")
	}
	if got := NewEdgeIndex(nil).Query(Box{}, nil); got != nil {
		t.Errorf("found %v in nothing", got)
	}
}

func TestFillBasics(t *testing.T) {
	for _, c := range []struct {
		name  string
		rings []Ring
		rule  Rule
		area  float64
		polys int
		holes int
	}{
		{"nothing", nil, NonZero, 0, 0, 0},
		{"square", []Ring{square(0, 0, 10)}, NonZero, 100, 1, 0},
		{"clockwise square", []Ring{square(0, 0, 10).Reverse()}, NonZero, 100, 1, 0},
		{"twice", []Ring{square(0, 0, 10), square(0, 0, 10)}, NonZero, 100, 1, 0},
		{"twice, even-odd", []Ring{square(0, 0, 10), square(0, 0, 10)}, EvenOdd, 0, 0, 0},
		{"cancelling", []Ring{square(0, 0, 10), square(0, 0, 10).Reverse()}, NonZero, 0, 0, 0},
		{"side by side", []Ring{square(0, 0, 10), square(10, 0, 10)}, NonZero, 200, 1, 0},
		{"corner to corner", []Ring{square(0, 0, 10), square(10, 10, 10)}, NonZero, 200, 2, 0},
		{"overlap", []Ring{square(0, 0, 10), square(5, 5, 10)}, NonZero, 175, 1, 0},
		{"overlap, even-odd", []Ring{square(0, 0, 10), square(5, 5, 10)}, EvenOdd, 150, 2, 0},
		{"nested hole", []Ring{square(0, 0, 30), square(10, 10, 10).Reverse()}, NonZero, 800, 1, 1},
		{"island in hole", []Ring{square(0, 0, 50), square(10, 10, 30), square(20, 20, 10)}, EvenOdd, 1700, 2, 1},
		{"hole touching outline", []Ring{square(0, 0, 20), {{0, 10}, {5, 15}, {5, 5}}}, EvenOdd, 375, 1, 1},
		{"hole along outline", []Ring{square(0, 0, 20), square(0, 5, 5).Reverse()}, NonZero, 375, 1, 0},
		{"bow tie", []Ring{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}, NonZero, 50, 2, 0},
		{"spike", []Ring{{{0, 0}, {10, 0}, {10, 5}, {20, 5}, {10, 5}, {10, 10}, {0, 10}}}, NonZero, 100, 1, 0},
		{"needle", []Ring{{{0, 0}, {10, 0}, {5, 0}}}, NonZero, 0, 0, 0},
		{"one point", []Ring{{{3, 3}, {3, 3}, {3, 3}}}, NonZero, 0, 0, 0},
		{"slit of 1 nm", []Ring{square(0, 0, 10), square(11, 0, 10)}, NonZero, 200, 2, 0},
	} {
		r := Fill(c.rings, c.rule)
		holes := 0
		for _, p := range r {
			holes += len(p.Holes)
		}
		if r.Area() != c.area || len(r) != c.polys || holes != c.holes {
			t.Errorf("%s: area %v, %d polygons, %d holes; want %v, %d, %d: %v", c.name, r.Area(), len(r), holes,
				c.area, c.polys, c.holes, r)
		}
	}
}
