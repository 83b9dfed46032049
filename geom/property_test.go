package geom

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// checkFill runs every law that a filling has to obey.
func checkFill(t *testing.T, rings []Ring, rule Rule) {
	t.Helper()
	var in intake
	for _, r := range rings {
		in.ring(r, 0)
	}
	n := snap(in.network(), nil)
	if err := checkPlanar(n); err != nil {
		t.Fatalf("%v: %v", rings, err)
	}
	got := Fill(rings, rule)
	if err := checkClean(got); err != nil {
		t.Fatalf("%v: %v", rings, err)
	}
	box := EmptyBox()
	for _, r := range rings {
		box = box.Join(r.Bounds())
	}
	side := 1.0
	if !box.Empty() {
		side = float64(max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y, 1))
	}
	if want := networkArea(n, &oneWinding{rule: rule}); math.Abs(got.Area()-want) > 1e-9*side*side {
		t.Fatalf("%v: area %v, of the rounded network %v", rings, got.Area(), want)
	}
	if want, length := fillOracle(rings, rule); math.Abs(got.Area()-want) > 1.5*length+1e-9*side*side {
		t.Fatalf("%v: area %v, before rounding %v", rings, got.Area(), want)
	}
	if again := Union(got); !reflect.DeepEqual(again, got) {
		t.Fatalf("%v: union with nothing changes %v to %v", rings, got, again)
	}
}

func TestFillLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, side := range []int64{1, 2, 3, 5, 8, 20, 60, 200, 1000, 30_000, 1_000_000, 500_000_000} {
		for k := range 30 {
			checkFill(t, randomRings(rng, 1+rng.IntN(4), 1+rng.IntN(12), side), Rule(k&1))
		}
	}
}

// TestSetLaws: area(A∪B)+area(A∩B) = area(A)+area(B), the same for the
// difference, and the exclusive or.
func TestSetLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, side := range []int64{4, 30, 300, 5_000, 2_000_000, 900_000_000} {
		for range 15 {
			ra, rb := randomRings(rng, 2, 6, side), randomRings(rng, 2, 6, side)
			a, b := Fill(ra, NonZero), Fill(rb, EvenOdd)
			_, la := ringSegments(ra)
			_, lb := ringSegments(rb)
			tol := 3*(la+lb) + 1e-9*float64(side)*float64(side)
			u, i, d, x := Union(a, b), Intersection(a, b), Difference(a, b), symDifference(a, b)
			for _, r := range []Region{a, b, u, i, d, x} {
				if err := checkClean(r); err != nil {
					t.Fatal(err)
				}
			}
			for _, law := range []struct {
				name      string
				got, want float64
			}{
				{"union + intersection", u.Area() + i.Area(), a.Area() + b.Area()},
				{"difference + intersection", d.Area() + i.Area(), a.Area()},
				{"exclusive or", x.Area(), u.Area() - i.Area()},
			} {
				if math.Abs(law.got-law.want) > tol {
					t.Errorf("side %d: %s is %v, want %v", side, law.name, law.got, law.want)
				}
			}
			if n := Difference(a, a); n != nil {
				t.Errorf("a without a is %v", n)
			}
			if !reflect.DeepEqual(Intersection(a, a), a) {
				t.Errorf("a with a is not a: %v", a)
			}
		}
	}
}

// TestExactOnEvenGrid: where all crossings fall on whole nanometres nothing is
// rounded. Then the area is the count of the triangles of half-squares whose
// centres lie inside, translation moves the result, a quarter turn turns it.
func TestExactOnEvenGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 60 {
		rings := octilinearRings(rng, 1+rng.IntN(5), 16)
		for _, rule := range []Rule{NonZero, EvenOdd} {
			got := Fill(rings, rule)
			if err := checkClean(got); err != nil {
				t.Fatal(err)
			}
			if want := triangleCount(rings, rule, 40); got.Area() != want {
				t.Fatalf("%v: area %v, counted %v", rings, got.Area(), want)
			}
			moved := make([]Ring, len(rings))
			turned := make([]Ring, len(rings))
			for i, r := range rings {
				moved[i] = r.Move(Point{-123456789, 987654})
				turned[i] = r.Rotate(Point{3, 4}, 90)
			}
			back := Fill(moved, rule)
			for i := range back {
				back[i].Outer = back[i].Outer.Move(Point{123456789, -987654})
				for k := range back[i].Holes {
					back[i].Holes[k] = back[i].Holes[k].Move(Point{123456789, -987654})
				}
			}
			if !reflect.DeepEqual(back, got) {
				t.Fatalf("%v: moved there and back gives %v, want %v", rings, back, got)
			}
			if q := Fill(turned, rule); q.Area() != got.Area() || len(q) != len(got) ||
				q.Vertices() != got.Vertices() {
				t.Fatalf("%v: a quarter turn changes the result", rings)
			}
		}
	}
}

// octilinearRings gives rings of horizontal, upright and diagonal steps between
// points with even coordinates, closed by such steps.
func octilinearRings(rng *rand.Rand, n int, side int64) []Ring {
	out := make([]Ring, n)
	for i := range out {
		p := Point{2 * rng.Int64N(side/2), 2 * rng.Int64N(side/2)}
		start := p
		for range 3 + rng.IntN(8) {
			out[i] = append(out[i], p)
			d := 2 * (1 + rng.Int64N(side/4))
			q := Point{p.X + d*(rng.Int64N(3)-1), p.Y + d*(rng.Int64N(3)-1)}
			if q.X >= 0 && q.X <= side && q.Y >= 0 && q.Y <= side {
				p = q
			}
		}
		out[i] = append(out[i], p, Point{start.X, p.Y})
	}
	return out
}

// triangleCount adds up the unit triangles of 2×2 squares cut by both
// diagonals, judged by the winding number of a point inside each.
func triangleCount(rings []Ring, rule Rule, side int64) float64 {
	area := 0.0
	for x := int64(0); x < side; x += 2 {
		for y := int64(0); y < side; y += 2 {
			for _, d := range []Point{{4, 1}, {4, 7}, {1, 4}, {7, 4}} {
				w := 0
				for _, r := range rings {
					w += windingAt(r.Scale(Point{}, 4), Point{4*x + d.X, 4*y + d.Y})
				}
				if rule == NonZero && w != 0 || rule == EvenOdd && w&1 != 0 {
					area++
				}
			}
		}
	}
	return area
}

func windingAt(r Ring, p Point) int {
	w := 0
	r.Edges(func(s Segment) {
		switch {
		case s.A.Y <= p.Y && s.B.Y > p.Y && Orient(s.A, s.B, p) > 0:
			w++
		case s.A.Y > p.Y && s.B.Y <= p.Y && Orient(s.A, s.B, p) < 0:
			w--
		}
	})
	return w
}

func FuzzFill(f *testing.F) {
	f.Add([]byte{20, 0, 3, 0, 0, 19, 7, 3, 18, 5, 9, 4, 1, 1, 17, 3, 2, 16, 11, 11})
	f.Add([]byte{200, 1, 4, 0, 0, 255, 255, 0, 255, 255, 0, 9, 90, 250, 7, 3, 3, 199, 20})
	f.Add([]byte{2, 0, 3, 0, 0, 1, 1, 2, 2, 2, 0, 1, 0, 1, 0, 0, 0, 2})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 3 || len(data) > 200 {
			return
		}
		side, rule, corners := int64(data[0])+1, Rule(data[1]&1), 3+int(data[2])%16
		var rings []Ring
		var ring Ring
		for i := 3; i+1 < len(data); i += 2 {
			ring = append(ring, Point{int64(data[i]) % side, int64(data[i+1]) % side})
			if len(ring) == corners {
				rings, ring = append(rings, ring), nil
			}
		}
		checkFill(t, append(rings, ring), rule)
	})
}
