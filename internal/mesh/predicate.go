package mesh

import "math/bits"

// ticksPerNM is the inner grid: every vertex, also an added one, lies on
// whole ticks of 2^-20 nanometre. With |coordinates| below 2^51 ticks the
// difference of two is exact in float64, which the predicates rely on.
const ticksPerNM = 1 << 20

// metresPerTick converts the inner grid to metres.
const metresPerTick = 1e-9 / ticksPerNM

// point is a place in ticks; both numbers are whole.
type point struct{ x, y float64 }

// orient is positive when a, b, c turn left, negative when right, zero when
// they are in line. The sign is exact.
func orient(a, b, c point) float64 {
	acx, acy := a.x-c.x, a.y-c.y
	bcx, bcy := b.x-c.x, b.y-c.y
	l, r := float64(acx*bcy), float64(acy*bcx)
	det := l - r
	// Two rounded products and one rounded difference: the error stays below
	// 3 units of 2^-53 of the sum of magnitudes.
	bound := 3.5e-16 * (abs(l) + abs(r))
	if det > bound || det < -bound {
		return det
	}
	return float64(crossInt(int64(acx), int64(acy), int64(bcx), int64(bcy)).sign())
}

// inCircle is positive when d lies inside the circle through a, b, c (which
// turn left), negative outside, zero on it. The sign is exact.
func inCircle(a, b, c, d point) float64 {
	adx, ady := a.x-d.x, a.y-d.y
	bdx, bdy := b.x-d.x, b.y-d.y
	cdx, cdy := c.x-d.x, c.y-d.y
	bc1, bc2 := float64(bdx*cdy), float64(bdy*cdx)
	ca1, ca2 := float64(cdx*ady), float64(cdy*adx)
	ab1, ab2 := float64(adx*bdy), float64(ady*bdx)
	al := float64(adx*adx) + float64(ady*ady)
	bl := float64(bdx*bdx) + float64(bdy*bdy)
	cl := float64(cdx*cdx) + float64(cdy*cdy)
	det := float64(al*(bc1-bc2)) + float64(bl*(ca1-ca2)) + float64(cl*(ab1-ab2))
	// Shewchuk's bound for the plain formula, (10 + 96e)e with e = 2^-53
	// ("Adaptive precision floating-point arithmetic", 1997), rounded up.
	bound := 1.2e-15 * (al*(abs(bc1)+abs(bc2)) + bl*(abs(ca1)+abs(ca2)) + cl*(abs(ab1)+abs(ab2)))
	if det > bound || det < -bound {
		return det
	}
	return inCircleExact(int64(adx), int64(ady), int64(bdx), int64(bdy), int64(cdx), int64(cdy))
}

func inCircleExact(ax, ay, bx, by, cx, cy int64) float64 {
	var sum int256
	sum.addProduct(crossInt(bx, by, cx, cy), normInt(ax, ay))
	sum.addProduct(crossInt(cx, cy, ax, ay), normInt(bx, by))
	sum.addProduct(crossInt(ax, ay, bx, by), normInt(cx, cy))
	return sum.sign()
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// int128 is a two's complement number of 128 bits.
type int128 struct{ hi, lo uint64 }

// mulInt multiplies two signed numbers.
func mulInt(a, b int64) int128 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if a < 0 {
		hi -= uint64(b)
	}
	if b < 0 {
		hi -= uint64(a)
	}
	return int128{hi, lo}
}

// crossInt is ax*by - ay*bx.
func crossInt(ax, ay, bx, by int64) int128 {
	p, q := mulInt(ax, by), mulInt(ay, bx)
	lo, borrow := bits.Sub64(p.lo, q.lo, 0)
	hi, _ := bits.Sub64(p.hi, q.hi, borrow)
	return int128{hi, lo}
}

// normInt is x*x + y*y.
func normInt(x, y int64) int128 {
	p, q := mulInt(x, x), mulInt(y, y)
	lo, carry := bits.Add64(p.lo, q.lo, 0)
	hi, _ := bits.Add64(p.hi, q.hi, carry)
	return int128{hi, lo}
}

func (a int128) sign() int {
	switch {
	case int64(a.hi) < 0:
		return -1
	case a.hi|a.lo == 0:
		return 0
	}
	return 1
}

func (a int128) neg() int128 {
	lo, borrow := bits.Sub64(0, a.lo, 0)
	hi, _ := bits.Sub64(0, a.hi, borrow)
	return int128{hi, lo}
}

// int256 is a two's complement number of 256 bits, lowest word first.
type int256 [4]uint64

// addProduct adds c*n, where n is not negative.
func (s *int256) addProduct(c, n int128) {
	negative := c.sign() < 0
	if negative {
		c = c.neg()
	}
	var p int256
	var carry uint64
	h0, l0 := bits.Mul64(c.lo, n.lo)
	h1, l1 := bits.Mul64(c.lo, n.hi)
	h2, l2 := bits.Mul64(c.hi, n.lo)
	h3, l3 := bits.Mul64(c.hi, n.hi)
	p[0] = l0
	p[1], carry = bits.Add64(h0, l1, 0)
	p[2], carry = bits.Add64(h1, l3, carry)
	p[3] = h3 + carry
	p[1], carry = bits.Add64(p[1], l2, 0)
	p[2], carry = bits.Add64(p[2], h2, carry)
	p[3] += carry
	carry = 0
	for i := range s {
		if negative {
			s[i], carry = bits.Sub64(s[i], p[i], carry)
		} else {
			s[i], carry = bits.Add64(s[i], p[i], carry)
		}
	}
}

func (s *int256) sign() float64 {
	switch {
	case int64(s[3]) < 0:
		return -1
	case s[0]|s[1]|s[2]|s[3] == 0:
		return 0
	}
	return 1
}
