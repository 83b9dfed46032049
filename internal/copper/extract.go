package copper

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/parallel"
	"ohmward/internal/unionfind"
)

// Extract drills the board's copper and sorts it into nets.
func Extract(ctx context.Context, b *board.Board, opt Options) (*Nets, error) {
	if len(b.Layers) == 0 {
		return nil, fmt.Errorf("copper: %s: the board has no copper layer", b.Name)
	}
	n := &Nets{Board: b, Tip: cmp.Or(max(opt.Tip, 0), DefaultTip)}
	n.holes = board.NewHoleGrid(b.Holes, n.Tip)
	if err := n.drill(ctx, opt); err != nil {
		return nil, err
	}
	n.join()
	n.name()
	n.placePads()
	n.nameRest()
	n.sort()
	if err := n.rename(); err != nil {
		return nil, err
	}
	n.guessRails()
	if opt.Etch > 0 {
		n.noteEtched(opt.Etch)
	}
	if opt.Close > 0 {
		if err := n.closeSlits(ctx, opt.Close); err != nil {
			return nil, err
		}
	} else {
		n.findHairlines()
	}
	return n, nil
}

// drill makes every layer's copper after drilling, its locator and its rims.
func (n *Nets) drill(ctx context.Context, opt Options) error {
	k := len(n.Board.Layers)
	n.Layers = make([]geom.Region, k)
	n.locators = make([]*geom.Locator, k)
	rims := make([][]rimPiece, k)
	err := parallel.Try(ctx, k, func(i int) (err error) {
		if n.Layers[i], err = n.drilled(i, opt.Etch); err != nil {
			return err
		}
		n.locators[i] = geom.NewLocator(n.Layers[i])
		rims[i] = n.rimsOf(i)
		return nil
	})
	n.rims = slices.Concat(rims...)
	return err
}

// join unites pieces and barrels into nets and numbers them in order of their
// first piece.
func (n *Nets) join() {
	first := make([]int, len(n.Layers)+1)
	for i, r := range n.Layers {
		first[i+1] = first[i] + len(r)
	}
	holes := first[len(n.Layers)]
	s := unionfind.New(holes + len(n.Board.Holes))
	for _, r := range n.rims {
		s.Join(first[r.piece.Layer]+r.piece.Polygon, holes+r.hole)
	}
	for _, p := range overlapping(n.Board.Holes, n.holes) {
		s.Join(holes+p[0], holes+p[1])
	}
	number := map[int]int{}
	n.pieceNet = make([][]int, len(n.Layers))
	for l, region := range n.Layers {
		n.pieceNet[l] = make([]int, len(region))
		for k := range region {
			root := s.Find(first[l] + k)
			id, ok := number[root]
			if !ok {
				id = len(n.Nets)
				number[root] = id
				n.Nets = append(n.Nets, Net{})
			}
			n.pieceNet[l][k] = id
		}
	}
	n.listPieces()
	n.holeNet = make([]int, len(n.Board.Holes))
	for h := range n.Board.Holes {
		n.holeNet[h] = -1
		if id, ok := number[s.Find(holes+h)]; ok && n.Board.Holes[h].Plated {
			n.holeNet[h] = id
			n.Nets[id].Holes = append(n.Nets[id].Holes, h)
		}
	}
}

// listPieces gives every net its pieces.
func (n *Nets) listPieces() {
	for id := range n.Nets {
		n.Nets[id].Pieces, n.Nets[id].Area = nil, 0
	}
	for l, ids := range n.pieceNet {
		for k, id := range ids {
			net := &n.Nets[id]
			net.Pieces = append(net.Pieces, Piece{l, k})
			net.Area += n.Layers[l][k].Area() * 1e-18
		}
	}
}

// placePads finds each pad's net: a drilled pad's from its hole, any other's
// from its copper.
func (n *Nets) placePads() {
	n.padNet = make([]int, len(n.Board.Pads))
	n.padBox = make([]geom.Box, len(n.Board.Pads))
	n.pins = map[string][]int{}
	for i := range n.Board.Pads {
		p := &n.Board.Pads[i]
		n.padNet[i], n.padBox[i] = n.netOfPad(p), p.Shape.Bounds()
		if id := n.padNet[i]; id >= 0 {
			n.Nets[id].Pads = append(n.Nets[id].Pads, i)
		}
		key := p.Ref + "." + p.Terminal()
		n.pins[key] = append(n.pins[key], i)
	}
}

// padPlaces gives a pad's place, and others inside it.
func padPlaces(p *board.Pad) iter.Seq[geom.Point] {
	return func(yield func(geom.Point) bool) {
		if yield(p.At) {
			slices.Values(p.Shape.InsidePoints())(yield)
		}
	}
}

func (n *Nets) netOfPad(p *board.Pad) int {
	if p.Hole >= 0 && n.holeNet[p.Hole] >= 0 {
		return n.holeNet[p.Hole]
	}
	for at := range padPlaces(p) {
		if id, ok := n.NetAt(p.Layer, at); ok {
			return id
		}
	}
	return -1
}
