package record

import (
	"strconv"

	"ohmward/unit"
)

// pair is a key with its value: a string, a float64, a list of them, or a bool.
type pair struct {
	key   string
	value any
}

// pairs drops what is empty or was not given.
type pairs []pair

func (p *pairs) text(key, s string) {
	if s != "" {
		*p = append(*p, pair{key, s})
	}
}

func (p *pairs) two(key string, s [2]string) {
	if s[0] != "" {
		*p = append(*p, pair{key, s[:]})
	}
}

func (p *pairs) truth(key string, b *bool) {
	if b != nil {
		*p = append(*p, pair{key, *b})
	}
}

func put[F ~float64](p *pairs, key string, x *F, scale float64) {
	if x != nil {
		*p = append(*p, pair{key, tidy(float64(*x) * scale)})
	}
}

// tidy takes off the rounding that a change of unit left: 35e-6 m times 1e6
// is 35 um, not 34.99999999999999.
func tidy(x float64) float64 {
	t, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 15, 64), 64)
	if err != nil {
		panic("record: number printed by strconv does not parse")
	}
	return t
}

func headPairs(c *Case) (p pairs) {
	p.text("board", c.Board)
	p.two("nets", c.Nets)
	p.text("note", c.Note)
	return p
}

func meterPairs(m Meter) (p pairs) {
	p.text("profile", m.Profile)
	put(&p, "noise_ohms", m.Noise, 1)
	put(&p, "noise_four_wire_ohms", m.NoiseFourWire, 1)
	put(&p, "noise_volts", m.NoiseVolts, 1)
	put(&p, "amps", m.Amps, 1)
	put(&p, "reading_fraction", m.Fraction, 1)
	put(&p, "null_ohms", m.Null, 1)
	p.text("touch", m.Touch)
	put(&p, "placement_mm", m.Placement, 1e3)
	put(&p, "tip_mm", m.Tip, 1e3)
	put(&p, "spec_reading_percent", m.OfReading, 1)
	put(&p, "spec_range_percent", m.OfRange, 1)
	put(&p, "range_ohms", m.Range, 1)
	put(&p, "resolution_ohms", m.Resolution, 1)
	put(&p, "resolution_volts", m.VoltStep, 1)
	put(&p, "emf_volts", m.EMF, 1)
	put(&p, "offset_volts", m.Offset, 1)
	p.truth("differenced", m.Differenced)
	return p
}

func copperPairs(c Copper) (p pairs) {
	put(&p, "scale_fraction", c.Scale, 1)
	put(&p, "layer_fraction", c.Layer, 1)
	put(&p, "plating_fraction", c.Plated, 1)
	if len(c.Thickness) == 1 {
		put(&p, "copper_um", &c.Thickness[0], 1e6)
	} else if len(c.Thickness) > 1 {
		list := make([]float64, len(c.Thickness))
		for i, t := range c.Thickness {
			list[i] = tidy(float64(t) * 1e6)
		}
		p = append(p, pair{"copper_um", list})
	}
	put(&p, "plating_um", c.Plating, 1e6)
	put(&p, "board_mm", c.Board, 1e3)
	put(&p, "etch_um", c.Etch, 1e6)
	p.text("filled", c.Filled)
	put(&p, "close_um", c.Close, 1e6)
	put(&p, "temp_c", c.Temp, 1)
	p.text("ties", c.Ties)
	return p
}

func readingPairs(r Reading) (p pairs) {
	p.text("from", r.From)
	p.text("to", r.To)
	p.two("current", r.Current)
	p.two("sense", r.Sense)
	switch {
	case len(r.Touches) > 0:
		p = append(p, pair{"touches", touchList(r.Touches)})
	case r.Volts != nil && r.Amps != nil:
		put(&p, "volts", r.Volts, 1)
		put(&p, "amps", r.Amps, 1)
	case r.Ohms.IsOpen():
		p.text("ohms", "OL")
	default:
		put(&p, "ohms", &r.Ohms, 1)
	}
	put(&p, "u_ohms", r.U, 1)
	p.text("unit", r.Unit)
	p.truth("differenced", r.Differenced)
	p.truth("doubtful", r.Doubtful)
	p.text("note", r.Note)
	return p
}

func findingPairs(f Finding) (p pairs) {
	after := unit.Resistance(f.After) // a plain count, written as a number
	put(&p, "after_reading", &after, 1)
	p.text("part", f.Part)
	p.text("place", f.Place)
	p.text("done", f.Done)
	p.text("short", f.Short)
	p.text("seen", f.Seen)
	p.text("what", f.What)
	p.text("side", f.Side)
	if f.Reading > 0 {
		watched := unit.Resistance(f.Reading)
		put(&p, "reading", &watched, 1)
	}
	put(&p, "change_ohms", f.Change, 1)
	put(&p, "kelvin", f.Kelvin, 1)
	p.list("heated", f.Heated)
	p.text("note", f.Note)
	return p
}

func metalPairs(m Metal) (p pairs) {
	p.text("part", m.Part)
	p.text("net", m.Net)
	return p
}

// section is a table of the file, or one of a list of them.
type section struct {
	name  string
	list  bool
	pairs pairs
}

func sections(c *Case) (all []section) {
	add := func(name string, list bool, p pairs) {
		if len(p) > 0 {
			all = append(all, section{name, list, p})
		}
	}
	add("meter", false, meterPairs(c.Meter))
	add("copper", false, copperPairs(c.Copper))
	for _, m := range c.Metal {
		add("metal", true, metalPairs(m))
	}
	for _, t := range c.Ties {
		add("tie", true, tiePairs(t))
	}
	for _, r := range c.Readings {
		add("reading", true, readingPairs(r))
	}
	for _, f := range c.Findings {
		add("finding", true, findingPairs(f))
	}
	for _, n := range c.Nulls {
		add("null", true, nullPairs(n))
	}
	for _, t := range c.Touches {
		add("touch", true, wireTouchPairs(t))
	}
	if c.Steps != nil {
		add("bench", false, stepPairs(c.Steps))
	}
	return all
}
