package record

import (
	"math"
	"slices"

	"ohmward/unit"
)

// Most that a case may hold; far beyond any bench.
const (
	maxReadings = 10000
	maxOthers   = 1000
	// MostHeated is how many parts and pins one finding may have heated.
	MostHeated = 1000
)

// Read reads a case file, TOML or JSON by its ending. An Error says what is
// wrong, with the line.
func Read(path string) (*Case, error) {
	data, err := readSmall(path)
	if err != nil {
		return nil, err
	}
	return Decode(path, data)
}

// Decode reads the text of a case file; path gives its form by the ending,
// and the folder that its board is relative to.
func Decode(path string, data []byte) (*Case, error) {
	root, err := parse(path, data)
	if err != nil {
		return nil, err
	}
	d := &decoder{file: path}
	c := &Case{File: path}
	d.root(c, root)
	if d.err != nil {
		return nil, d.err
	}
	return c, nil
}

func (d *decoder) root(c *Case, root *node) {
	after := map[int]*int{}
	d.table("the case", root, map[string]setter{
		"board":   d.text(&c.Board),
		"nets":    d.two(&c.Nets, "nets"),
		"note":    d.text(&c.Note),
		"meter":   func(_ string, n *node) { d.meter(&c.Meter, n) },
		"copper":  func(_ string, n *node) { d.copper(&c.Copper, n) },
		"metal":   d.each(maxOthers, func(n *node) { d.metal(c, n) }),
		"tie":     d.each(maxOthers, func(n *node) { d.tie(c, n) }),
		"reading": d.each(maxReadings, func(n *node) { d.reading(c, n) }),
		"finding": d.each(maxOthers, func(n *node) { after[len(c.Findings)] = d.finding(c, n) }),
		"null":    d.each(maxOthers, func(n *node) { d.null(c, n) }),
		"touch":   d.each(maxReadings, func(n *node) { d.wireTouch(c, n) }),
		"bench":   func(_ string, n *node) { d.steps(c, n) },
	})
	if c.Board == "" {
		d.fail(0,
			"board is missing: name the folder or .zip of the fabrication files, as board = \"../boards/logger\"")
	}
	if c.Steps == nil && (c.Nets[0] == "" || c.Nets[1] == "") {
		d.fail(0, "nets is missing: name the two that touch, as nets = [\"+3V3\", \"GND\"]")
	}
	d.order(c, after)
}

// order settles how many readings came before each finding.
func (d *decoder) order(c *Case, after map[int]*int) {
	for i := range c.Findings {
		f := &c.Findings[i]
		f.After = len(c.Readings)
		if n := after[i]; n != nil {
			if f.After = *n; f.After > len(c.Readings) {
				d.fail(f.Line, "after_reading = %d, but there are only %d readings", f.After, len(c.Readings))
			}
		}
	}
}

func (d *decoder) meter(m *Meter, n *node) {
	d.table("[meter]", n, map[string]setter{
		"profile":              d.text(&m.Profile),
		"noise_ohms":           number(d, &m.Noise, 0, 1e3, 1),
		"noise_four_wire_ohms": number(d, &m.NoiseFourWire, 0, 1e3, 1),
		"noise_volts":          number(d, &m.NoiseVolts, 0, 10, 1),
		"amps":                 number(d, &m.Amps, 1e-9, 100, 1),
		"reading_fraction":     number(d, &m.Fraction, 0, 1, 1),
		"null_ohms":            number(d, &m.Null, 0, 1e3, 1),
		"touch":                d.oneOf(&m.Touch, "steady", "hand"),
		"placement_mm":         number(d, &m.Placement, 0, 10, 1e-3),
		"tip_mm":               number(d, &m.Tip, 0.01, 10, 1e-3),
		"spec_reading_percent": number(d, &m.OfReading, 0, 100, 1),
		"spec_range_percent":   number(d, &m.OfRange, 0, 100, 1),
		"range_ohms":           number(d, &m.Range, 1e-6, 1e12, 1),
		"resolution_ohms":      number(d, &m.Resolution, 0, 1e3, 1),
		"resolution_volts":     number(d, &m.VoltStep, 0, 10, 1),
		"emf_volts":            number(d, &m.EMF, 0, 1, 1),
		"offset_volts":         number(d, &m.Offset, 0, 1, 1),
		"differenced":          d.truth(&m.Differenced),
	})
}

func (d *decoder) copper(c *Copper, n *node) {
	d.table("[copper]", n, map[string]setter{
		"scale_fraction":   number(d, &c.Scale, 0, 1, 1),
		"layer_fraction":   number(d, &c.Layer, 0, 1, 1),
		"plating_fraction": number(d, &c.Plated, 0, 1, 1),
		"copper_um":        d.lengths(&c.Thickness, 1, 1000, 1e-6),
		"plating_um":       number(d, &c.Plating, 1, 1000, 1e-6),
		"board_mm":         number(d, &c.Board, 0.02, 20, 1e-3),
		"etch_um":          number(d, &c.Etch, 0, 100, 1e-6),
		"filled":           d.oneOf(&c.Filled, "none", "pins", "all"),
		"close_um":         number(d, &c.Close, 0, 1000, 1e-6),
		"temp_c":           number(d, &c.Temp, -60, 200, 1),
		"ties":             d.oneOf(&c.Ties, "auto", "none"),
	})
}

func (d *decoder) metal(c *Case, n *node) {
	m := Metal{Line: n.line}
	d.table("[[metal]]", n, map[string]setter{"part": d.text(&m.Part), "net": d.text(&m.Net)})
	if m.Part == "" || m.Net == "" {
		d.fail(n.line, "[[metal]] needs a part and the net it is tied to")
	}
	c.Metal = append(c.Metal, m)
}

func (d *decoder) reading(c *Case, n *node) {
	r := Reading{Line: n.line}
	var ohms *unit.Resistance
	d.table("[[reading]]", n, map[string]setter{
		"from":    d.text(&r.From),
		"to":      d.text(&r.To),
		"current": d.two(&r.Current, "places, I+ and I-"),
		"sense":   d.two(&r.Sense, "places, V+ and V-"),
		"ohms":    d.ohms(&ohms),
		"volts":   number(d, &r.Volts, -1e3, 1e3, 1),
		"amps":    number(d, &r.Amps, -100, 100, 1),
		"u_ohms":  number(d, &r.U, 0, 1e9, 1),
		"unit":    d.oneOf(&r.Unit, "good"),
		"note":    d.text(&r.Note),

		"touches":     d.touches(&r.Touches),
		"differenced": d.truth(&r.Differenced),
		"doubtful":    d.truth(&r.Doubtful),
	})
	d.places(&r)
	d.value(&r, ohms)
	c.Readings = append(c.Readings, r)
}

// places checks that a reading has either two ends or four contacts.
func (d *decoder) places(r *Reading) {
	two := r.From != "" || r.To != ""
	r.FourWire = r.Current[0] != "" || r.Sense[0] != ""
	switch {
	case two && r.FourWire:
		d.fail(r.Line, "a reading has from and to (two-wire), or current and sense (four-wire), not both")
	case two && (r.From == "" || r.To == ""):
		d.fail(r.Line, "a two-wire reading needs both from and to")
	case two && r.From == r.To:
		d.fail(r.Line, "a reading from %q to itself tells nothing", r.From)
	case r.FourWire && (r.Current[0] == "" || r.Sense[0] == ""):
		d.fail(r.Line, "a four-wire reading needs both current and sense")
	case !two && !r.FourWire:
		d.fail(r.Line, "a reading needs its places: from and to, or current and sense")
	}
}

// value settles the ohms of a reading.
func (d *decoder) value(r *Reading, ohms *unit.Resistance) {
	switch {
	case len(r.Touches) > 0 && (ohms != nil || r.Volts != nil || r.Amps != nil):
		d.fail(r.Line, "a reading has one value, or touches with several, not both")
	case len(r.Touches) > 0:
		r.Settle()
	case ohms != nil && (r.Volts != nil || r.Amps != nil):
		d.fail(r.Line, "a reading has ohms, or volts with amps, not both")
	case ohms != nil:
		r.Ohms = *ohms
	case r.Volts == nil && r.Amps == nil:
		d.fail(r.Line, "a reading needs its value: ohms, or volts with amps")
	case r.Volts == nil || r.Amps == nil:
		d.fail(r.Line, "volts and amps go together")
	case math.Abs(float64(*r.Amps)) < 1e-9:
		d.fail(r.Line, "amps = %g is no test current", float64(*r.Amps))
	default:
		r.Ohms = unit.Ohm(*r.Volts, *r.Amps)
	}
}

func (d *decoder) finding(c *Case, n *node) (after *int) {
	f := Finding{Line: n.line}
	var count, watched *float64
	d.table("[[finding]]", n, map[string]setter{
		"after_reading": number(d, &count, 0, maxReadings, 1),
		"part":          d.text(&f.Part),
		"place":         d.text(&f.Place),
		"done":          d.oneOf(&f.Done, Actions...),
		"short":         d.oneOf(&f.Short, Outcomes...),
		"note":          d.text(&f.Note),
		"seen":          d.oneOf(&f.Seen, Observations...),
		"what":          d.oneOf(&f.What, Substances...),
		"side":          d.text(&f.Side),
		"reading":       number(d, &watched, 1, maxReadings, 1),
		"change_ohms":   number(d, &f.Change, -1e3, 1e3, 1),
		"kelvin":        number(d, &f.Kelvin, -200, 400, 1),
		"heated":        d.texts(&f.Heated),
	})
	if watched != nil {
		f.Reading = int(*watched)
	}
	switch {
	case watched != nil && *watched != math.Trunc(*watched):
		d.fail(n.line, "reading = %g is no whole number", *watched)
	case f.Seen != "" && f.Done != "looked":
		d.fail(n.line, "seen goes with done = \"looked\"")
	case f.What != "" && f.Seen != "bridge":
		d.fail(n.line, "what goes with seen = \"bridge\"")
	case f.Change != nil && f.Done != "warmed" && f.Done != "chilled":
		d.fail(n.line, "change_ohms goes with done = \"warmed\" or \"chilled\"")
	case f.Done == "":
		d.fail(n.line, "[[finding]] needs done: what was done or seen")
	case f.Part == "" && f.Place == "" && !slices.Contains(wholeBoard, f.Done):
		d.fail(n.line, "[[finding]] %s needs a part or a place", f.Done)
	case count != nil && *count != math.Trunc(*count):
		d.fail(n.line, "after_reading = %g is no whole number", *count)
	case count != nil:
		whole := int(*count)
		after = &whole
	}
	c.Findings = append(c.Findings, f)
	return after
}
