package boardread

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"ohmward/format/fault"
	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/cache"
	"ohmward/internal/parallel"
)

// assembly is a board under construction.
type assembly struct {
	b         *board.Board
	set       []*source
	opt       Options
	layers    []*source // copper files, L1 first
	spare     *source   // the one of them that is likeliest none; may be nil
	job       *job
	grid      *board.HoleGrid
	located   []*geom.Locator // per layer, of the painted copper
	overrides *overrides
	lands     []geom.Point // all flashes on copper, of every copy
	only      *cell        // the copy that is read alone; nil: all
	cells     []*cell      // the copies that are read together
	points    []netPoint   // of the netlist
	bare      []barePoint  // of them, pins without a flash
	outlined  bool         // a file tells the outline
}

// assemble builds the board from the files read.
func (r reader) assemble(set []*source, user *overrides, name string) (*board.Board, error) {
	set, err := expandWhole(set, name)
	if err != nil {
		return nil, err
	}
	a := &assembly{b: &board.Board{Name: name, Names: user.names}, set: set, opt: r.opt, overrides: user}
	if err := a.classify(); err != nil {
		return nil, err
	}
	var doubts []board.Doubt
	if a.b.Stack, doubts, err = makeStack(len(a.layers), r.opt, a.job); err != nil {
		return nil, err
	}
	a.doubts(doubts...)
	a.lands = a.flashes()
	if err := a.profile(); err != nil {
		return nil, err
	}
	r.progress("painting")
	if err := a.paint(r.ctx, newEarly(r.opt.Early, a.b, a.layers)); err != nil {
		return nil, err
	}
	r.progress("drilling")
	if err := a.drill(); err != nil {
		return nil, err
	}
	r.progress("finding pads and parts")
	a.besideBoard()
	a.netlist()
	a.attributes()
	a.missingFiles()
	a.list()
	return a.b, nil
}

// doubt notes what a person should look at in a file; "" is the set.
func (a *assembly) doubt(file, format string, args ...any) { a.doubtAt(file, 0, format, args...) }

func (a *assembly) doubtAt(file string, line int, format string, args ...any) {
	a.doubts(doubtOf(file, line, format, args...))
}

func (a *assembly) doubts(d ...board.Doubt) {
	a.b.Doubts = append(a.b.Doubts, d...)
	a.b.Partial = a.b.Partial || slices.ContainsFunc(d, func(d board.Doubt) bool { return d.Part })
}

// doubtPart is doubt of what leaves the board without copper or holes that it
// has.
func (a *assembly) doubtPart(file, format string, args ...any) {
	a.doubts(partOf(doubtOf(file, 0, format, args...)))
}

func partOf(d board.Doubt) board.Doubt {
	d.Part = true
	return d
}

func doubtOf(file string, line int, format string, args ...any) board.Doubt {
	return board.Doubt{File: file, Line: line, What: fmt.Sprintf(format, args...)}
}

// noted are a reader's warnings as doubts.
func noted(file string, warnings []fault.Warning) (out []board.Doubt) {
	for _, w := range warnings {
		out = append(out, board.Doubt{File: file, Line: w.Line, What: w.What, Part: w.Lost})
	}
	return out
}

// noted are the reader's warnings of a file. What it left out makes the board one
// that was read in part only where the file is one of copper or holes.
func (s *source) noted(warnings []fault.Warning) []board.Doubt {
	out := noted(s.path, warnings)
	for i := range out {
		out[i].Part = out[i].Part && (s.use == useCopper || s.use == useDrill || s.use == useWhole)
	}
	return out
}

// of lists the sources of one use.
func (a *assembly) of(u use) []*source {
	return slices.DeleteFunc(slices.Clone(a.set), func(s *source) bool { return s.use != u })
}

// classify decides what every file is used for, and stops where the set cannot
// make a board.
func (a *assembly) classify() error {
	for _, s := range a.of(useJob) {
		if s.err != nil {
			a.doubt(s.path, "the job file cannot be read: what it says is not used")
			s.ignore("job file that cannot be read")
		} else if a.job == nil {
			a.job = s.job
		}
	}
	for _, s := range a.set {
		if s.err == nil {
			continue
		}
		if !s.used() || s.use == usePaste || s.use == useComponents || s.use == useNetlist || s.use == useValues {
			a.doubt(s.path, "%v", s.err)
			s.ignore("cannot be read")
			continue
		}
		if s.use == useDrill && strings.Contains(s.err.Error(), "beyond a metre") {
			return fmt.Errorf("%w: is the file's unit right (inches against millimetres)?", s.err)
		}
		return s.err
	}
	a.classifyNegatives()
	a.dropGuesses()
	if err := a.severalBoards(); err != nil {
		return err
	}
	a.dropDuplicates()
	if err := a.orderCopper(); err != nil {
		return err
	}
	a.crossCheck()
	a.toolSizes()
	for _, s := range a.set {
		a.warnings(s)
	}
	a.b.Doubts = mergeDoubts(a.b.Doubts)
	if len(a.of(useDrill)) == 0 {
		a.noDrill()
	}
	return nil
}

// mergeDoubts makes one doubt of equal ones about several files.
func mergeDoubts(ds []board.Doubt) []board.Doubt {
	var out []board.Doubt
	more := map[int]int{}
	for _, d := range ds {
		k := slices.IndexFunc(out, func(o board.Doubt) bool {
			return o.What == d.What && o.File != d.File && !o.Part && !d.Part
		})
		if k < 0 {
			out = append(out, d)
		} else {
			more[k]++
		}
	}
	for k, n := range more {
		out[k].What += fmt.Sprintf(" (and in %d more of the files)", n)
	}
	return out
}

// warnings turns what a reader ignored, and a missing end, into doubts.
func (a *assembly) warnings(s *source) {
	complete, line := true, 0
	if s.use == useWhole {
		a.doubts(s.noted(s.design.Warnings)...)
		complete, line = s.design.CutOff == 0, s.design.CutOff
	}
	if s.img != nil && s.used() {
		a.doubts(s.noted(s.img.Warnings)...)
		complete = s.img.Complete
	}
	if s.drill != nil && s.use == useDrill {
		guess := func(w fault.Warning) bool { return w.Guess } // the pads settle it: drill
		a.doubts(s.noted(slices.DeleteFunc(slices.Clone(s.drill.Warnings), guess))...)
		complete = s.drill.Complete
	}
	if !complete {
		a.doubts(partOf(doubtOf(s.path, line, "the file (%s) is cut off: its end mark is missing, so part of it "+
			"may be lost: export it again", s.role)))
	}
}

func layerName(i int) string { return fmt.Sprintf("L%d", i+1) }

// paint makes the painted images of copper, the outer layers' first, mask and paste.
func (a *assembly) paint(ctx context.Context, seen *early) error {
	b := a.b
	b.Layers = make([]board.Layer, len(a.layers))
	a.located = make([]*geom.Locator, len(a.layers))
	var jobs []func() error
	for _, i := range outerFirst(len(a.layers)) {
		s := a.layers[i]
		b.Layers[i] = board.Layer{Name: layerName(i), File: s.path}
		jobs = append(jobs, func() (err error) {
			if b.Layers[i].Copper, err = a.painted(s); err != nil {
				return err
			}
			if s.negative {
				b.Layers[i].Copper = a.invert(s, b.Layers[i].Copper)
			}
			seen.painted(i, b.Layers[i].Copper)
			a.located[i] = geom.NewLocator(b.Layers[i].Copper)
			return nil
		})
	}
	for _, side := range []board.Side{board.Top, board.Bottom} {
		jobs = append(jobs,
			func() (err error) { b.Mask[side], err = a.sheet(useMask, side); return err },
			func() (err error) { b.Paste[side], err = a.sheet(usePaste, side); return err })
	}
	if err := parallel.Try(ctx, len(jobs), func(i int) error { return jobs[i]() }); err != nil {
		return err
	}
	for i := range b.Layers {
		if len(b.Layers[i].Copper) == 0 {
			a.doubt(b.Layers[i].File, "copper layer %s is empty", b.Layers[i].Name)
		}
	}
	return nil
}

// heavyImage is how many corners an image has that is painted alone, since
// painting takes some 200 bytes for each.
const heavyImage = 1_000_000

var heavy sync.Mutex

// painted paints a file's image, or takes it from the cache.
func (a *assembly) painted(s *source) (geom.Region, error) {
	if s.corners() > heavyImage {
		heavy.Lock()
		defer heavy.Unlock()
	}
	coats := make([]geom.Coat, 0, len(s.img.Objects))
	for i := range s.img.Objects {
		o := &s.img.Objects[i]
		if len(o.Rings) > 0 {
			coats = append(coats, geom.Coat{Dark: o.Dark, Rings: o.Rings})
		}
	}
	r, err := cache.Painted(a.opt.Cache, coats, geom.PaintBounded)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.path, err)
	}
	return r, nil
}

// sheet unites the images of one use on one side; nil where no file tells.
func (a *assembly) sheet(u use, side board.Side) (*geom.Region, error) {
	var out *geom.Region
	for _, s := range a.of(u) {
		if s.side != side || s.img == nil {
			continue
		}
		r, err := a.painted(s)
		if err != nil {
			return nil, err
		}
		if out != nil {
			r = geom.Union(*out, r)
		}
		out = &r
	}
	return out, nil
}

// attributes finds labels, pads and parts.
func (a *assembly) attributes() {
	b := a.b
	found := make([][]board.Label, len(a.layers))
	pads := make([][]board.Pad, len(a.layers))
	contacts := make([][]board.Contact, len(a.layers))
	parallel.Each(len(a.layers), func(i int) {
		s := a.layers[i]
		in := func(p geom.Point) bool { return a.located[i].Locate(p) >= 0 }
		found[i] = labels(i, s.path, s.img, in, a.grid)
		contacts[i] = a.contacts(i, found[i])
		if s.negative {
			return // what is drawn is no land
		}
		c := padCollector{layer: i, file: s.path, holes: a.grid, mask: openings(a.maskOver(i))}
		pads[i] = c.collect(s.img)
	})
	for i := range a.layers {
		b.Labels = append(b.Labels, found[i]...)
		b.Pads = append(b.Pads, pads[i]...)
		b.Contacts = append(b.Contacts, contacts[i]...)
	}
	a.padsOfPoints()
	a.matchParts()
	b.Parts = a.parts(a.knownParts())
	a.missingValues()
}

// maskOver gives the mask openings over a layer, nil for inner ones.
func (a *assembly) maskOver(layer int) *geom.Region {
	switch {
	case layer == 0:
		return a.b.Mask[board.Top]
	case layer == len(a.layers)-1:
		return a.b.Mask[board.Bottom]
	}
	return nil
}

// profile finds the outline, and the copies of a panel.
func (a *assembly) profile() error {
	files := a.of(useProfile)
	best, region, doubts := a.bestOutline(files)
	if len(region) == 0 || len(doubts) > 0 && doubts[0].What == openOutline && !best.overridden {
		if s, found := a.outlineByContent(); s != nil {
			best, region, doubts = s, found, nil
			if len(files) == 0 {
				doubts = []board.Doubt{doubtOf(s.path, 0,
					"no file says that it is the profile: its closed line around all lands is taken")}
			}
			s.use, s.role, s.why = useProfile, "profile", "content: a closed line around all lands"
		}
	}
	var others []*source
	if best != nil {
		others = append(others, best)
	}
	for _, s := range files {
		if s != best && !s.part {
			others = append(others, s)
			s.role, s.why = "profile, not used", s.why+"; "+best.path+" fits the copper better or comes first"
			s.use = useOther
		}
	}
	if len(region) == 0 {
		a.doubts(doubts...)
		a.boundsAsOutline()
		return a.panel(others)
	}
	a.b.Outline, a.outlined = region, true
	if err := a.panel(others); err != nil {
		return err
	}
	if len(a.b.Copies) == 0 {
		a.doubts(doubts...)
	}
	if !slices.Contains(files, best) {
		a.warnings(best)
	}
	return nil
}

// list writes down what every file was taken for.
func (a *assembly) list() {
	for _, s := range a.set {
		if s.part {
			continue
		}
		a.b.Files = append(a.b.Files, board.File{Path: s.path, Role: s.role, Why: s.why})
	}
}
