package conduct

import (
	"math"

	"ohmward/geom"
)

// Warmed is how much a reading rises, to first order in ohms, when the copper
// of all layers within a radius, in nanometres, of a plan point, and the plated
// holes whose middles lie there, gain a fraction of their resistivity (for
// copper at 20 °C 0.00393 per kelvin). The flows are 1 A from I+ to I− and 1 A
// from V+ to V−, of one model; a two-wire reading gives its flow twice. With
// rho the resistance of a square, it is the sum over the disc of
// fraction * rho * (J_current . J_volts) * area, and over the holes of
// fraction * R * I_current * I_volts.
func Warmed(current, volts *Flow, at geom.Point, radius int64, fraction float64) float64 {
	x, y, r := float64(at.X)*1e-9, float64(at.Y)*1e-9, float64(radius)*1e-9
	var sum float64
	for i, ms := range current.model.meshes {
		rho := 1 / current.model.Group.Sheets[i].Conductance
		for t, tri := range ms.Triangle {
			var px, py [3]float64
			for k, v := range tri {
				px[k], py[k] = ms.X[v]-x, ms.Y[v]-y
			}
			inside := areaWithin(px, py, r)
			if inside == 0 {
				continue
			}
			a, b := current.Sheets[i].density[t], volts.Sheets[i].density[t]
			sum += rho * (a[0]*b[0] + a[1]*b[1]) * inside
		}
	}
	for b, barrel := range current.model.Group.Barrels {
		dx, dy := float64(barrel.At.X+barrel.To.X-2*at.X)/2, float64(barrel.At.Y+barrel.To.Y-2*at.Y)/2
		if math.Hypot(dx, dy) > float64(radius) {
			continue
		}
		for l, ohms := range barrel.Ohms {
			sum += ohms * current.Barrels[b][l] * volts.Barrels[b][l]
		}
	}
	return fraction * sum
}

// warmGrid is how many slices each side of a triangle is cut into where the
// disc's rim crosses it.
const warmGrid = 12

// areaWithin is the part of a triangle's area within a distance of the origin.
func areaWithin(x, y [3]float64, r float64) float64 {
	area := ((x[1]-x[0])*(y[2]-y[0]) - (x[2]-x[0])*(y[1]-y[0])) / 2
	corners, longest := 0, 0.0
	for k := range 3 {
		if math.Hypot(x[k], y[k]) <= r {
			corners++
		}
		longest = max(longest, math.Hypot(x[(k+1)%3]-x[k], y[(k+1)%3]-y[k]))
	}
	switch {
	case corners == 3:
		return area // a disc is convex
	case corners == 0 && math.Hypot(x[0], y[0]) > r+longest:
		return 0
	}
	hits := 0
	for i := range warmGrid {
		for j := range warmGrid - i {
			for _, third := range []float64{1, 2} { // upright, and turned
				if third == 2 && i+j == warmGrid-1 {
					continue
				}
				a := (float64(i) + third/3) / warmGrid
				b := (float64(j) + third/3) / warmGrid
				c := 1 - a - b
				if math.Hypot(c*x[0]+a*x[1]+b*x[2], c*y[0]+a*y[1]+b*y[2]) <= r {
					hits++
				}
			}
		}
	}
	return area * float64(hits) / (warmGrid * warmGrid)
}
