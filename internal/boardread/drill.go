package boardread

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"

	"ohmward/format"
	"ohmward/format/excellon"
	"ohmward/format/fault"
	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// drill gathers the holes of all drill files, checks that each file fits the
// copper, and counts repeated hits once.
func (a *assembly) drill() error {
	files, err := a.drillFiles()
	if err != nil {
		return err
	}
	flashes := newPadFinder(a.lands)
	var all []board.Hole
	for _, s := range files {
		if s.made != nil {
			all = append(all, a.wanted(slices.Clone(s.made))...)
			continue
		}
		from, last, err := a.span(s)
		if err != nil {
			return err
		}
		holes := s.holes(from, last)
		fit := drillFit{s, a, from, last, geom.Sample(platedPlaces(holes), mostTried), flashes}
		as, d, err := fit.check()
		if err != nil {
			return err
		}
		a.guesses(s, len(fit.places) >= fewestHits && as == nil && flashes.share(fit.places) >= fitsFully)
		if d != nil {
			a.doubts(*d)
		}
		if as != nil {
			holes = s.reread(*as, from, last)
		}
		if err := plausible(s.path, holes); err != nil {
			return err
		}
		if err := a.farHoles(s.path, holes); err != nil {
			return err
		}
		holes = a.wanted(holes)
		s.role = drillRole(holes, from, last)
		all = append(all, holes...)
	}
	var doubts []board.Doubt
	a.b.Holes, doubts = mergeHoles(all)
	a.doubts(doubts...)
	a.grid = board.NewHoleGrid(a.b.Holes, 0)
	return nil
}

// guesses tells how a drill file was read for want of its saying so: a doubt,
// unless its holes lie in pads.
func (a *assembly) guesses(s *source, settled bool) {
	if s.drill == nil {
		return
	}
	for _, w := range s.drill.Warnings {
		switch {
		case !w.Guess:
		case settled:
			s.why += "; " + w.What + "; its holes lie in pads so"
		default:
			a.doubts(noted(s.path, []fault.Warning{w})...)
		}
	}
}

// wanted leaves the holes of the copy that is read.
func (a *assembly) wanted(holes []board.Hole) []board.Hole {
	return slices.DeleteFunc(holes, func(h board.Hole) bool { return a.only != nil && !a.only.holds(h.Mid()) })
}

// platedPlaces lists where the plated round holes are.
func platedPlaces(holes []board.Hole) []geom.Point {
	var out []geom.Point
	for _, h := range holes {
		if h.Plated && h.At == h.To {
			out = append(out, h.At)
		}
	}
	return out
}

var unitLine = regexp.MustCompile(`(?m)^(INCH|METRIC)(,[LT]Z)?`)

// otherZeros reads the drill file again with the other zeros kept, as if its
// header said so.
func (s *source) otherZeros() []*excellon.File {
	m := unitLine.FindSubmatch(s.data)
	if s.drill == nil || m == nil || len(s.drill.Hits) > mostAgain {
		return nil
	}
	var out []*excellon.File
	for _, zeros := range []string{",LZ", ",TZ"} {
		if string(m[2]) == zeros {
			continue
		}
		text := unitLine.ReplaceAll(s.data, []byte("${1}"+zeros))
		if f, err := excellon.Read(bytes.NewReader(text), s.path); err == nil {
			out = append(out, f)
		}
	}
	return out
}

// reread gives the holes of another reading of the file.
func (s *source) reread(as reading, from, last int) []board.Hole {
	if as.file != nil {
		s.drill = as.file
		return s.holes(from, last)
	}
	holes := s.holes(from, last)
	for i := range holes {
		h := &holes[i]
		h.At, h.To = scaled(h.At, as.factor), scaled(h.To, as.factor)
		h.Diameter = scaled(geom.Point{X: h.Diameter}, as.tool).X
	}
	return holes
}

// repeats is the share of a Gerber drill file's holes that drill files have
// too above which it only repeats them.
const repeats = 0.9

// drillFiles lists the drill files to use. Gerber ones often repeat what
// drill files beside them tell, or are drawings of it: they are used only
// where they tell more.
func (a *assembly) drillFiles() ([]*source, error) {
	var native []board.Hole
	any, drawn := false, false
	var out []*source
	room := mostArea
	for _, s := range a.of(useDrill) {
		holes := s.holes(0, 0)
		if room -= areaOf(holes); room < 0 {
			return nil, fmt.Errorf("board: %s: too large: the boxes of its holes and slots cover %g mm2 and more: is "+
				"it a drill file of this board?", s.path, mostArea)
		}
		if s.drill != nil || s.made != nil {
			any = true
			native = append(native, holes...)
		} else {
			drawn = drawn || !s.overridden
		}
	}
	if !drawn {
		return a.of(useDrill), nil
	}
	known := board.NewHoleGrid(native, 0)
	lands := newPadFinder(a.lands)
	for _, s := range a.of(useDrill) {
		if s.drill == nil && s.made == nil && !s.overridden {
			own := s.holes(0, 0)
			switch {
			case any && float64(repeatedHoles(own, native, known)) >= repeats*float64(len(own)):
				s.ignore("drill holes as Gerber: the drill files beside it tell the same")
				continue
			case s.img.Attributes[".FileFunction"] == nil && (any || !s.drilled(lands)):
				s.ignore("a drawing of the drill holes")
				continue
			}
		}
		out = append(out, s)
	}
	return out, nil
}

func repeatedHoles(own, native []board.Hole, known *board.HoleGrid) int {
	n := 0
	for _, h := range own {
		if i := known.At(h.At, 0, board.AnyHole); i >= 0 && near(native[i].At, h.At) {
			n++
		}
	}
	return n
}

// drilled tells whether a Gerber file without attributes shows holes, not a
// drawing of them: most of it are flashes on lands.
func (s *source) drilled(lands *padFinder) bool {
	var at []geom.Point
	all := 0
	for o := range dark(s.img) {
		all++
		if o.Kind == gerber.Flash {
			at = append(at, o.At)
		}
	}
	return len(at) > 0 && 2*len(at) > all && lands.share(at) >= 0.5
}

// span gives the first and last layer index that a drill file goes through.
func (a *assembly) span(s *source) (from, last int, err error) {
	n := len(a.layers)
	from, last = s.from, s.to
	if from == format.Last {
		from = n
	}
	if last == format.Last {
		last = n
	}
	if from == 0 || last == 0 {
		return 0, n - 1, nil
	}
	if from > last {
		from, last = last, from
	}
	if last > n {
		return 0, 0, fmt.Errorf("board: %s: drills from L%d to L%d, but there are copper files for %d layers "+
			"only: add the missing ones", s.path, from, last, n)
	}
	return from - 1, last - 1, nil
}

// holes turns what was read into holes.
func (s *source) holes(from, last int) []board.Hole {
	var out []board.Hole
	add := func(at, to geom.Point, d int64, p excellon.Plating, line int) {
		if d <= 0 {
			return
		}
		if p == excellon.PlatingUnknown {
			p = s.plating
		}
		out = append(out, board.Hole{At: at, To: to, Diameter: d, Plated: p != excellon.Unplated, First: from,
			Last: last, File: s.path, Line: line})
	}
	if s.made != nil {
		return s.made
	}
	if s.drill != nil {
		out = make([]board.Hole, 0, len(s.drill.Hits))
		for _, h := range s.drill.Hits {
			add(h.At, h.To, h.Diameter, h.Plating, h.Line)
		}
		return out
	}
	for o := range dark(s.img) {
		if len(o.Rings) == 0 {
			continue
		}
		box := geom.Bounds(o.Rings)
		switch o.Kind {
		case gerber.Flash:
			add(box.Mid(), box.Mid(), min(width(box), height(box)), excellon.PlatingUnknown, o.Line)
		case gerber.Draw:
			add(o.At, o.To, width(box)-abs(o.To.X-o.At.X), excellon.PlatingUnknown, o.Line)
		case gerber.Arc:
			way := centreLine(o)
			for k := range way[1:] {
				add(way[k], way[k+1], strokeWidth(o), excellon.PlatingUnknown, o.Line)
			}
		}
	}
	return out
}

// strokeWidth is twice the farthest that the outline of a stroke lies from
// its centre line's start, measured across it.
func strokeWidth(o *gerber.Object) int64 {
	least := math.Inf(1)
	for _, r := range o.Rings {
		for _, p := range r {
			least = min(least, geom.Distance(p, o.At))
		}
	}
	return int64(math.Round(2 * least))
}

func abs(v int64) int64 { return max(v, -v) }

// drillRole says what a drill file holds.
func drillRole(holes []board.Hole, from, last int) string {
	plated := slices.ContainsFunc(holes, board.PlatedHole)
	unplated := slices.ContainsFunc(holes, func(h board.Hole) bool { return !h.Plated })
	what := "drill plated"
	switch {
	case len(holes) == 0:
		what = "drill empty"
	case !plated:
		what = "drill unplated"
	case unplated:
		what = "drill mixed"
	}
	return fmt.Sprintf("%s %d-%d", what, from+1, last+1)
}

// flashes lists the places of all lands on copper.
func (a *assembly) flashes() []geom.Point {
	var out []geom.Point
	for _, s := range a.layers {
		out = append(out, flashesOf(s)...)
	}
	return out
}

// flashesOf lists the places of one layer's lands.
func flashesOf(s *source) []geom.Point {
	var out []geom.Point
	for o := range dark(s.img) {
		if o.Kind == gerber.Flash || o.Kind == gerber.Draw && o.At == o.To {
			out = append(out, o.At)
		}
	}
	return out
}

func (a *assembly) onCopper(p geom.Point) bool {
	if a.only != nil && !a.only.holds(p) {
		return true // of another copy, whose copper is not read
	}
	return slices.ContainsFunc(a.located, func(l *geom.Locator) bool { return l.Locate(p) >= 0 })
}
