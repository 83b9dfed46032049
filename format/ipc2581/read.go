package ipc2581

import (
	"cmp"
	"io"
	"strings"

	"ohmward/format/fault"
)

// reader is the state while a file is read.
type reader struct {
	fault.Log
	in     *stream
	out    *Design
	limits limits

	scale float64 // nanometres per unit; 0: not said

	standards, users map[string]*shape
	lines            map[string]lineStyle
	fills            map[string]string
	layers           map[string]*layerInfo
	order            []string // layers as declared
	specs            map[string]string
	stacks           []*stack
	wanted           []string // steps that Content names
	best             *stepData
	step             *stepData
	bom              bill

	objects, corners, visits int
	stored                   int  // corners and primitives read
	thin                     int  // outlines without width
	boards                   int  // steps with copper that place no copies
	short                    bool // the file ends before its root does
}

type lineStyle struct {
	width int64
	ends  string
}

// Read reads one board. The name stands in errors and warnings only. It
// returns a *fault.Error, or what the stream failed with. A file cut off before
// its end gives what was read, told by Design.CutOff, if copper was; else it is
// malformed.
func Read(in io.Reader, name string) (*Design, error) { return read(in, name, usual) }

func read(in io.Reader, name string, l limits) (*Design, error) {
	r := &reader{
		Log:       fault.NewLog("ipc2581", name),
		in:        newStream(in, l),
		out:       &Design{NetPins: map[string][]string{}, NetClass: map[string]string{}},
		limits:    l,
		standards: map[string]*shape{},
		users:     map[string]*shape{},
		lines:     map[string]lineStyle{},
		fills:     map[string]string{},
		layers:    map[string]*layerInfo{},
		specs:     map[string]string{},
		bom:       newBill(),
	}
	err := r.document()
	if e, ok := err.(*fault.Error); ok {
		e.Element = strings.Join(r.in.open, "/")
	}
	if err != nil && !r.usable() {
		return nil, err
	}
	if r.in.text.replaced {
		r.Warn("the file is not in the encoding that it claims: letters beyond ASCII are read as windows-1252")
	}
	if broken := r.finish(); broken != nil {
		return nil, cmp.Or(err, broken)
	}
	r.out.Warnings = r.Warnings
	return r.out, nil
}

// usable settles what was read of a file that is cut off, and tells whether
// copper is among it.
func (r *reader) usable() bool {
	if !r.short {
		return false
	}
	if r.step != nil {
		r.settle()
	}
	if r.best == nil || r.best.images == 0 {
		return false
	}
	r.out.CutOff = r.Line
	return true
}

// document reads the root and what follows it.
func (r *reader) document() (err error) {
	defer fault.Catch(&err)
	root := r.next()
	if root == nil {
		panic(r.Malformed("empty: no IPC-2581 element"))
	}
	if root.name != "IPC-2581" {
		panic(r.Malformed("the root element is <%s>, not <IPC-2581>", shorten(root.name)))
	}
	r.out.Revision = root.attr("revision")
	switch r.out.Revision {
	case "A", "B", "C":
	default:
		r.Warn("revision %q is not known; read as C", shorten(r.out.Revision))
	}
	r.each(r.section)
	if r.next() != nil {
		r.Lose("something follows the end of the file's root; ignored")
	}
	return nil
}

func (r *reader) section(e *element) {
	switch e.name {
	case "Content":
		r.content()
	case "Bom":
		r.named("BomItem", r.bomItem)
	case "Ecad":
		if r.out.Name == "" {
			r.out.Name = e.attr("name")
		}
		r.each(r.ecad)
	}
}

func (r *reader) ecad(e *element) {
	switch e.name {
	case "CadHeader":
		if r.scale = perUnit(e.attr("units")); r.scale == 0 {
			panic(r.Malformed("CadHeader has units %q, not MILLIMETER, MICRON or INCH", shorten(e.attr("units"))))
		}
		r.named("Spec", r.spec)
	case "CadData":
		r.each(func(e *element) {
			switch e.name {
			case "Layer":
				r.layer(e)
			case "Stackup":
				r.stackup(e)
			case "Step":
				r.readStep(e)
			default:
				r.flexible(e)
			}
		})
	}
}

// full tells that a table may not grow.
func (r *reader) full(n int, what string) {
	if n >= maxEntries {
		panic(r.Unsupported("too large: more than %d %s", maxEntries, what))
	}
}
