package sparse

import (
	"fmt"
	"math"
	"testing"
)

// TestSidesGoThroughAnyPanel: both ways through panels of many shapes, stored
// close and wide, against the formula; rows that are not named stay as they
// are, and what stands past the panel's end makes no difference.
func TestSidesGoThroughAnyPanel(t *testing.T) {
	for _, vector := range []bool{true, false} {
		if vector && !haveVector {
			continue
		}
		for _, w := range []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 13, 31, 32, 33, 37, 64, 66, 101} {
			for _, u := range []int{0, 1, 2, 3, 4, 5, 8, 11, 33, 70} {
				for _, k := range []int{8, 16} {
					before := haveVector
					setVector(vector)
					tell := newSidesCase(panel{w, u}, k).differ()
					setVector(before)
					if tell != "" {
						t.Fatalf("%d columns, %d rows, %d sides, vector %v: %s", w, u, k, vector, tell)
					}
				}
			}
		}
	}
}

// sidesCase is a panel with right-hand sides: rows 0 .. w-1 of y its own, of
// the rest every third below it.
type sidesCase struct {
	p         panel
	k         int
	l, y      []float64
	rows, own []int32
}

func newSidesCase(p panel, k int) *sidesCase {
	rng := source()
	c := &sidesCase{p: p, k: k, l: random(p.storedSize()+overread, rng), y: random((p.w+3*p.u+1)*k, rng)}
	for i := range c.l[p.storedSize():] {
		c.l[p.storedSize()+i] = 1e300
	}
	for j := range p.w {
		for i := j; i < p.w; i++ {
			c.l[p.storedPivot(i, j)] /= float64(p.w)
		}
		c.l[p.storedPivot(j, j)] = 0.5 + rng.Float64()
		c.own = append(c.own, int32(j))
	}
	for i := range p.u {
		c.rows = append(c.rows, int32(p.w+3*i+1))
	}
	return c
}

// differ tells the first difference from the formula.
func (c *sidesCase) differ() string {
	down, up := c.both()
	v, y := append([]float64(nil), c.y[:c.p.w*c.k]...), append([]float64(nil), c.y...)
	c.p.forwardRHS(c.l, v, c.k, y, c.rows, c.own)
	copy(y, v)
	if tell := c.compare("forward", y, down); tell != "" {
		return tell
	}
	copy(v, c.y)
	copy(y, c.y)
	c.p.backwardRHS(c.l, v, c.k, y, c.rows, c.own)
	copy(y, v)
	return c.compare("backward", y, up)
}

func (c *sidesCase) compare(way string, got, want []float64) string {
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= 1e-12*(1+math.Abs(want[i]))) {
			return fmt.Sprintf("%s: row %d, side %d is %g, want %g", way, i/c.k, i%c.k, got[i], want[i])
		}
	}
	return ""
}

// both are the right-hand sides gone forward and gone backward.
func (c *sidesCase) both() (down, up []float64) {
	p, k := c.p, c.k
	entry := func(i, j int) float64 { // of row i of y
		if i < p.w {
			return c.l[p.storedPivot(i, j)]
		}
		return c.l[p.storedLower((i-p.w)/3, j)]
	}
	below := append(append([]int32(nil), c.own...), c.rows...)
	down, up = append([]float64(nil), c.y...), append([]float64(nil), c.y...)
	for s := range k {
		for j := range p.w {
			down[j*k+s] *= entry(j, j)
			for _, i := range below[j+1:] {
				down[int(i)*k+s] -= entry(int(i), j) * down[j*k+s]
			}
		}
		for j := p.w - 1; j >= 0; j-- {
			for _, i := range below[j+1:] {
				up[j*k+s] -= entry(int(i), j) * up[int(i)*k+s]
			}
			up[j*k+s] *= entry(j, j)
		}
	}
	return down, up
}
