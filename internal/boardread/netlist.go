package boardread

import (
	"bytes"
	"fmt"
	"slices"

	"ohmward/format/fault"
	"ohmward/format/gerber"
	"ohmward/format/ipcd356"
	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// surelyFits is the share of a netlist's places that must fall on pads
	// and holes; a netlist of another board reaches a tenth or so.
	surelyFits = 0.5
	// wellFits is the share below which a fit is a doubt.
	wellFits = 0.8
	// landReach is how far a netlist's place may lie from the land it means,
	// nanometres: two roundings to a mil.
	landReach = 51_000
	// smallFill is the largest painted area whose middle may be a pad's,
	// nanometres across.
	smallFill = 10_000_000
)

// readNetlist reads a bare-board test netlist.
func (s *source) readNetlist() {
	s.use, s.role, s.why = useNetlist, "netlist", "IPC-D-356 records"
	s.list, s.err = ipcd356.Read(bytes.NewReader(s.data), s.path)
}

// netPoint is a place of a netlist in the board's frame.
type netPoint struct {
	ipcd356.Record
	file     string
	from, to int // layers it is on, 0-based
}

// netlist fits the netlists onto the board, notes which net each of their
// places is of, and gives lands that carry no pin theirs.
func (a *assembly) netlist() {
	for _, s := range a.of(useNetlist) {
		if len(a.points) > 0 {
			s.ignore("a second netlist: " + a.points[0].file + " is used")
			continue
		}
		a.fitNetlist(s)
	}
	a.designNets()
	a.namePins()
}

func (a *assembly) fitNetlist(s *source) {
	records, lands := a.orientNetlist(s.list.Records)
	move, ok := ipcd356.Fit(records, lands)
	if !ok {
		s.ignore("a netlist without places, or a board without lands: not used")
		return
	}
	back, apart := move, false
	if move.Share() < wellFits { // the bottom may be drawn as seen from below
		if front, good := ipcd356.Fit(ipcd356.Front(records), lands); good && front.Share() >= surelyFits {
			if back, apart = ipcd356.FitBack(records, lands, front); apart {
				move = front
			}
		}
	}
	if move.Share() < surelyFits {
		a.doubt(s.path, "only %.0f %% of the netlist's places fall on pads and holes wherever it is laid: another "+
			"board's or revision's netlist: not used", 100*move.Share())
		s.ignore("netlist that does not fit the board")
		return
	}
	x, y := move.Offset.MM()
	s.role = "netlist"
	s.why = fmt.Sprintf("IPC-D-356 records; %.0f %% fall on pads and holes when moved by %.3f,%.3f mm",
		100*move.Share(), x, y)
	a.doubtFit(s, move, apart)
	a.doubts(groupWarnings(s.path, s.list.Warnings)...)
	if !s.list.Complete {
		a.doubt(s.path, "the netlist's end mark (999) is missing: part of it may be lost")
	}
	for _, r := range records {
		if r.Kind == ipcd356.Unplated || r.Kind == ipcd356.ToolingHole || r.Kind == ipcd356.ToolingFeature {
			continue
		}
		by := move
		if apart && r.Side == ipcd356.SideSecondary && r.Hole == 0 {
			by = back
		}
		r.At = by.Apply(r.At)
		r.Hole = by.Scale.Length(r.Hole)
		r.Size = [2]int64{by.Scale.Length(r.Size[0]), by.Scale.Length(r.Size[1])}
		if a.only != nil && !a.only.holds(r.At) {
			continue
		}
		if k := copyAt(a.cells, r.At); k > 0 {
			r.Ref = marked(r.Ref, k)
			if isName(r.Net) {
				r.Net = marked(r.Net, k)
			}
		}
		p := netPoint{Record: r, file: s.path}
		p.from, p.to = a.pointLayers(r)
		a.points = append(a.points, p)
		if isName(r.Net) {
			a.b.Netlist = append(a.b.Netlist, board.Label{Layer: p.from, At: r.At, Net: r.Net, File: s.path,
				Line: r.Line})
		}
	}
}

// doubtFit tells what is odd in how a netlist came to lie on the board.
func (a *assembly) doubtFit(s *source, move ipcd356.Move, apart bool) {
	if sc := move.Scale; sc.Over != 0 {
		a.doubt(s.path, "the netlist's unit is said to be %s, but its places fit the board only %s: read so",
			unitDeclared(s.list), unitRead(s.list, sc))
	}
	switch {
	case apart:
		a.doubt(s.path, "the netlist's bottom lands fit the board only mirrored, as seen from below: read so")
	case move.MirrorX || move.MirrorY:
		a.doubt(s.path, "the netlist fits the board only mirrored: is one of the two drawn as seen from below?")
	}
	if move.Share() < wellFits {
		a.doubt(s.path, "only %.0f %% of the netlist's places fall on pads and holes: another revision's netlist, "+
			"or the board is not whole", 100*move.Share())
	}
}

func unitDeclared(f *ipcd356.File) string {
	if f.Metric {
		return "0.001 mm"
	}
	return "0.0001 inch"
}

// unitRead names the unit that fits.
func unitRead(f *ipcd356.File, s ipcd356.Scale) string {
	switch ratio := float64(s.Times) / float64(s.Over); {
	case f.Metric && ratio > 2 && ratio < 3:
		return "as 0.0001 inch"
	case !f.Metric && ratio > 0.3 && ratio < 0.5:
		return "as 0.001 mm"
	case ratio > 1:
		return fmt.Sprintf("%.4g times as large", ratio)
	default:
		return fmt.Sprintf("%.4g times as small", 1/ratio)
	}
}

// mostWarnings is how many of a reader's notes on one file are shown each.
const mostWarnings = 4

func groupWarnings(file string, ws []fault.Warning) []board.Doubt {
	out := noted(file, ws)
	if len(out) <= mostWarnings+1 {
		return out
	}
	out[mostWarnings].What += fmt.Sprintf(", and %d more lines that are doubtful", len(ws)-mostWarnings-1)
	return out[:mostWarnings+1]
}

// pointLayers gives the layers that a record's land is on.
func (a *assembly) pointLayers(r ipcd356.Record) (from, to int) {
	last := len(a.layers) - 1
	if r.Hole > 0 || r.Kind != ipcd356.Surface && r.Side != ipcd356.SidePrimary &&
		r.Side != ipcd356.SideSecondary {
		if from, to, ok := a.through(r.At); ok {
			return from, to
		}
	}
	switch {
	case r.Side == ipcd356.SideSecondary:
		return last, last
	case r.Side == ipcd356.SideInner && r.Access >= 1 && r.Access <= last+1:
		return r.Access - 1, r.Access - 1
	}
	return 0, 0
}

// landPlaces lists where lands and holes are, to fit a netlist onto.
func (a *assembly) landPlaces() []geom.Point {
	out := append(a.flashes(), a.holeMiddles()...)
	for _, s := range a.layers {
		for o := range dark(s.img) {
			if b := geom.Bounds(o.Rings); o.Kind == gerber.Fill && max(width(b), height(b)) < smallFill {
				out = append(out, b.Mid())
			}
		}
	}
	return out
}

// landFinder finds the flash at a place on a layer.
type landFinder []grid[*gerber.Object]

func newLandFinder(layers []*source) landFinder {
	f := make(landFinder, len(layers))
	for l, s := range layers {
		f[l] = newGrid[*gerber.Object](landReach)
		for o := range dark(s.img) {
			if o.Kind == gerber.Flash && len(o.Rings) > 0 {
				f[l].add(o.At, o)
			}
		}
	}
	return f
}

// at gives the nearest flash within landReach, or nil; of several at one place
// one with a pin, then one that is no via, then the widest.
func (f landFinder) at(layer int, p geom.Point) *gerber.Object {
	var best *gerber.Object
	least := float64(landReach)
	for o := range f[layer].around(p) {
		if d := geom.Distance(o.At, p); d < least || best != nil && d == least && overlaps(o, best) {
			best, least = o, d
		}
	}
	return best
}

// overlaps tells which of two flashes at one place is rather a pin's land.
func overlaps(a, b *gerber.Object) bool {
	if (a.Pin != "") != (b.Pin != "") {
		return a.Pin != ""
	}
	if va, vb := first(a.Function) == "ViaPad", first(b.Function) == "ViaPad"; va != vb {
		return vb
	}
	wide := func(o *gerber.Object) int64 {
		x := geom.Bounds(o.Rings)
		return width(x) + height(x)
	}
	return wide(a) > wide(b)
}

// unnamed gives a further flash without a pin at the very place of another.
func (f landFinder) unnamed(layer int, p geom.Point) *gerber.Object {
	for o := range f[layer].around(p) {
		if o.At == p && o.Pin == "" {
			return o
		}
	}
	return nil
}

// namePins gives flashes without a pin the one that the netlist has there, and
// keeps what has no flash for padsOfPoints.
func (a *assembly) namePins() {
	if len(a.points) == 0 {
		return
	}
	lands := newLandFinder(a.layers)
	var other []netPoint
	was := ""
	for _, p := range a.points {
		if p.Via || p.Ref == "" || p.Pin == "" {
			continue
		}
		for l := p.from; l <= p.to; l++ {
			o := lands.at(l, p.At)
			if o == nil {
				a.bare = append(a.bare, barePoint{p, l})
				continue
			}
			if first(o.Function) == "ViaPad" {
				continue // a via by its attribute: the pin's land is on another layer
			}
			if o.Pin != "" && landFunctions[first(o.Function)] {
				if o.Ref == p.Ref && o.Pin == p.Pin {
					continue
				}
				second := lands.unnamed(l, o.At)
				if second == nil {
					if len(other) == 0 {
						was = o.Ref + "." + o.Pin
					}
					other = append(other, p)
					continue
				}
				o = second // one land for two pins, drawn twice
			}
			o.Ref, o.Pin = p.Ref, p.Pin
			if f := first(o.Function); f == "" || !landFunctions[f] {
				o.Function = []string{"ComponentPad"}
				if p.Kind == ipcd356.Surface && p.Hole == 0 {
					o.Function = []string{"SMDPad"}
				}
			}
		}
	}
	if len(other) > 0 {
		a.doubtAt(other[0].file, other[0].Line, "%d lands have another pin in the netlist than in the copper "+
			"files, as %s.%s for %s at %s: the copper files' is kept", len(other), other[0].Ref, other[0].Pin, was,
			place(other[0].At))
	}
}

// barePoint is a pin of the netlist where a layer has no flash.
type barePoint struct {
	netPoint
	layer int
}

// padsOfPoints makes pads of the netlist's pins whose lands are painted by
// strokes or regions.
func (a *assembly) padsOfPoints() {
	own := map[pinKey][]int{}
	for i, p := range a.b.Pads {
		k := pinKey{p.Layer, p.Ref, p.Pin}
		own[k] = append(own[k], i)
	}
	for _, p := range a.bare {
		k := pinKey{p.layer, p.Ref, p.Pin}
		if slices.ContainsFunc(own[k], func(i int) bool { return a.b.Pads[i].Shape.Contains(p.At) }) {
			continue
		}
		if !a.copperAt(p.layer, p.At) {
			continue // no copper: the nets' comparison tells of it
		}
		pad := board.Pad{Layer: p.layer, At: p.At, Shape: geom.Region{{Outer: p.land()}}, Ref: p.Ref, Pin: p.Pin,
			Hole: a.grid.At(p.At, p.layer, board.PlatedHole), File: p.file, Line: p.Line}
		if isName(p.Net) {
			pad.Net = p.Net
		}
		own[k] = append(own[k], len(a.b.Pads))
		a.b.Pads = append(a.b.Pads, pad)
	}
}

// Lands whose size the netlist does not say, nanometres.
const (
	unlistedLand = 300_000
	landChords   = 32
)

// land is the record's land as it says.
func (p netPoint) land() geom.Ring {
	w, h := p.Size[0], p.Size[1]
	switch {
	case w <= 0:
		return geom.Circle(p.At, unlistedLand/2, landChords)
	case h <= 0:
		return geom.Circle(p.At, w/2, landChords)
	}
	box := geom.Rectangle(geom.Box{Min: geom.Point{X: p.At.X - w/2, Y: p.At.Y - h/2},
		Max: geom.Point{X: p.At.X + w/2, Y: p.At.Y + h/2}})
	return box.Rotate(p.At, float64(p.Rotation))
}
