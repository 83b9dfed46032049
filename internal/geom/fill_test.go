package geom

import "testing"

func square(x, y, s int64) Ring { return Rectangle(Box{Point{x, y}, Point{x + s, y + s}}) }

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
			t.Errorf("%s: area %v, %d polygons, %d holes; want %v, %d, %d: %v", c.name, r.Area(), len(r), holes, c.area, c.polys, c.holes, r)
		}
	}
}
