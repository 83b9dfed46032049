package mesh

import (
	"math/big"
	"math/rand/v2"
	"testing"
)

// TestPredicates compares with rational arithmetic on points that are nearly
// or exactly in line or on a circle, over the whole coordinate range.
func TestPredicates(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	zeroO, zeroC := 0, 0
	for range 20000 {
		bits := 1 + rng.IntN(51)
		span := int64(1) << bits
		at := func() point {
			return point{float64(rng.Int64N(2*span+1) - span), float64(rng.Int64N(2*span+1) - span)}
		}
		a, b := at(), at()
		c, d := at(), at()
		switch rng.IntN(4) {
		case 0: // near the line a-b
			f := rng.Float64()
			c = point{floor(a.x + f*(b.x-a.x)), floor(a.y + f*(b.y-a.y))}
		case 1: // a rectangle: four points on a circle, exactly
			c, d = point{b.x, a.y}, point{a.x, b.y}
		case 2: // the same with one corner a tick off
			c, d = point{b.x, a.y}, point{a.x, b.y + float64(rng.IntN(3)-1)}
		}
		wantO := bigOrient(a, b, c)
		if got := sign(orient(a, b, c)); got != wantO {
			t.Fatalf("orient(%v, %v, %v) = %d, want %d", a, b, c, got, wantO)
		}
		wantC := bigInCircle(a, b, c, d)
		if got := sign(inCircle(a, b, c, d)); got != wantC {
			t.Fatalf("inCircle(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, wantC)
		}
		if wantO == 0 {
			zeroO++
		}
		if wantC == 0 {
			zeroC++
		}
	}
	if zeroO < 50 || zeroC < 2000 {
		t.Errorf("only %d points in line and %d on a circle tried", zeroO, zeroC)
	}
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

func bigDiff(a, b float64) *big.Int {
	return new(big.Int).Sub(big.NewInt(int64(a)), big.NewInt(int64(b)))
}

// bigCross is ax*by - ay*bx.
func bigCross(ax, ay, bx, by *big.Int) *big.Int {
	p, q := new(big.Int).Mul(ax, by), new(big.Int).Mul(ay, bx)
	return p.Sub(p, q)
}

func bigOrient(a, b, c point) int {
	return bigCross(bigDiff(a.x, c.x), bigDiff(a.y, c.y), bigDiff(b.x, c.x), bigDiff(b.y, c.y)).Sign()
}

func bigInCircle(a, b, c, d point) int {
	p := [3]point{a, b, c}
	sum := new(big.Int)
	for i := range 3 {
		q, r := p[(i+1)%3], p[(i+2)%3]
		x, y := bigDiff(p[i].x, d.x), bigDiff(p[i].y, d.y)
		norm := new(big.Int).Add(new(big.Int).Mul(x, x), new(big.Int).Mul(y, y))
		cross := bigCross(bigDiff(q.x, d.x), bigDiff(q.y, d.y), bigDiff(r.x, d.x), bigDiff(r.y, d.y))
		sum.Add(sum, norm.Mul(norm, cross))
	}
	return sum.Sign()
}

// TestSizeField compares the tree with a plain search.
func TestSizeField(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	var sizes []Size
	for range 500 {
		sizes = append(sizes, Size{Radius: rng.Int64N(mm), Edge: 1 + rng.Int64N(mm)})
		sizes[len(sizes)-1].At.X, sizes[len(sizes)-1].At.Y = rng.Int64N(50*mm), rng.Int64N(50*mm)
	}
	f := newSizeField(sizes, 0.4, 1)
	below := 0
	for range 5000 {
		p := point{float64(rng.Int64N(60*mm)) * ticksPerNM, float64(rng.Int64N(60*mm)) * ticksPerNM}
		limit := float64(rng.Int64N(2*mm)) * ticksPerNM
		want := false
		for _, s := range f.sites {
			d2 := dist2(p, s.at)
			reach := s.radius + (limit-s.edge)/0.4
			want = want || s.edge < limit && d2 < reach*reach
		}
		if got := f.below(p, limit); got != want {
			t.Fatalf("below(%v, %g) = %v, want %v", p, limit, got, want)
		}
		if want {
			below++
		}
	}
	if below < 500 || below > 4500 {
		t.Errorf("%d of 5000 below: the test decides nothing", below)
	}
}
