package suspect

import (
	"cmp"
	"context"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/copper"
)

// Found is a place where a design is prone to bridging, and the two nets.
type Found struct {
	Site
	Nets [2]int // indices of A's and B's net
}

// proneReach and proneStep are the widest gap that counts and the spacing of
// samples when all nets are asked for, metres.
const (
	proneReach = 0.35e-3
	proneStep  = 0.3e-3
)

// Prone lists the most places of a whole design where any two nets could
// touch, likeliest first. Probabilities are shares of all places found.
func Prone(ctx context.Context, b *board.Board, nets *copper.Nets, rates Rates, most int) ([]Found, error) {
	q := Question{Board: b, Nets: nets, Rates: rates}
	s := newSurface(q.withDefaults())
	s.byNet = make([]*padSet, len(nets.Nets))
	var all []Found
	for l := range b.Layers {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		all = append(all, s.proneOn(l)...)
	}
	all = append(all, s.proneParts()...)
	return gathered(all, most), nil
}

// proneOn walks every net's outline on a layer. A gap is seen from both of
// its edges, so each counts half.
func (s *scene) proneOn(layer int) []Found {
	var edges []geom.TaggedSegment
	for n := range s.q.Nets.Nets {
		for _, poly := range s.q.Nets.Copper(n, layer) {
			poly.Rings(func(r geom.Ring) { edges = appendEdges(edges, r, int32(n), everywhere) })
		}
	}
	all := geom.NewEdgeIndex(edges)
	var out []Found
	for n := range s.q.Nets.Nets {
		look := &facer{others: all, all: all, reach: proneReach,
			accept: func(e int32) bool { return all.Edge(e).Tag != int32(n) }}
		for _, poly := range s.q.Nets.Copper(n, layer) {
			poly.Rings(func(r geom.Ring) {
				walk(r, proneStep, func(st stretch) {
					look.face(st, func(f facing) {
						out = append(out, s.found(layer, n, int(all.Edge(f.edge).Tag), st, f))
					})
				})
			})
		}
	}
	return out
}

// found is the sample of a stretch of one net's outline that faces another's.
func (s *scene) found(layer, net, other int, st stretch, f facing) Found {
	first := 0
	if other < net {
		first = 1
	}
	out := Found{Site: s.gapSite(layer, first, st, f), Nets: [2]int{min(net, other), max(net, other)}}
	out.Prior /= 2
	out.Length /= 2
	s.judge(&out.Site, [2]*padSet{s.netPads(out.Nets[0]), s.netPads(out.Nets[1])})
	return out
}

// netPads finds the pads of a net, gathered once.
func (s *scene) netPads(net int) *padSet {
	if s.byNet[net] == nil {
		s.byNet[net] = newPadSet(s.q.Board, s.q.Nets.Nets[net].Pads)
	}
	return s.byNet[net]
}

// pronePart makes parts that fail inside count for less than bridges: a design
// can be drawn so that it bridges less, but its capacitors crack as they do.
const pronePart = 0.02

// proneParts lists the two-pin parts, which can fail short inside.
func (s *scene) proneParts() []Found {
	var out []Found
	for _, part := range s.q.Board.Parts {
		var pads []int // one of each net
		for _, i := range part.Pads {
			same := func(k int) bool { return s.q.Nets.PadNet(k) == s.q.Nets.PadNet(i) }
			if s.q.Nets.PadNet(i) >= 0 && !slices.ContainsFunc(pads, same) {
				pads = append(pads, i)
			}
		}
		if len(pads) != 2 || part.Absent {
			continue
		}
		slices.SortFunc(pads, func(a, b int) int { return cmp.Compare(s.q.Nets.PadNet(a), s.q.Nets.PadNet(b)) })
		a, b := pads[0], pads[1]
		f := Found{s.pairSite(part.Ref, a, b), [2]int{s.q.Nets.PadNet(a), s.q.Nets.PadNet(b)}}
		f.Prior = pronePart * s.q.Rates.part(part.Ref)
		out = append(out, f)
	}
	return out
}

// gathered joins the samples of one gap between the same nets and
// neighbours, and keeps the likeliest places.
func gathered(all []Found, most int) []Found {
	type key struct {
		nets  [2]int
		kind  Kind
		layer int
		near  string
		cell  [2]int
	}
	var total float64
	at := map[key]int{}
	var out []Found
	for _, f := range all {
		total += f.Prior
		x, y := f.Mid()
		k := key{f.Nets, f.Kind, f.LayerA, "", [2]int{}}
		if len(f.Near) == 2 {
			k.near = f.Near[0] + "|" + f.Near[1]
		} else {
			k.cell = [2]int{int(math.Floor(x)), int(math.Floor(y))}
		}
		i, ok := at[k]
		if !ok {
			at[k] = len(out)
			out = append(out, f)
			continue
		}
		sum, length := out[i].Prior+f.Prior, out[i].Length+f.Length
		if f.Gap < out[i].Gap {
			out[i] = f
		}
		out[i].Prior, out[i].Length = sum, length
	}
	for i := range out {
		out[i].Prior /= total
	}
	slices.SortStableFunc(out, func(a, b Found) int { return cmp.Compare(b.Prior, a.Prior) })
	return out[:min(len(out), most)]
}
