// Package artwork packs a board's geometry for a drawing surface that is
// somewhere else, as a page in a browser: rings of nanometre integers in one
// flat block, with a short table of what each ring is.
//
// The block is little-endian:
//
//	8 bytes   "OHMWART1"
//	uint32    length of the table in bytes
//	…         the table, JSON (type Table), padded with spaces to a multiple of 4
//	uint32    for each ring: the number of points up to its end
//	int32 × 2 for each point: x and y, nanometres from the table's origin, y up
package artwork

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/copper"
)

// Magic opens every block.
const Magic = "OHMWART1"

// Span is a run of rings: the first one's number and how many.
type Span [2]int

// Table says what the rings are. Lengths are nanometres; points are counted
// from Origin.
type Table struct {
	Name    string   // the board's
	Origin  [2]int64 // in the frame of the fabrication files
	Box     [4]int64 // least x and y, greatest x and y, of all that is drawn
	Rings   int      // how many the block holds
	Points  int      // how many the rings have together
	Outline Span     // the board's
	Nets    []string // names, as Layer.Polygons and Pad.Net count them
	Layers  []Layer  // copper, from the top
	Mask    [2]*Span // openings, top and bottom; null where no file tells
	Holes   []Hole   // drilled holes and slots
	Parts   []Part   // in order of reference
	Pads    []Pad    // of parts' pins
}

// Layer is one copper layer. Polygons is flat, three numbers for each: its
// net, its first ring (the outer one) and how many rings it has.
type Layer struct {
	Name     string // "L1"
	Polygons []int  // three numbers for each polygon
}

// Hole is x, y, the end's x and y (a slot's), the diameter, and 1 if plated.
type Hole [6]int64

// Part is a part's body.
type Part struct {
	Ref    string // its reference
	Value  string `json:",omitempty"` // as the data has it
	Bottom bool   `json:",omitempty"` // it stands on the bottom
	Body   Span   // its outline
}

// Pad is a pad of a part's pin. Net is -1 where its copper is gone.
type Pad struct {
	Pin   string   // "C7.1"
	Net   int      // index into Table.Nets, or -1
	Layer int      // 0-based
	At    [2]int64 // x and y from Origin, nanometres
}

// packer gathers rings.
type packer struct {
	origin geom.Point
	ends   []uint32
	points []int32
	err    error
}

// Pack packs a board. It fails only where the board is larger than the block
// can hold: 2 m from its middle, or 2^31 points.
func Pack(nets *copper.Nets) ([]byte, error) {
	b := nets.Board
	p, t := begin(b, nets.Layers)
	t.Layers = p.layers(b, nets.Layers, nets.PieceNet)
	t.Holes, t.Parts, t.Pads = p.holes(b), p.parts(b), p.pads(nets)
	for _, n := range nets.Nets {
		t.Nets = append(t.Nets, n.Name)
	}
	for side, m := range b.Mask {
		if m != nil {
			s := p.region(*m)
			t.Mask[side] = &s
		}
	}
	return write(t, p)
}

// PackEarly packs what is known of a board that is still read: outline and painted copper
// of no net. It fails as Pack does.
func PackEarly(b *board.Board) ([]byte, error) {
	layers := make([]geom.Region, len(b.Layers))
	for i := range layers {
		layers[i] = b.Layers[i].Copper
	}
	p, t := begin(b, layers)
	t.Layers = p.layers(b, layers, func(copper.Piece) int { return -1 })
	return write(t, p)
}

// begin packs the outline; what follows counts from the board's middle.
func begin(b *board.Board, layers []geom.Region) (*packer, Table) {
	box := bounds(b, layers)
	p := &packer{origin: geom.Point{X: box.Min.X + (box.Max.X-box.Min.X)/2,
		Y: box.Min.Y + (box.Max.Y-box.Min.Y)/2}}
	t := Table{Name: b.Name, Origin: [2]int64{p.origin.X, p.origin.Y}, Box: [4]int64{box.Min.X - p.origin.X,
		box.Min.Y - p.origin.Y, box.Max.X - p.origin.X, box.Max.Y - p.origin.Y}, Outline: p.region(b.Outline)}
	return p, t
}

// bounds is what the board shows: its outline, or all its copper.
func bounds(b *board.Board, layers []geom.Region) geom.Box {
	if box := b.Outline.Bounds(); !box.Empty() {
		return box
	}
	box := geom.EmptyBox()
	for _, l := range layers {
		box = box.Join(l.Bounds())
	}
	if box.Empty() {
		box = geom.Box{Max: geom.FromMM(10, 10)}
	}
	return box
}

func (p *packer) point(at geom.Point) [2]int64 {
	return [2]int64{at.X - p.origin.X, at.Y - p.origin.Y}
}

func (p *packer) ring(r geom.Ring) {
	for _, at := range r {
		x, y := at.X-p.origin.X, at.Y-p.origin.Y
		if x != int64(int32(x)) || y != int64(int32(y)) {
			p.err = fmt.Errorf("copper lies more than %.1f m from the board's middle: too far to draw",
				math.MaxInt32/1e9)
			return
		}
		p.points = append(p.points, int32(x), int32(y))
	}
	p.ends = append(p.ends, uint32(len(p.points)/2))
}

func (p *packer) region(r geom.Region) Span {
	first := len(p.ends)
	r.Rings(p.ring)
	return Span{first, len(p.ends) - first}
}

func (p *packer) layers(b *board.Board, layers []geom.Region, net func(copper.Piece) int) []Layer {
	var out []Layer
	for l, region := range layers {
		layer := Layer{Name: b.Layers[l].Name}
		for i, q := range region {
			s := p.region(geom.Region{q})
			layer.Polygons = append(layer.Polygons, net(copper.Piece{Layer: l, Polygon: i}), s[0], s[1])
		}
		out = append(out, layer)
	}
	return out
}

func (p *packer) holes(b *board.Board) []Hole {
	var out []Hole
	for _, h := range b.Holes {
		at, to, plated := p.point(h.At), p.point(h.To), int64(0)
		if h.Plated {
			plated = 1
		}
		out = append(out, Hole{at[0], at[1], to[0], to[1], h.Diameter, plated})
	}
	return out
}

func (p *packer) parts(b *board.Board) []Part {
	var out []Part
	for _, part := range b.Parts {
		if len(part.Body) < 3 {
			continue
		}
		out = append(out, Part{Ref: part.Ref, Value: part.Value, Bottom: part.Side == board.Bottom,
			Body: p.region(geom.Region{{Outer: part.Body}})})
	}
	return out
}

func (p *packer) pads(nets *copper.Nets) []Pad {
	var out []Pad
	for i, pad := range nets.Board.Pads {
		name := pad.Ref
		if pad.Pin != "" {
			name += "." + pad.Pin
		}
		out = append(out, Pad{Pin: name, Net: nets.PadNet(i), Layer: pad.Layer, At: p.point(pad.At)})
	}
	return out
}

func write(t Table, p *packer) ([]byte, error) {
	if p.err != nil {
		return nil, p.err
	}
	t.Rings, t.Points = len(p.ends), len(p.points)/2
	table, err := json.Marshal(t)
	if err != nil {
		return nil, err
	}
	table = append(table, bytes.Repeat([]byte{' '}, (4-len(table)%4)%4)...)
	out := make([]byte, 0, len(Magic)+4+len(table)+4*len(p.ends)+4*len(p.points))
	out = append(out, Magic...)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(table)))
	out = append(out, table...)
	for _, e := range p.ends {
		out = binary.LittleEndian.AppendUint32(out, e)
	}
	for _, c := range p.points {
		out = binary.LittleEndian.AppendUint32(out, uint32(c))
	}
	return out, nil
}
