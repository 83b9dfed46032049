package main

// Costs of a path, in tenths of a grid step.
const (
	stepCost     = 10
	diagonalCost = 14
	viaCost      = 150
	bottomCost   = 2 // on top of each step on L2, to leave the ground whole
	narrowFactor = 4 // a supply's step costs this much where it must be thin
)

// directions are the eight moves, counter-clockwise.
var directions = [8]point{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}

// bendCost by the number of 45-degree turns.
var bendCost = [5]int{0, 4, 30, 80, 200}

const (
	viaMove = 8 // the move that changes the layer
	noMove  = 9
)

// search is one best-first search; its arrays are kept between calls.
type search struct {
	g       *grid
	cost    []int
	from    []int8
	seen    []int
	round   int
	buckets [][]int32
}

func newSearch(g *grid) *search {
	return &search{g: g, cost: make([]int, 2*gridN), from: make([]int8, 2*gridN), seen: make([]int, 2*gridN)}
}

// query says what to search for: from the sources (node + layer*gridN) to a
// target state, with tracks of class k and conflicts at a price.
type query struct {
	sources []int
	target  point // node coordinates of the target
	layers  uint8 // layers on which the target counts
	anyVia  bool  // any node of L2 is a target
	class   int
	price   int
}

// run finds the cheapest path; it returns the states from source to target,
// or nil.
func (s *search) run(q query) []int {
	s.round++
	s.buckets = s.buckets[:0]
	for _, v := range q.sources {
		s.relax(q, v, 0, noMove)
	}
	for c := 0; c < len(s.buckets); c++ {
		for len(s.buckets[c]) > 0 {
			last := len(s.buckets[c]) - 1
			v := int(s.buckets[c][last])
			s.buckets[c] = s.buckets[c][:last]
			if s.cost[v]+s.guess(q, v) < c {
				continue // a cheaper way was found meanwhile
			}
			if s.reached(q, v) {
				return s.trace(v)
			}
			s.expand(q, v)
		}
	}
	return nil
}

func (s *search) reached(q query, v int) bool {
	layer, n := v/gridN, v%gridN
	if q.anyVia {
		return layer == 1
	}
	return q.layers&(1<<layer) != 0 && n%gridX == q.target.x && n/gridX == q.target.y
}

// guess is a lower bound of what is left to pay.
func (s *search) guess(q query, v int) int {
	if q.anyVia {
		return 0
	}
	n := v % gridN
	dx, dy := n%gridX-q.target.x, n/gridX-q.target.y
	dx, dy = max(dx, -dx), max(dy, -dy)
	return stepCost*max(dx, dy) + (diagonalCost-stepCost)*min(dx, dy)
}

func (s *search) relax(q query, v, cost int, move int8) {
	if s.seen[v] == s.round && s.cost[v] <= cost {
		return
	}
	s.seen[v], s.cost[v], s.from[v] = s.round, cost, move
	c := cost + s.guess(q, v)
	for len(s.buckets) <= c {
		s.buckets = append(s.buckets, nil)
	}
	s.buckets[c] = append(s.buckets[c], int32(v))
}

// expand tries the eight moves and the via.
func (s *search) expand(q query, v int) {
	layer, n := v/gridN, v%gridN
	x, y := n%gridX, n/gridX
	for d, m := range directions {
		if x+m.x < 0 || x+m.x >= gridX || y+m.y < 0 || y+m.y >= gridY {
			continue
		}
		to := n + m.y*gridX + m.x
		pay, ok := s.g.enter(q, layer, to)
		if !ok {
			continue
		}
		step := stepCost
		if d%2 == 1 {
			step = diagonalCost
		}
		pay = pay*step/stepCost + s.bend(v, d)
		s.relax(q, layer*gridN+to, s.cost[v]+pay, int8(d))
	}
	if pay, ok := s.g.drill(q, n); ok {
		s.relax(q, (1-layer)*gridN+n, s.cost[v]+pay, viaMove)
	}
}

func (s *search) bend(v, d int) int {
	f := int(s.from[v])
	if f >= viaMove {
		return 0
	}
	t := (d - f + 8) % 8
	return bendCost[min(t, 8-t)]
}

// enter is the price of a step to a node.
func (g *grid) enter(q query, layer, n int) (int, bool) {
	pay := stepCost + bottomCost*layer
	if q.class != thin {
		if g.hard[q.class][layer][n] == 0 && g.soft[q.class][layer][n] == 0 {
			return pay, true
		}
		pay *= narrowFactor
	}
	if g.hard[thin][layer][n] != 0 {
		return 0, false
	}
	if g.soft[thin][layer][n] != 0 {
		pay += q.price + g.history[layer][n]
	}
	return pay, true
}

// drill is the price of a via at a node.
func (g *grid) drill(q query, n int) (int, bool) {
	if g.noVia[n] != 0 || g.holes[n] != 0 || g.hard[fat][0][n] != 0 || g.hard[fat][1][n] != 0 {
		return 0, false
	}
	pay := viaCost
	for l := range 2 {
		if g.soft[fat][l][n] != 0 {
			pay += 8*q.price + g.history[l][n]
		}
	}
	return pay, true
}

// trace walks back from v to its source.
func (s *search) trace(v int) []int {
	path := []int{v}
	for s.from[v] != noMove {
		if m := s.from[v]; m == viaMove {
			v = (v + gridN) % (2 * gridN)
		} else {
			v -= directions[m].y*gridX + directions[m].x
		}
		path = append(path, v)
	}
	for i, j := 0, len(path)-1; i < j; i, j = i+1, j-1 {
		path[i], path[j] = path[j], path[i]
	}
	return path
}
