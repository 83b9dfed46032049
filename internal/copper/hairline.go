package copper

import (
	"context"
	"fmt"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/parallel"
)

const (
	// hairline is the width below which no fabricator etches a slit
	// (CONTRACT's example, --close 20um), and hairlineLength how long a
	// straight slit must be to be noted, nanometres.
	hairline       = 20_000
	hairlineLength = 150_000
)

// findHairlines notes slits between copper of one net that are too narrow to
// be etched: the image is taken literally, the board will not be.
func (n *Nets) findHairlines() {
	n.noteLayers(n.hairlinesOn)
}

// noteLayers notes the doubts of each layer.
func (n *Nets) noteLayers(on func(layer int) []board.Doubt) {
	found := make([][]board.Doubt, len(n.Layers))
	parallel.Each(len(n.Layers), func(l int) { found[l] = on(l) })
	n.Doubts = append(n.Doubts, slices.Concat(found...)...)
}

func (n *Nets) hairlinesOn(layer int) []board.Doubt {
	type slits struct {
		length float64
		first  geom.Point
	}
	seen := map[int]*slits{}
	for k, poly := range n.Layers[layer] {
		net := n.pieceNet[layer][k]
		poly.Rings(func(r geom.Ring) {
			r.Edges(func(e geom.Segment) {
				if geom.Distance(e.A, e.B) < hairlineLength || !n.facesItself(layer, net, e) {
					return
				}
				s := seen[net]
				if s == nil {
					s = &slits{first: e.Bounds().Mid()}
					seen[net] = s
				}
				s.length += geom.Distance(e.A, e.B) / 2 // both sides of a slit are met
			})
		})
	}
	var out []board.Doubt
	for net := range n.Nets {
		if s := seen[net]; s != nil {
			what := fmt.Sprintf("net %s on %s: slits narrower than %.0f µm over about %.1f mm, as at %s: no "+
				"fabricator etches them", n.Nets[net].Name, layerName(layer), hairline*1e-3, s.length*1e-6,
				millimetres(s.first))
			out = append(out, board.Doubt{Code: board.Hairline, File: n.Board.Layers[layer].File, What: what})
		}
	}
	return out
}

// facesItself tells whether copper of the same net lies within a hairline
// outside an edge, at three places along it.
func (n *Nets) facesItself(layer, net int, e geom.Segment) bool {
	dx, dy := float64(e.B.X-e.A.X), float64(e.B.Y-e.A.Y)
	l := math.Hypot(dx, dy)
	ox, oy := dy/l*hairline, -dx/l*hairline // copper lies on the left
	for _, f := range [3]float64{0.5, 0.3, 0.7} {
		p := geom.Point{X: e.A.X + int64(f*dx+ox), Y: e.A.Y + int64(f*dy+oy)}
		k := n.locators[layer].Locate(p)
		if k < 0 || n.pieceNet[layer][k] != net {
			return false
		}
	}
	return true
}

// closeSlits fills slits of one net that are narrower than width, without
// joining nets: every net's copper is grown and shrunk by half of it, less
// the holes and the copper of others.
func (n *Nets) closeSlits(ctx context.Context, width int64) error {
	rims := make([][]rimPiece, len(n.Layers))
	parallel.Each(len(n.Layers), func(l int) {
		n.closeLayer(ctx, l, width)
		n.locators[l] = geom.NewLocator(n.Layers[l])
		rims[l] = n.rimsOf(l)
	})
	if ctx.Err() != nil {
		return ctx.Err()
	}
	n.rims = slices.Concat(rims...)
	n.listPieces()
	return nil
}

func (n *Nets) closeLayer(ctx context.Context, layer int, width int64) {
	parts := make([]geom.Region, len(n.Nets))
	for k, poly := range n.Layers[layer] {
		id := n.pieceNet[layer][k]
		parts[id] = append(parts[id], poly)
	}
	holes := holeRings(n.Board, layer)
	var copper geom.Region
	var nets []int
	for id, own := range parts {
		if len(own) == 0 || ctx.Err() != nil {
			continue
		}
		grown := geom.Offset(geom.Offset(own, width/2, chordError), -width/2, chordError)
		keep := slices.Clone(holes)
		box := own.Bounds()
		for other, region := range parts {
			if other != id && region.Bounds().Touches(box) {
				keep = append(keep, ringsOf(region)...)
			}
		}
		free := geom.Difference(grown, geom.Fill(keep, geom.NonZero))
		closed := geom.Union(own, free)
		copper = append(copper, closed...)
		nets = append(nets, slices.Repeat([]int{id}, len(closed))...)
	}
	n.Layers[layer], n.pieceNet[layer] = copper, nets
}
