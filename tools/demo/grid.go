package main

// The routing grid: nodes every gridStep micrometres on two layers.
const (
	gridStep = 100
	gridX    = boardW/gridStep + 1
	gridY    = boardH/gridStep + 1
	gridN    = gridX * gridY
	// routeClearance is the rule plus the little that a stroke can bulge
	// towards a corner between two nodes.
	routeClearance = clearance + 10
)

// The half widths that a path may have (micrometres); a node is free for a
// class when a disc of that radius there keeps its clearance.
const (
	thin = iota // signals
	wide        // supplies
	fat         // raw supplies, and every via
	classes
)

var halfWidth = [classes]int{100, 200, viaPad / 2}

// field counts, per class, layer and node, how many things lie too near.
type field [classes][2][]uint8

func newField() *field {
	f := &field{}
	for k := range f {
		for l := range f[k] {
			f[k][l] = make([]uint8, gridN)
		}
	}
	return f
}

// grid holds what blocks the router.
type grid struct {
	hard    *field   // pads, holes, the edge: never passed
	soft    *field   // routed copper: passed at a price, then ripped up
	noVia   []uint8  // nodes where a via would touch a pad
	holes   []uint8  // nodes too near a hole of the net being routed
	history [2][]int // what conflicts a node has seen
}

func newGrid() *grid {
	g := &grid{hard: newField(), soft: newField(),
		noVia: make([]uint8, gridN), holes: make([]uint8, gridN)}
	for l := range g.history {
		g.history[l] = make([]int, gridN)
	}
	return g
}

// eachNear calls f for every node nearer than reach to the shape.
func eachNear(s shape, reach int, f func(node int)) {
	lo, hi := s.bounds()
	x0, x1 := max(0, (lo.x-reach)/gridStep), min(gridX-1, (hi.x+reach)/gridStep+1)
	y0, y1 := max(0, (lo.y-reach)/gridStep), min(gridY-1, (hi.y+reach)/gridStep+1)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			if s.dist(float64(x*gridStep), float64(y*gridStep)) < float64(reach) {
				f(y*gridX + x)
			}
		}
	}
}

// stamp adds d to every node that the shape keeps from a class.
func (f *field) stamp(s shape, layers uint8, d int) {
	for k := range f {
		eachNear(s, halfWidth[k]+routeClearance, func(n int) {
			for l := range 2 {
				if layers&(1<<l) != 0 {
					f[k][l][n] += uint8(d)
				}
			}
		})
	}
}

// stampEdge keeps all classes away from the profile.
func (f *field) stampEdge() {
	for k := range f {
		keep := halfWidth[k] + edgeClearance
		for n := range gridN {
			p := nodePoint(n)
			if insideProfile(float64(p.x), float64(p.y)) < float64(keep) {
				f[k][0][n]++
				f[k][1][n]++
			}
		}
	}
}

// nodePoint is the place of a node.
func nodePoint(n int) point { return point{n % gridX * gridStep, n / gridX * gridStep} }

// nodeAt is the node nearest to a place.
func nodeAt(p point) int {
	return (p.y+gridStep/2)/gridStep*gridX + (p.x+gridStep/2)/gridStep
}

// insideProfile is the distance from (x, y) to the board's edge, positive
// inside.
func insideProfile(x, y float64) float64 {
	core := shape{a: point{boardW / 2, boardH / 2}, b: point{boardW / 2, boardH / 2},
		hx: boardW/2 - cornerR, hy: boardH/2 - cornerR}
	return cornerR - core.dist(x, y)
}

// prepare stamps everything that stands before routing.
func (g *grid) prepare(b *board) {
	g.hard.stampEdge()
	for _, h := range b.holes {
		g.hard.stamp(disc(h.at, h.diameter+200), both, 1)
	}
	for _, l := range b.lands {
		g.hard.stamp(l.shape, l.layers, 1)
		eachNear(l.shape, viaPad/2+100, func(n int) { g.noVia[n]++ })
	}
}
