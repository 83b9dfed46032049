package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// shapes are the families of problems, each by about how many unknowns are
// wanted.
var shapes = map[string]func(n int) (*problem, error){"squares": square, "planes": planes}

// square is a square grid with points moved about and diagonals at random.
func square(n int) (*problem, error) {
	side := int(math.Sqrt(float64(n)) + 0.5)
	rng := rand.New(rand.NewPCG(1, uint64(side)))
	x, y := make([]float64, side*side), make([]float64, side*side)
	for v := range x {
		x[v] = float64(v%side) + 0.5*(rng.Float64()-0.5)
		y[v] = float64(v/side) + 0.5*(rng.Float64()-0.5)
	}
	a := newAssembly(x, y)
	add := func(p, q, r int) {
		a.triangle([3]int32{int32(p), int32(q), int32(r)}, [3]float64{x[p], x[q], x[r]},
			[3]float64{y[p], y[q], y[r]})
	}
	for j := range side - 1 {
		for i := range side - 1 {
			p := j*side + i
			q, r, s := p+1, p+side+1, p+side
			if rng.IntN(2) == 0 {
				add(p, q, r)
				add(p, r, s)
			} else {
				add(p, q, s)
				add(q, r, s)
			}
		}
	}
	return a.problem(), nil
}

// The planes: four layers of one ground net, the same board but larger for
// more unknowns. A hole stands in most cells of a lattice of 2 mm; one in
// four cells in each direction is part of a field at a pitch of 1 mm.
const (
	layers   = 4
	cell     = 2_000_000 // nanometres, as all lengths here
	drill    = 150_000   // radius of a barrel
	antipad  = 450_000   // radius of the opening about a foreign barrel
	denseOut = 325_000   // the same in a dense field
	roundTol = 5_000     // of circles made of chords
)

// hole is a hole through the board: on each layer a barrel of the net, whose
// rim is one unknown, or an opening about a foreign barrel.
type hole struct {
	at      geom.Point
	opening int64 // radius
	joined  [layers]bool
}

// planes meshes a board of about n unknowns.
func planes(n int) (*problem, error) {
	cells := 24
	got, err := board(cells)
	for range 2 { // unknowns grow with the area
		if err != nil {
			return nil, err
		}
		cells = max(2, int(float64(cells)*math.Sqrt(float64(n)/float64(got.m.N))+0.5))
		got, err = board(cells)
	}
	return got, err
}

// board meshes the planes of a board of so many cells by three quarters.
func board(cells int) (*problem, error) {
	wide, high := cells, max(1, cells*3/4)
	holes := drilled(wide, high, rand.New(rand.NewPCG(2, uint64(cells))))
	b := &rims{}
	var sheets []*mesh.Mesh
	for l := range layers {
		ms, err := mesh.Triangulate(mesh.Input{Region: plane(wide, high, l, holes), MaxEdge: 600_000})
		if err != nil {
			return nil, fmt.Errorf("speed: layer %d of a board of %d cells: %w", l, cells, err)
		}
		b.number(ms, l, holes)
		sheets = append(sheets, ms)
	}
	a := newAssembly(b.x, b.y)
	for l, ms := range sheets {
		for _, t := range ms.Triangle {
			var u [3]int32
			var x, y [3]float64
			for k, v := range t {
				u[k], x[k], y[k] = b.unknown[l][v], ms.X[v], ms.Y[v]
			}
			a.triangle(u, x, y)
		}
	}
	// A barrel of 20 micrometres of copper over 0.4 mm is some 1.3 sheets of
	// 35 micrometres: circumference 0.94 mm.
	const barrel = 1.3
	for h := range holes {
		below := int32(-1)
		for l := range layers {
			if u, ok := b.rim[[2]int{l, h}]; ok {
				if below >= 0 {
					a.tie(below, u, barrel)
				}
				below = u
			}
		}
	}
	return a.problem(), nil
}

// drilled places the holes.
func drilled(wide, high int, rng *rand.Rand) (all []hole) {
	for j := range high {
		for i := range wide {
			x, y := int64(i)*cell, int64(j)*cell
			if i%4 == 0 && j%4 == 0 {
				for k := range int64(4) {
					at := geom.Point{X: x + cell/4 + k%2*cell/2, Y: y + cell/4 + k/2*cell/2}
					all = append(all, hole{at: at, opening: denseOut, joined: joints(rng)})
				}
				continue
			}
			if rng.Float64() < 0.2 && i+j > 0 {
				continue
			}
			at := geom.Point{X: x + cell/2 + rng.Int64N(cell/4) - cell/8, Y: y + cell/2 + rng.Int64N(cell/4) - cell/8}
			all = append(all, hole{at: at, opening: antipad, joined: joints(rng)})
		}
	}
	all[0].joined = [layers]bool{true, true, true, true} // no layer floats
	return all
}

// joints: a third of the barrels belong to the net and join all layers, some
// only two; all others pass through.
func joints(rng *rand.Rand) (on [layers]bool) {
	switch rng.IntN(6) {
	case 0, 1:
		return [layers]bool{true, true, true, true}
	case 2:
		l := rng.IntN(layers - 1)
		on[l], on[l+1] = true, true
	}
	return on
}

// plane is the copper of a layer.
func plane(wide, high, layer int, holes []hole) geom.Region {
	p := geom.Polygon{Outer: geom.Rectangle(geom.Box{Max: geom.Point{X: int64(wide) * cell,
		Y: int64(high) * cell}})}
	for _, h := range holes {
		radius := h.opening
		if h.joined[layer] {
			radius = drill
		}
		ring := geom.Circle(h.at, radius, roundTol)
		if ring.Area() > 0 {
			ring = ring.Reverse()
		}
		p.Holes = append(p.Holes, ring)
	}
	return geom.Region{p}
}

// rims numbers the unknowns: each vertex is one, but those on the rim of a
// barrel on a layer are one together.
type rims struct {
	x, y    []float64        // metres
	unknown [][]int32        // per layer, per vertex
	rim     map[[2]int]int32 // layer and hole -> unknown
}

func (b *rims) number(ms *mesh.Mesh, layer int, holes []hole) {
	if b.rim == nil {
		b.rim = map[[2]int]int32{}
	}
	unknown := make([]int32, len(ms.X))
	for v := range unknown {
		unknown[v] = -1
	}
	for k, edge := range ms.Boundary {
		h := int(ms.BoundaryRing[k][1]) - 1
		if h < 0 || !holes[h].joined[layer] {
			continue
		}
		key := [2]int{layer, h}
		u, ok := b.rim[key]
		if !ok {
			x, y := holes[h].at.MM()
			u = b.add(x*1e-3, y*1e-3)
			b.rim[key] = u
		}
		unknown[edge[0]], unknown[edge[1]] = u, u
	}
	for v := range unknown {
		if unknown[v] < 0 {
			unknown[v] = b.add(ms.X[v], ms.Y[v])
		}
	}
	b.unknown = append(b.unknown, unknown)
}

func (b *rims) add(x, y float64) int32 {
	b.x, b.y = append(b.x, x), append(b.y, y)
	return int32(len(b.x) - 1)
}
