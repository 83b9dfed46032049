package ipc2581

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// layerInfo is a Layer element.
type layerInfo struct {
	name, function, side string
	negative             bool
	from, to             string // of its span
	line                 int
}

func (l *layerInfo) copper() bool {
	switch l.function {
	case "CONDUCTOR", "SIGNAL", "PLANE", "MIXED", "CONDFOIL", "CONDFILM", "POWER_GROUND":
		return true
	}
	return false
}

func (l *layerInfo) mask() bool { return l.function == "SOLDERMASK" }

func (l *layerInfo) paste() bool {
	return l.function == "SOLDERPASTE" || l.function == "PASTEMASK"
}

func (r *reader) layer(e *element) {
	l := &layerInfo{
		name: e.attr("name"), function: strings.ToUpper(e.attr("layerFunction")),
		side: strings.ToUpper(e.attr("side")), negative: strings.EqualFold(e.attr("polarity"), "NEGATIVE"),
		line: e.line,
	}
	if l.name == "" {
		panic(r.Malformed("a Layer has no name"))
	}
	switch {
	case r.layers[l.name] != nil:
		r.Warn("layer %q is declared twice; the first counts", shorten(l.name))
	default:
		r.layers[l.name] = l
		r.order = append(r.order, l.name)
	}
	switch l.function {
	case "COVERLAY", "COVERCOAT", "STIFFENER", "FLEX", "BENDAREA":
		r.flex("layer " + strconv.Quote(shorten(l.name)) + " is a " + strings.ToLower(l.function))
	}
	r.full(len(r.order), "layers")
	l.from, l.to = r.span()
}

// flexible tells of elements that describe flexible zones.
func (r *reader) flexible(e *element) {
	if strings.Contains(e.name, "Zone") || strings.Contains(e.name, "Bend") ||
		strings.HasPrefix(e.name, "Flex") {
		r.flex("<" + shorten(e.name) + ">")
	}
}

func (r *reader) flex(why string) {
	r.WarnOnce("rigid-flex: %s; zones are ignored, one stack-up is taken for the whole board", why)
}

// stack is one Stackup element.
type stack struct {
	thickness int64
	measured  string
	groups    []*group
}

// group is a run of stack-up rows.
type group struct {
	name string
	rows []row
}

type row struct {
	ref, spec string
	thickness int64
	sequence  int
	numbered  bool
}

func (r *reader) stackup(e *element) {
	s := &stack{measured: e.attr("whereMeasured"), thickness: r.whole(e, "overallThickness")}
	r.full(len(r.stacks), "stack-ups")
	r.stacks = append(r.stacks, s)
	loose := &group{}
	r.each(func(e *element) {
		switch e.name {
		case "StackupGroup":
			g := &group{name: e.attr("name")}
			r.full(len(s.groups), "stack-up groups")
			s.groups = append(s.groups, g)
			r.each(func(e *element) { r.row(e, g) })
		case "StackupLayer":
			r.row(e, loose)
		default:
			r.flexible(e)
		}
	})
	if len(loose.rows) > 0 {
		s.groups = append(s.groups, loose)
	}
}

func (r *reader) row(e *element, g *group) {
	if e.name != "StackupLayer" {
		r.flexible(e)
		return
	}
	w := row{ref: e.attr("layerOrGroupRef"), thickness: r.whole(e, "thickness")}
	if w.thickness < 0 {
		panic(r.Malformed("stack-up layer %q has a negative thickness", shorten(w.ref)))
	}
	v, given := r.number(e, "sequence")
	if w.numbered = given; given {
		if v != math.Trunc(v) || math.Abs(v) > 1e6 {
			panic(r.Malformed("sequence of stack-up layer %q is not a whole number", shorten(w.ref)))
		}
		w.sequence = int(v)
	}
	r.full(len(g.rows), "stack-up layers")
	r.named("SpecRef", func(e *element) { w.spec = e.attr("id") })
	g.rows = append(g.rows, w)
}

// rows gives the stack-up's rows from the top, groups that rows refer to put
// in their places.
func (s *stack) rows() []row {
	byName := map[string]*group{}
	used := map[string]bool{}
	for _, g := range s.groups {
		slices.SortStableFunc(g.rows, func(a, b row) int {
			if !a.numbered || !b.numbered {
				return 0
			}
			return a.sequence - b.sequence
		})
		if g.name != "" {
			byName[g.name] = g
		}
	}
	for _, g := range s.groups {
		for _, w := range g.rows {
			if byName[w.ref] != nil && byName[w.ref] != g {
				used[w.ref] = true
			}
		}
	}
	var out []row
	var expand func(g *group, depth int)
	expand = func(g *group, depth int) {
		for _, w := range g.rows {
			if in := byName[w.ref]; in != nil && in != g && depth < 8 {
				if used[w.ref] {
					used[w.ref] = false // once, whatever the file says
					expand(in, depth+1)
				}
			} else {
				out = append(out, w)
			}
		}
	}
	top := map[*group]bool{}
	for _, g := range s.groups {
		top[g] = !used[g.name] || g.name == ""
	}
	flat := len(used) == 0
	for _, g := range s.groups {
		if top[g] {
			expand(g, 0)
		}
	}
	if flat && distinct(out) {
		slices.SortStableFunc(out, func(a, b row) int { return a.sequence - b.sequence })
	}
	return out
}

// distinct tells whether all rows have numbers and no two the same, so that
// the numbers order rows of several groups together.
func distinct(rows []row) bool {
	seen := map[int]bool{}
	for _, w := range rows {
		if !w.numbered || seen[w.sequence] {
			return false
		}
		seen[w.sequence] = true
	}
	return true
}

// spec keeps the first text of a material specification.
func (r *reader) spec(e *element) {
	name := e.attr("name")
	r.full(len(r.specs), "specifications")
	r.each(func(e *element) {
		material := e.name == "General" && e.attr("type") == "MATERIAL"
		r.each(func(e *element) {
			if text := e.attr("text"); material && text != "" && r.specs[name] == "" {
				r.specs[name] = text
			}
		})
	})
}
