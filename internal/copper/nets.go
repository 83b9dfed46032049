// Package copper finds the nets of a board by geometry: copper that touches
// on a layer, joined across layers by plated holes, and named by what the
// fabrication data says of it. It knows where a probe can stand.
//
// Coordinates are nanometres in the fabrication frame; layers and holes are
// indices into the board's. A Nets is read only once made and may be shared
// between goroutines.
package copper

import (
	"ohmward/geom"
	"ohmward/internal/board"
)

// DefaultTip is the diameter of a probe contact in nanometres.
const DefaultTip = 300_000

// Options are the choices of an extraction.
type Options struct {
	Tip   int64 // diameter of a probe contact, nanometres; 0: DefaultTip
	Close int64 // fill slits of one net narrower than this, nanometres; 0: none
	Etch  int64 // how far etching takes every edge of the copper back, nanometres; 0: none
}

// Piece is one polygon of a layer's copper after drilling.
type Piece struct {
	Layer   int // 0-based
	Polygon int // index into the layer of Nets.Layers
}

// Net is copper that hangs together.
type Net struct {
	// Name is unique on the board. It is the data's name where the data
	// names the copper; of several nets with one name in the data the largest
	// keeps it and the others are "NAME~2" and on. Copper without a name is
	// "copper@C7.1" after its first pin, else "copper@x,y" after a place inside
	// its largest piece, in millimetres, with "/Ln" behind it where copper of
	// another layer has that name. A name that the user gives wins over all.
	Name   string
	Was    string   // the name before the user gave another; "" where none did
	Data   string   // the name in the data, "" where it gives none
	Also   []string // other names the data gives this copper
	Pieces []Piece  // from the top layer down
	Holes  []int    // plated holes that touch it
	Pads   []int    // indices into the board's pads
	Area   float64  // of all layers, square metres
}

// Named tells whether the fabrication data or the user names the net.
func (n *Net) Named() bool { return n.Data != "" || n.Was != "" }

// Layers lists the layers the net has copper on, from the top.
func (n *Net) Layers() []int {
	var out []int
	for _, p := range n.Pieces {
		if len(out) == 0 || out[len(out)-1] != p.Layer {
			out = append(out, p.Layer)
		}
	}
	return out
}

// Nets is all copper of a board, sorted into nets.
type Nets struct {
	Board  *board.Board  // that they were found on
	Layers []geom.Region // copper after drilling, per layer
	Nets   []Net         // named ones first, each kind in order of name
	Doubts []board.Doubt // about nets, beside those of the board
	Tip    int64         // diameter of a probe contact, nanometres

	guessed  map[int]Rail         // by net, where no net has a name
	met      map[string][]meeting // where names meet in one piece of copper, by name
	labelled [][]claim            // by net as numbered while naming
	locators []*geom.Locator
	pieceNet [][]int    // by layer and polygon
	holeNet  []int      // by hole; -1 for unplated ones and lone barrels
	padBox   []geom.Box // by pad
	padNet   []int      // by pad; -1 where the pad has no copper
	rims     []rimPiece
	holes    *board.HoleGrid
	byName   map[string]int
	pins     map[string][]int // pads by REF.PIN
	off      []string         // parts that were taken off: see Without
}

// Without gives the same nets with parts taken off the board, for places to
// touch: nothing lies under those any more.
func (n *Nets) Without(parts []string) *Nets {
	out := *n
	out.off = parts
	return &out
}

// Copper gives the net's copper on a layer after drilling.
func (n *Nets) Copper(net, layer int) geom.Region {
	var out geom.Region
	for _, p := range n.Nets[net].Pieces {
		if p.Layer == layer {
			out = append(out, n.Layers[layer][p.Polygon])
		}
	}
	return out
}

// NetAt gives the net at a place: inside a plated hole that hole's net on
// every layer of its span, else that of the copper there.
func (n *Nets) NetAt(layer int, p geom.Point) (net int, ok bool) {
	if layer < 0 || layer >= len(n.Layers) {
		return -1, false
	}
	if h := n.holes.At(p, layer, board.PlatedHole); h >= 0 {
		return n.holeNet[h], n.holeNet[h] >= 0
	}
	if i := n.locators[layer].Locate(p); i >= 0 {
		return n.pieceNet[layer][i], true
	}
	return -1, false
}

// PieceNet gives the net of one polygon of a layer.
func (n *Nets) PieceNet(p Piece) int { return n.pieceNet[p.Layer][p.Polygon] }

// HoleNet gives the net of a plated hole; -1 where no copper touches it.
func (n *Nets) HoleNet(hole int) int { return n.holeNet[hole] }

// PadNet gives the net of a pad; -1 where its copper is gone.
func (n *Nets) PadNet(pad int) int { return n.padNet[pad] }

// Pads lists the pads of a pin, by layer and place.
func (n *Nets) Pads(ref, pin string) []int { return n.pins[ref+"."+pin] }
