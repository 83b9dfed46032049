package boardread

import (
	"fmt"
	"math"
	"slices"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// Files of one board lie on one another. A layer that is shifted, mirrored or
// another board's shows in the places of its lands, and in holes whose rims
// run half through copper.

const (
	// Real boards: every mask and paste layer of the shared ones has 0.6 or more
	// of its places on lands or holes, and one rim in forty at most is cut.
	fewestSpots = 4   // places, below which nothing is concluded of a layer
	spotsFit    = 0.3 // of the places that could fit elsewhere
	wholeLie    = 0.9 // of places that fit: nothing can fit better
	evenPitch   = 0.8 // of places that may fit by chance, shifted by a pitch
	spotsAlien  = 0.4 // of a mask's places on lands, below which it is another's
	cutRims     = 0.1 // of holes with a half-covered rim
	rimReach    = 10_000
	rimSamples  = 8
)

// register doubts layers that do not lie on the others.
func (a *assembly) register() {
	registered := make([]bool, len(a.layers))
	for i, s := range a.layers {
		registered[i] = a.registerCopper(i, s)
	}
	a.registerRims(registered)
	var off [2]int
	for _, u := range []use{useMask, usePaste} {
		for _, s := range a.of(u) {
			if s.img != nil && (a.offBoard(s) || a.registerOver(s)) {
				off[s.side]++
			}
		}
	}
	for side, n := range off {
		if s := a.layers[a.face(board.Side(side))]; n > 1 {
			a.doubt(s.path, "neither mask nor paste lies on the lands of %s: is it this board's copper?", s.role)
		}
	}
}

// offBoard doubts an image that lies wholly beside the board.
func (a *assembly) offBoard(s *source) bool {
	outline := a.b.Outline.Bounds()
	if s.img.Bounds.Empty() || outline.Empty() || s.img.Bounds.Touches(outline) {
		return false
	}
	x, y := s.img.Bounds.Min.MM()
	a.doubt(s.path, "all of the %s lies beside the board, from %.1f,%.1f on: is it drawn from another side or "+
		"origin?", s.role, x, y)
	return true
}

// spots are the places of an image: its flashes and the middles of its small
// fills.
func spots(img *gerber.Image) []geom.Point {
	var out []geom.Point
	for i := range img.Objects {
		switch o := &img.Objects[i]; {
		case len(o.Rings) == 0:
		case o.Kind == gerber.Flash, o.Kind == gerber.Draw && o.At == o.To:
			out = append(out, o.At)
		case o.Kind == gerber.Fill:
			if b := geom.Bounds(o.Rings); max(width(b), height(b)) < smallFill {
				out = append(out, b.Mid())
			}
		}
	}
	return out
}

// pose is how places could come to lie on others: as they are, shifted, or
// mirrored and shifted.
type pose struct {
	here, best int // how many fit
	by         geom.Point
	mirrored   bool
}

func findPose(places []geom.Point, f *padFinder) pose {
	n := float64(len(places))
	l := pose{here: int(math.Round(f.share(places) * n))}
	l.best = l.here
	if float64(l.here) >= wholeLie*n {
		return l
	}
	for _, mirror := range []geom.Point{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: 1, Y: -1}} {
		turned := make([]geom.Point, len(places))
		for i, p := range places {
			turned[i] = geom.Point{X: p.X * mirror.X, Y: p.Y * mirror.Y}
		}
		by, share := bestShift(turned, f)
		if fits := int(math.Round(share * n)); fits > l.best {
			l.best, l.by, l.mirrored = fits, by, mirror.X*mirror.Y < 0
		}
	}
	return l
}

// byPitch tells whether nearly all of n places fit when moved and clearly
// fewer do as they are: rows of pins fall onto one another.
func (l pose) byPitch(n int) bool {
	return n >= 5*fewestSpots && float64(l.best) >= 0.97*float64(n) && float64(l.here) <= evenPitch*float64(n)
}

// elsewhere tells whether far more places fit when moved.
func (l pose) elsewhere(most int) bool {
	return 4*l.here <= l.best && l.best >= l.here+fewestSpots && float64(l.best) >= spotsFit*float64(most)
}

func (l pose) String() string {
	if l.mirrored {
		return "mirrored"
	}
	x, y := l.by.MM()
	return fmt.Sprintf("shifted by %.3f,%.3f mm", x, y)
}

// registerCopper holds a copper layer's lands against the holes through it.
func (a *assembly) registerCopper(layer int, s *source) bool {
	var lands []geom.Point
	for _, o := range s.img.Objects {
		if o.Kind == gerber.Flash && asWideAsHigh(o.Rings) {
			lands = append(lands, o.At)
		}
	}
	var holes []geom.Point
	for _, h := range a.b.Holes {
		if h.Plated && h.At == h.To && h.First <= layer && layer <= h.Last {
			holes = append(holes, h.At)
		}
	}
	if len(lands) < fewestSpots || len(holes) < fewestSpots {
		return false
	}
	l := findPose(holes, newPadFinder(lands))
	if !l.elsewhere(min(len(lands), len(holes))) {
		return false
	}
	a.doubt(s.path, "%d of %d holes lie on lands of %s, but %d if they are %s: is the layer drawn from another "+
		"side or origin than the drill file?", l.here, len(holes), a.b.Layers[layer].Name, l.best, l)
	return true
}

// rims counts holes, and those that copper of a layer covers in part.
type rims struct {
	total, cut int
	first      geom.Point
}

func (r *rims) count(at geom.Point, cut bool) {
	r.total++
	if !cut {
		return
	}
	if r.cut++; r.cut == 1 {
		r.first = at
	}
}

func (r *rims) bad() bool { return r.cut >= fewestSpots && float64(r.cut) > cutRims*float64(r.total) }

// registerRims doubts layers, or else drill files, of which many holes run
// half through copper.
func (a *assembly) registerRims(skip []bool) {
	outline, lands := geom.NewLocator(a.b.Outline), newPadFinder(a.flashes())
	byLayer := make([]rims, len(a.layers))
	byFile := map[string]*rims{}
	var files []string
	for _, h := range a.b.Holes {
		if h.At != h.To || a.onRim(h, outline) < rimSamples {
			continue // a hole in the board's edge is cut on purpose
		}
		if byFile[h.File] == nil {
			byFile[h.File] = &rims{}
			files = append(files, h.File)
		}
		any := false
		for l := h.First; l <= h.Last; l++ {
			on := a.onRim(h, a.located[l])
			// An unplated hole through bare copper has no clearance.
			cut := on > 0 && (on < rimSamples || !h.Plated && !lands.near(h.At))
			byLayer[l].count(h.At, cut)
			any = any || cut
		}
		byFile[h.File].count(h.At, any)
	}
	registered := false
	for l := range byLayer {
		if r := &byLayer[l]; r.bad() && !skip[l] {
			registered = true
			a.doubt(a.layers[l].path, "%d of %d holes run half through copper of %s, as at %s: the layer is shifted, "+
				"mirrored or another board's", r.cut, r.total, a.b.Layers[l].Name, place(r.first))
		}
	}
	if registered || slices.Contains(skip, true) {
		return
	}
	for _, name := range files {
		if f := byFile[name]; f.bad() {
			a.doubtPart(name, "%d of its %d holes run half through copper, as at %s: another board's drill file, or "+
				"another origin", f.cut, f.total, place(f.first))
		}
	}
}

// onRim counts the samples about a hole's rim that lie in a region.
func (a *assembly) onRim(h board.Hole, in *geom.Locator) int {
	n := 0
	r := float64(h.Diameter)/2 + rimReach
	for k := range rimSamples {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / rimSamples)
		if in.Locate(geom.Point{X: h.At.X + int64(r*cos), Y: h.At.Y + int64(r*sin)}) >= 0 {
			n++
		}
	}
	return n
}

// registerOver holds the places of a mask or paste layer against the copper
// below it and tells whether they are off.
func (a *assembly) registerOver(s *source) bool {
	layer := a.face(s.side)
	places := spots(s.img)
	copper := append(spots(a.layers[layer].img), a.holeMiddles()...)
	if len(places) < fewestSpots || len(copper) < fewestSpots {
		return false
	}
	l := findPose(places, newPadFinder(copper))
	switch {
	case l.elsewhere(len(places)) || l.byPitch(len(places)):
		a.doubt(s.path, "%d of %d openings of the %s lie on lands, but %d if it is %s: is it drawn from another "+
			"side or origin than the copper?", l.here, len(places), s.role, l.best, l)
	case float64(l.here) < spotsAlien*float64(len(places)) && !a.opensCopper(layer, places):
		a.doubt(s.path, "only %d of %d openings of the %s lie on lands or holes: another board's file?", l.here,
			len(places), s.role)
	default:
		return false
	}
	return true
}

// face is the copper layer of a side.
func (a *assembly) face(side board.Side) int {
	if side == board.Bottom {
		return len(a.layers) - 1
	}
	return 0
}

// opensCopper tells whether most of the places lie on copper, as windows over
// planes do.
func (a *assembly) opensCopper(layer int, places []geom.Point) bool {
	on := func(p geom.Point) bool { return a.located[layer].Locate(p) >= 0 }
	return 10*heldBy(on, places) > 9*len(places)
}

func (a *assembly) holeMiddles() []geom.Point {
	out := make([]geom.Point, len(a.b.Holes))
	for i, h := range a.b.Holes {
		out[i] = h.Mid()
	}
	return out
}
