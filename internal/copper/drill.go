package copper

import (
	"fmt"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// clearOf is how far, in nanometres, a hole's rim must lie from every edge
	// and every other hole to be cut out as it is: rounding moves nothing so far.
	clearOf = 8
	// leastHole is the diameter in nanometres from which a hole's polygon is
	// sure to be as it is drawn after rounding.
	leastHole = 1000
	// lookups is how many edges, cells and holes may be looked at for each edge
	// and hole of a layer in sorting its holes out; beyond that, all holes are
	// painted at once, which is bounded too.
	lookups = 40
)

// drilled takes every hole's circle or slot, plated or not, out of a layer's
// painted copper, after etching. Most holes lie clear of every edge: they only
// add a ring to the piece they lie in. The rest, and the pieces they touch, are
// cut. The result is that of cutting out all at once.
func (n *Nets) drilled(layer int, etch int64) (geom.Region, error) {
	painted := n.Board.Layers[layer].Copper
	if etch > 0 {
		painted = etched(n.Board, layer, etch)
	}
	if len(painted) == 0 {
		return painted, nil
	}
	d := n.sortHoles(layer, painted)
	region, edges := slices.Clone(painted), d.edges // its polygons get more holes
	if len(d.hard) > 0 {
		var err error
		if region, err = d.cut(painted); err != nil {
			return nil, fmt.Errorf("copper: drilling %s: %w", layerName(layer), err)
		}
		if len(d.easy) > 0 {
			edges = geom.NewLocator(region)
		}
	}
	return punched(region, edges, d.easy), nil
}

// drilling is a layer's holes sorted by how they are taken out of its copper.
type drilling struct {
	edges   *geom.Locator
	hard    []geom.Ring  // come near edges or each other
	touched []bool       // pieces that the hard ones may change
	easy    []board.Hole // clear of everything
	bent    map[geom.Segment]bool
	left    int // lookups that are still allowed
}

func (n *Nets) sortHoles(layer int, painted geom.Region) *drilling {
	d := &drilling{edges: geom.NewLocator(painted), touched: make([]bool, len(painted)),
		bent: map[geom.Segment]bool{}, left: lookups * (painted.Vertices() + len(n.Board.Holes))}
	for i, h := range n.Board.Holes {
		if !h.Spans(layer) || h.Diameter <= 0 {
			continue
		}
		if !placeable(h) {
			return everything(n.Board, layer, painted)
		}
		met := d.meets(h) || h.Diameter < leastHole || n.holeNear(layer, i, &d.left)
		switch {
		case d.left < 0:
			return everything(n.Board, layer, painted)
		case !met:
			d.easy = append(d.easy, h)
			continue
		}
		d.hard = append(d.hard, holeRing(h))
		if k := d.edges.Locate(h.At); k >= 0 {
			d.touched[k] = true
		}
	}
	return d
}

// everything sorts no holes out: all are cut from all pieces.
func everything(b *board.Board, layer int, painted geom.Region) *drilling {
	return &drilling{hard: holeRings(b, layer), touched: slices.Repeat([]bool{true}, len(painted))}
}

// placeable tells whether a hole lies where lengths can be reckoned with.
func placeable(h board.Hole) bool {
	box := geom.Segment{A: h.At, B: h.To}.Bounds().Grow(min(h.Diameter, geom.MaxCoord)/2 + clearOf)
	plane := geom.Box{}.Grow(geom.MaxCoord)
	return h.Diameter <= geom.MaxCoord && plane.Holds(box.Min) && plane.Holds(box.Max)
}

// meets tells whether a hole comes near any edge, and marks the pieces that
// this may change: where an edge is bent, what lies beside it may be bent too.
func (d *drilling) meets(h board.Hole) bool {
	var todo []geom.Segment
	note := func(k int, e geom.Segment) {
		d.touched[k] = true
		if !d.bent[e] {
			d.bent[e] = true
			todo = append(todo, e)
		}
	}
	met := false
	d.left -= d.edges.Near(geom.Segment{A: h.At, B: h.To}, h.Diameter/2+clearOf, d.left,
		func(k int, e geom.Segment) {
			met = true
			note(k, e)
		})
	for len(todo) > 0 && d.left >= 0 {
		e := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		d.left -= d.edges.Near(e, clearOf, d.left, func(k int, f geom.Segment) {
			if f.A == e.B || f.B == e.A {
				d.touched[k] = true // goes on from e: only the end is shared
			} else {
				note(k, f)
			}
		})
	}
	return met
}

// cut takes the hard holes out of the pieces they touch and leaves the others.
func (d *drilling) cut(painted geom.Region) (geom.Region, error) {
	var out, touched geom.Region
	for k, poly := range painted {
		if d.touched[k] {
			touched = append(touched, poly)
		} else {
			out = append(out, poly)
		}
	}
	if len(touched) > 0 {
		cut, err := geom.CutBounded(touched, d.hard)
		if err != nil {
			return nil, err
		}
		out = append(out, cut...)
		out.Sort()
	}
	return out, nil
}

// punched adds holes that lie clear of everything to the pieces around them.
func punched(region geom.Region, edges *geom.Locator, holes []board.Hole) geom.Region {
	inside := make([][]geom.Ring, len(region))
	for _, h := range holes {
		if k := edges.Locate(h.At); k >= 0 {
			inside[k] = append(inside[k], holeRing(h).Canonical().Reverse())
		}
	}
	for k, rings := range inside {
		if len(rings) > 0 {
			region[k].Holes = slices.Concat(region[k].Holes, rings)
			region[k].SortHoles()
		}
	}
	return region
}

// holeNear tells whether another hole on the layer comes near the hole's rim,
// or lies in it. It takes what it looks at off left, and stops below 0.
func (n *Nets) holeNear(layer, hole int, left *int) bool {
	h := n.Board.Holes[hole]
	for near := range n.holes.Cells(h.Bounds().Grow(clearOf)) {
		if *left -= len(near) + 1; *left < 0 {
			return true
		}
		for _, j := range near {
			o := n.Board.Holes[j]
			if int(j) != hole && o.Spans(layer) && o.Diameter > 0 && h.Gap(o) < clearOf {
				return true
			}
		}
	}
	return false
}
