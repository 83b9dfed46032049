package boards

import (
	"fmt"
	"math"
	"math/rand/v2"

	"ohmward/internal/unionfind"
)

// Lengths of a tile, in nanometres.
const (
	um = 1_000
	mm = 1_000_000

	tileSide  = 6 * mm
	firstVia  = 400 * um // of the first via, in x and in y, from the tile's corner
	viaPitch  = 400 * um // in x and in y
	vias      = 10       // signal vias of a tile, on its diagonal
	jogFrom   = 4250 * um
	jogTil    = 5850 * um
	trackWide = 100 * um
	clearance = 150 * um
)

// The aperture numbers that all layers share.
const (
	apTrack      = 10
	apVia        = 11
	apPad        = 12 // of the ten-pin part
	apSmall      = 13 // of the two-pin parts
	apClearTrack = 14
	apClearVia   = 15
	apClearPad   = 16
	apClearSmall = 17
	apText       = 18
	apOutline    = 19
)

type role int

const (
	top role = iota
	bottom
	ground
	power
	across // tracks run along x
	along  // tracks run along y
)

// stackUps are the layers of the boards by their number.
var stackUps = map[int][]role{
	4: {top, ground, across, bottom},
	6: {top, ground, across, along, power, bottom},
	8: {top, ground, across, along, power, across, along, bottom},
}

// edgesPerTile is about how many edges one tile gives, all layers together,
// with arcs as chords within a quarter of a micrometre.
var edgesPerTile = map[int]float64{4: 13_500, 6: 16_800, 8: 21_500}

// point is a place in nanometres.
type point struct{ x, y int64 }

func (p point) plus(x, y int64) point { return point{p.x + x, p.y + y} }

// Board is one of the family, ready to be written.
type Board struct {
	Layers int // copper layers: 4, 6 or 8
	Across int // tiles in x
	Along  int // tiles in y
	roles  []role
	links  []map[int]bool // by layer: the vias from which a track leads on
	jogs   [][][]int64    // by layer and tile: heights of the zigzags on the way to the next tile
	net    unionfind.Sets // by via: the least via of its net
}

// LayersFor is the number of copper layers that a board of so many edges has.
func LayersFor(edges int) int {
	switch {
	case edges < 500_000:
		return 4
	case edges < 2_000_000:
		return 6
	}
	return 8
}

// New lays out a board of at least about so many edges over all layers, of
// which there are 4, 6, 8 or as many as its size asks for (0).
func New(edges, layers int, seed uint64) *Board {
	n := layers
	if stackUps[n] == nil {
		n = LayersFor(edges)
	}
	tiles := max(1, float64(edges)/edgesPerTile[n])
	w := max(1, int(math.Round(math.Sqrt(tiles))))
	return layOut(n, w, max(1, int(math.Ceil(tiles/float64(w)))), seed)
}

// layOut lays out a board of so many layers and tiles.
func layOut(layers, w, h int, seed uint64) *Board {
	b := &Board{Layers: layers, Across: w, Along: h, roles: stackUps[layers]}
	b.route(rand.New(rand.NewPCG(seed, uint64(layers))))
	return b
}

func (b *Board) tiles() int { return b.Across * b.Along }

// corner is the lower left corner of a tile.
func (b *Board) corner(tile int) point {
	return point{int64(tile%b.Across) * tileSide, int64(tile/b.Across) * tileSide}
}

// via is the place of a tile's k-th signal via.
func (b *Board) via(tile, k int) point {
	return b.corner(tile).plus(firstVia+int64(k)*viaPitch, firstVia+int64(k)*viaPitch)
}

// groundVias are in the corner of the tile that no track crosses.
func (b *Board) groundVias(tile int) []point {
	c := b.corner(tile)
	return []point{c.plus(4900*um, 4900*um), c.plus(5500*um, 4900*um), c.plus(4900*um, 5500*um),
		c.plus(5500*um, 5500*um)}
}

// next is the tile to which a track of the role leads, or -1.
func (b *Board) next(tile int, r role) int {
	switch {
	case r == across && tile%b.Across+1 < b.Across:
		return tile + 1
	case r == along && tile/b.Across+1 < b.Along:
		return tile + b.Across
	}
	return -1
}

// route chooses which vias are joined, and how each track winds.
func (b *Board) route(rng *rand.Rand) {
	b.net = unionfind.New(b.tiles() * vias)
	b.links = make([]map[int]bool, b.Layers)
	b.jogs = make([][][]int64, b.Layers)
	for l, r := range b.roles {
		if r == power {
			for t := range b.tiles() {
				b.net.Join(0, t*vias)
			}
		}
		if r != across && r != along {
			continue
		}
		b.links[l] = map[int]bool{}
		b.jogs[l] = make([][]int64, b.tiles())
		for t := range b.tiles() {
			b.jogs[l][t] = jogs(rng)
			to := b.next(t, r)
			for k := 1; to >= 0 && k < vias; k++ {
				if rng.IntN(10) < 6 {
					b.links[l][t*vias+k] = true
					b.net.Join(t*vias+k, to*vias+k)
				}
			}
		}
	}
}

// jogs are up to three heights in steps of 25 um.
func jogs(rng *rand.Rand) []int64 {
	out := make([]int64, 1+rng.IntN(3))
	for i := range out {
		out[i] = (rng.Int64N(13) - 6) * 25 * um
	}
	return out
}

// netName is the name of a signal via's net.
func (b *Board) netName(v int) string {
	if r := b.net.Find(v); r != 0 || b.Layers == 4 {
		return fmt.Sprintf("N%d", r)
	}
	return "+3V3"
}

// Nets counts the nets with their ground.
func (b *Board) Nets() int {
	n := 1
	for v := range b.net {
		if b.net.Find(v) == v {
			n++
		}
	}
	return n
}

// way is the track from a via to the one like it in the next tile.
func (b *Board) way(layer, v int) []point {
	t, k := v/vias, v%vias
	r := b.roles[layer]
	from, to, c := b.via(t, k), b.via(b.next(t, r), k), b.corner(t)
	along := func(s, h int64) point { // s along the track, h beside it
		if r == across {
			return point{c.x + s, from.y + h}
		}
		return point{from.x + h, c.y + s}
	}
	out := []point{from}
	zigs := b.jogs[layer][t]
	step := (jogTil - jogFrom) / int64(len(zigs))
	for i, h := range zigs {
		s := jogFrom + int64(i)*step
		a := max(h, -h)
		if h != 0 {
			out = append(out, along(s, 0), along(s+a, h), along(s+step-a, h), along(s+step, 0))
		}
	}
	return append(out, to)
}
