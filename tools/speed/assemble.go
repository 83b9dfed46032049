package main

import (
	"math"

	"ohmward/internal/sparse"
)

// assembly gathers conductances between unknowns at plan coordinates.
type assembly struct {
	x, y []float64
	b    *sparse.Builder
}

func newAssembly(x, y []float64) *assembly {
	return &assembly{x: x, y: y, b: sparse.NewBuilder(len(x))}
}

// tie joins two unknowns by a conductance.
func (a *assembly) tie(i, j int32, g float64) {
	if i == j {
		return // both ends on one rim
	}
	a.b.Add(int(i), int(i), g)
	a.b.Add(int(j), int(j), g)
	a.b.Add(int(i), int(j), -g)
}

// triangle adds a linear element of unit sheet conductance with corners at
// (x, y): between two corners half the cotangent of the angle at the third.
func (a *assembly) triangle(unknown [3]int32, x, y [3]float64) {
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		ux, uy, vx, vy := x[i]-x[k], y[i]-y[k], x[j]-x[k], y[j]-y[k]
		a.tie(unknown[i], unknown[j], (ux*vx+uy*vy)/math.Abs(ux*vy-uy*vx)/2)
	}
}

// problem ties unknown 0 to ground and returns the matrix.
func (a *assembly) problem() *problem {
	a.b.Add(0, 0, 1)
	return &problem{m: a.b.Build(), x: a.x, y: a.y}
}
