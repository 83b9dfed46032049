package conduct

import (
	"errors"
	"math"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// Flow is how a current of 1 A spreads from one contact to another. With both
// spaces solved, every figure is the mean of the two: the ohms of sheets,
// barrels and ties then add up to the resistance that Resistance gives, and
// each is the exact first-order change of it for a relative change of its own
// resistance: -d Ohms / d ln(thickness) of a layer, d Ohms / d ln(resistance) of a tie.
type Flow struct {
	Bounds
	Sheets  []SheetFlow // of each sheet
	Barrels [][]float64 // amperes through each barrel, from each layer of its span to the next one down
	InHoles float64     // ohms of all barrels: watts at 1 A
	Plating float64     // the part of InHoles that follows the plating: -d Ohms / d ln(its thickness)
	Ties    []float64   // ohms of each low-ohm part
	model   *Model
}

// SheetFlow is the current on one layer.
type SheetFlow struct {
	Layer   int          // 0-based
	Ohms    float64      // watts at 1 A
	density [][2]float64 // amperes per metre of width in each triangle, x and y
}

// ErrTouching says that two contacts are one piece of metal.
var ErrTouching = errors.New("the two places touch each other: they are one contact")

// Flow sends 1 A from the pair's first contact to its second.
func (c *Contacts) Flow(pair [2]int) (*Flow, error) {
	if c.overlap(pair[0], c, pair[1]) {
		return nil, ErrTouching
	}
	f := &Flow{model: c.model}
	for i, s := range c.model.Group.Sheets {
		density := make([][2]float64, len(c.model.meshes[i].Triangle))
		f.Sheets = append(f.Sheets, SheetFlow{Layer: s.Layer, density: density})
	}
	for _, b := range c.model.Group.Barrels {
		f.Barrels = append(f.Barrels, make([]float64, len(b.Ohms)))
	}
	f.Ties = make([]float64, len(c.model.Group.Ties))
	var ohms []float64
	for _, s := range c.spaces {
		if err := s.joined(pair[:]); err != nil {
			return nil, err
		}
		u, r, err := s.potential(c, pair)
		if err != nil {
			return nil, err
		}
		ohms = append(ohms, r)
		if err := f.add(s.space, u, 1/float64(len(c.spaces))); err != nil {
			return nil, err
		}
	}
	f.Bounds = between(ohms[0], ohms[len(ohms)-1])
	return f, nil
}

// add takes in one space's potential, with a weight.
func (f *Flow) add(s *space, u []float64, weight float64) error {
	m := f.model
	for i, ms := range m.meshes {
		sigma := m.Group.Sheets[i].Conductance
		for t := range ms.Triangle {
			gx, gy, area := s.gradient(ms, i, t, u)
			f.Sheets[i].Ohms += weight * sigma * (gx*gx + gy*gy) * area
			d := &f.Sheets[i].density[t]
			d[0] -= weight * sigma * gx
			d[1] -= weight * sigma * gy
		}
	}
	for b, barrel := range m.Group.Barrels {
		for l, ohms := range barrel.Ohms {
			volts := u[s.rim[b][l]] - u[s.rim[b][l+1]]
			f.Barrels[b][l] += weight * volts / ohms
			part := weight * volts * volts / ohms
			f.InHoles += part
			f.Plating += part * barrel.PlatingExponent
		}
	}
	for i, tie := range m.Group.Ties {
		across, err := m.across(s, tie)
		if err != nil {
			return err
		}
		volts := 0.0
		for j, n := range across.Index {
			volts += across.Value[j] * u[n]
		}
		f.Ties[i] += weight * volts * volts / tie.Ohms
	}
	return nil
}

// gradient is the slope of a potential in a triangle, volts per metre, and the
// triangle's area. The slope of lambda_k is the edge opposite vertex k turned
// left, over twice the area; 1 - 2 lambda_k falls twice as fast.
func (s *space) gradient(ms *mesh.Mesh, sheet, t int, u []float64) (gx, gy, area float64) {
	ex, ey, twice := edgesOf(ms.X, ms.Y, ms.Triangle[t])
	for k := range 3 {
		v := u[s.dof[sheet][t][k]]
		gx -= v * ey[k]
		gy += v * ex[k]
	}
	if s.onEdges {
		gx, gy = -2*gx, -2*gy
	}
	return gx / twice, gy / twice, twice / 2
}

// Spot is a stretch across the flow in which current runs side by side.
type Spot struct {
	Layer   int        // 0-based
	At      geom.Point // its middle
	Width   float64    // metres of copper across the flow
	Current float64    // amperes through that width, at 1 A in all
}

// Density is amperes per metre of width, at 1 A in all.
func (s Spot) Density() float64 { return s.Current / s.Width }

// faint is the share of the greatest density below which a place is not looked
// at: at a fiftieth of it, copper would have to be a million times wider to
// warm as much (by the 0.725th power of the curve fit).
const faint = 0.02

// Weakest finds the spot that comes first to a limit when the current grows,
// and the current in all, in amperes, at which it does so. limit gives the
// amperes that a track of a width, in metres, may carry on a layer.
func (f *Flow) Weakest(limit func(layer int, width float64) float64) (worst Spot, amps float64) {
	most := 0.0
	for _, s := range f.Sheets {
		for _, d := range s.density {
			most = max(most, math.Hypot(d[0], d[1]))
		}
	}
	amps = math.Inf(1)
	for i, s := range f.Sheets {
		for t, d := range s.density {
			if math.Hypot(d[0], d[1]) <= faint*most {
				continue
			}
			spot := f.across(i, t)
			if a := limit(s.Layer, spot.Width) / spot.Current; a < amps {
				worst, amps = spot, a
			}
		}
	}
	return worst, amps
}

// across measures the copper across the flow through a triangle's middle: to
// both sides as far as there is copper and the current along the middle's
// direction is at least half of the middle's. On a straight track that is the
// track's whole width; on a plane round a contact of radius r it is 2r.
func (f *Flow) across(sheet, t int) Spot {
	ms, density := f.model.meshes[sheet], f.Sheets[sheet].density
	tri := ms.Triangle[t]
	x := (ms.X[tri[0]] + ms.X[tri[1]] + ms.X[tri[2]]) / 3
	y := (ms.Y[tri[0]] + ms.Y[tri[1]] + ms.Y[tri[2]]) / 3
	here := math.Hypot(density[t][0], density[t][1])
	nx, ny := density[t][0]/here, density[t][1]/here
	spot := Spot{Layer: f.Sheets[sheet].Layer, At: geom.FromMM(x*1e3, y*1e3)}
	for _, side := range []float64{-1, 1} {
		walk(ms, t, x, y, -ny*side, nx*side, func(t int, length float64) bool {
			along := density[t][0]*nx + density[t][1]*ny
			if along < here/2 {
				return false
			}
			spot.Width += length
			spot.Current += along * length
			return true
		})
	}
	// No cut carries more than all; near corners the mesh may say so.
	spot.Current = min(spot.Current, 1)
	return spot
}

// walk follows a ray from a point in triangle t and tells the length, in
// metres, of its way through each triangle, until the outline or until visit
// has seen enough.
func walk(ms *mesh.Mesh, t int, x, y, dx, dy float64, visit func(t int, length float64) bool) {
	from, s := -1, 0.0
	for range len(ms.Triangle) {
		out, end := -1, math.Inf(1)
		tri := ms.Triangle[t]
		for k := range 3 {
			next := int(ms.Neighbour[t][k])
			if next >= 0 && next == from {
				continue
			}
			a, b := tri[(k+1)%3], tri[(k+2)%3]
			ex, ey := ms.X[b]-ms.X[a], ms.Y[b]-ms.Y[a]
			rate := ex*dy - ey*dx
			if rate >= 0 {
				continue
			}
			if at := -(ex*(y-ms.Y[a]) - ey*(x-ms.X[a])) / rate; at < end {
				out, end = k, at
			}
		}
		if out < 0 {
			return
		}
		end = max(end, s)
		if !visit(t, end-s) {
			return
		}
		from, s = t, end
		if t = int(ms.Neighbour[t][out]); t < 0 {
			return
		}
	}
}
