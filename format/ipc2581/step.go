package ipc2581

import (
	"slices"
	"strconv"
	"strings"

	"ohmward/geom"
)

// stepData is one Step: a board, or a panel of boards.
type stepData struct {
	name, kind string
	line       int
	profile    []geom.Ring
	sheets     map[string][]Object // painted, by layer
	fed        map[string]bool     // layers that have a LayerFeature
	padstacks  map[string]*padstack
	holes      []drilled
	padHoles   []drilled // of pads' own pad stacks
	oldPads    []oldPad
	oldHoles   []drilled
	packages   map[string]*pkg
	parts      []*part
	netPins    map[string][]string
	netClass   map[string]string
	points     []NetPoint
	shorts     []Short
	repeats    []Repeat
	images     int // objects on copper
	pins       int
}

// readStep reads one step and keeps it if it is a better board than the one
// kept before: first those that carry copper and place no copies.
func (r *reader) readStep(e *element) error {
	if r.scale == 0 {
		return r.Malformed("a Step before CadHeader has given the units")
	}
	r.step = &stepData{
		name: e.attr("name"), kind: strings.ToUpper(e.attr("type")), line: e.line,
		sheets: map[string][]Object{}, fed: map[string]bool{}, padstacks: map[string]*padstack{},
		packages: map[string]*pkg{}, netPins: map[string][]string{}, netClass: map[string]string{},
	}
	if err := r.each(r.inStep); err != nil {
		return err
	}
	r.settle()
	return nil
}

// settle keeps the step just read if it is the better board.
func (r *reader) settle() {
	s := r.step
	r.step = nil
	r.panel(s)
	if s.images > 0 && len(s.repeats) == 0 {
		r.boards++
	}
	if r.best == nil || r.rank(s) > r.rank(r.best) {
		r.best = s
	}
}

// panel notes the copies that a step places, and tells of them by the step
// that is copied.
func (r *reader) panel(s *stepData) {
	copies := map[string]int{}
	var of []string
	for _, p := range s.repeats {
		if len(r.out.Repeats) < maxRepeats {
			r.out.Repeats = append(r.out.Repeats, p)
		}
		if copies[p.Of] == 0 {
			of = append(of, p.Of)
		}
		copies[p.Of]++
	}
	for _, name := range of {
		k := slices.IndexFunc(s.repeats, func(p Repeat) bool { return p.Of == name })
		switch p := s.repeats[k]; {
		case name == s.name:
			r.WarnAt(p.Line, "step %q repeats itself; ignored", shorten(s.name))
		case copies[name] == 1:
			r.WarnAt(p.Line, "step %q is a panel: %d by %d copies of step %q; one board is read", shorten(s.name),
				p.NX, p.NY, shorten(name))
		default:
			r.WarnAt(p.Line, "step %q is a panel: copies of step %q in %d lots; one board is read", shorten(s.name),
				shorten(name), copies[name])
		}
	}
}

// rank tells how likely a step is the board that is meant.
func (r *reader) rank(s *stepData) int {
	n := 0
	if s.images > 0 {
		n += 8
	}
	if len(s.repeats) == 0 {
		n += 4
	}
	if s.kind == "" || s.kind == "BOARD" {
		n += 2
	}
	if slices.Contains(r.wanted, s.name) {
		n++
	}
	return n
}

func (r *reader) inStep(e *element) error {
	switch e.name {
	case "PadStackDef":
		return r.padStackDef(e)
	case "PadStack":
		return r.oldPadStack(e)
	case "Profile":
		return r.profile()
	case "StepRepeat":
		return r.repeat(e)
	case "Package":
		return r.pack(e)
	case "Component":
		return r.component(e)
	case "LogicalNet":
		return r.logicalNet(e)
	case "PhyNetGroup":
		return r.each(r.phyNet)
	case "LayerFeature":
		return r.layerFeature(e)
	}
	r.flexible(e)
	return nil
}

func (r *reader) profile() error {
	s := &shape{place: unmoved}
	if err := r.contour(s); err != nil {
		return err
	}
	for _, ring := range s.area {
		placed, ok := s.place.ring(ring)
		if !ok {
			return r.Unsupported("the profile reaches more than a metre from the origin")
		}
		r.step.profile = append(r.step.profile, placed)
	}
	if len(s.area) == 0 {
		r.Warn("the profile encloses nothing")
	}
	return nil
}

func (r *reader) repeat(e *element) error {
	p := Repeat{Panel: r.step.name, Of: e.attr("stepRef"), Line: e.line}
	var err error
	if p.NX, err = r.count(e, "nx"); err != nil {
		return err
	}
	if p.NY, err = r.count(e, "ny"); err != nil {
		return err
	}
	if len(r.step.repeats) < maxRepeats {
		r.step.repeats = append(r.step.repeats, p)
	}
	return nil
}

// count reads a number of copies; a missing one is 1.
func (r *reader) count(e *element, name string) (int, error) {
	text := e.attr(name)
	if text == "" {
		return 1, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return 0, r.Malformed("%s of <%s> is not a count: %q", name, e.name, shorten(text))
	}
	return n, nil
}

// netName gives a net's name; those that exporters write for no net are
// empty (common practice, no source).
func netName(name string) string {
	switch strings.ToLower(name) {
	case "no net", "no_net", "nonet", "no-net", "<no net>", "$none$", "<none>":
		return ""
	}
	return name
}

// pinName reads a PinRef; the part may stand in what is around it.
func pinName(e *element, around string) (ref, pin string) {
	if ref = e.attr("componentRef"); ref == "" {
		ref = around
	}
	return ref, e.attr("pin")
}

func (r *reader) logicalNet(e *element) error {
	name := netName(e.attr("name"))
	if err := r.full(len(r.step.netClass), "nets"); err != nil {
		return err
	}
	r.step.netClass[name] = e.attr("netClass")
	pins := r.step.netPins[name]
	err := r.each(func(e *element) error {
		if e.name != "PinRef" {
			return nil
		}
		if ref, pin := pinName(e, ""); ref != "" && pin != "" && name != "" {
			pins = append(pins, ref+"."+pin)
		}
		r.step.pins++
		return r.full(r.step.pins, "pins")
	})
	r.step.netPins[name] = pins // also where the net has none
	return err
}

// phyNet reads what stands in a PhyNetGroup.
func (r *reader) phyNet(e *element) error {
	if e.name != "PhyNet" {
		return nil
	}
	net := netName(e.attr("name"))
	return r.each(func(e *element) error {
		if e.name != "PhyNetPoint" {
			return nil
		}
		at, err := r.point(e, "x", "y")
		if err != nil {
			return err
		}
		p := NetPoint{Net: net, Layer: e.attr("layerRef"), At: at, Line: e.line}
		err = r.each(func(e *element) error {
			if e.name == "PinRef" {
				if ref, pin := pinName(e, ""); ref != "" && pin != "" {
					p.Pin, p.ref = ref+"."+pin, len(ref)
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		r.step.points = append(r.step.points, p)
		return r.full(len(r.step.points), "net points")
	})
}
