package ipc2581

import (
	"cmp"
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
func (r *reader) readStep(e *element) {
	if r.scale == 0 {
		panic(r.Malformed("a Step before CadHeader has given the units"))
	}
	r.step = &stepData{
		name: e.attr("name"), kind: strings.ToUpper(e.attr("type")), line: e.line,
		sheets: map[string][]Object{}, fed: map[string]bool{}, padstacks: map[string]*padstack{},
		packages: map[string]*pkg{}, netPins: map[string][]string{}, netClass: map[string]string{},
	}
	r.each(r.inStep)
	r.settle()
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

func (r *reader) inStep(e *element) {
	switch e.name {
	case "PadStackDef":
		r.padStackDef(e)
	case "PadStack":
		r.oldPadStack(e)
	case "Profile":
		r.profile()
	case "StepRepeat":
		r.repeat(e)
	case "Package":
		r.pack(e)
	case "Component":
		r.component(e)
	case "LogicalNet":
		r.logicalNet(e)
	case "PhyNetGroup":
		r.named("PhyNet", r.phyNet)
	case "LayerFeature":
		r.layerFeature(e)
	default:
		r.flexible(e)
	}
}

func (r *reader) profile() {
	s := &shape{place: unmoved}
	r.contour(s)
	for _, ring := range s.area {
		placed, ok := s.place.ring(ring)
		if !ok {
			panic(r.Unsupported("the profile reaches more than a metre from the origin"))
		}
		r.step.profile = append(r.step.profile, placed)
	}
	if len(s.area) == 0 {
		r.Warn("the profile encloses nothing")
	}
}

func (r *reader) repeat(e *element) {
	p := Repeat{r.step.name, e.attr("stepRef"), r.count(e, "nx"), r.count(e, "ny"), e.line}
	if len(r.step.repeats) < maxRepeats {
		r.step.repeats = append(r.step.repeats, p)
	}
}

// count reads a number of copies; a missing one is 1.
func (r *reader) count(e *element, name string) int {
	text := e.attr(name)
	if text == "" {
		return 1
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		panic(r.Malformed("%s of <%s> is not a count: %q", name, e.name, shorten(text)))
	}
	return n
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
	return cmp.Or(e.attr("componentRef"), around), e.attr("pin")
}

func (r *reader) logicalNet(e *element) {
	name := netName(e.attr("name"))
	r.full(len(r.step.netClass), "nets")
	r.step.netClass[name] = e.attr("netClass")
	pins := r.step.netPins
	if _, had := pins[name]; !had {
		pins[name] = nil // known also where the net has no pins
	}
	r.named("PinRef", func(e *element) {
		if ref, pin := pinName(e, ""); ref != "" && pin != "" && name != "" {
			pins[name] = append(pins[name], ref+"."+pin)
		}
		r.step.pins++
		r.full(r.step.pins, "pins")
	})
}

// phyNet reads the points of one net.
func (r *reader) phyNet(e *element) {
	net := netName(e.attr("name"))
	r.named("PhyNetPoint", func(e *element) {
		p := NetPoint{Net: net, Layer: e.attr("layerRef"), At: r.point(e, "x", "y"), Line: e.line}
		r.named("PinRef", func(e *element) {
			if ref, pin := pinName(e, ""); ref != "" && pin != "" {
				p.Pin, p.ref = ref+"."+pin, len(ref)
			}
		})
		r.step.points = append(r.step.points, p)
		r.full(len(r.step.points), "net points")
	})
}
