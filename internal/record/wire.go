package record

import (
	"math"
	"time"

	"ohmward/unit"
)

// MostSamples bounds the samples that are kept of one touch: its last ones.
const MostSamples = 200

// Touch is one touch of the tips as an instrument on a wire sent it, raw.
type Touch struct {
	Of       string           // one of TouchesOf: what the value was taken for
	Number   int              // which of the readings, or of the nulls, from 1; 0: not told
	Ohms     unit.Resistance  // the steady value as the instrument gave it, leads included
	Spread   *unit.Resistance // robust standard deviation of one sample
	FourWire bool
	Meter    string            // what it is: maker, model, serial number and firmware
	Range    *unit.Resistance  // that the instrument had; nil: not known
	NPLC     *float64          // integration in periods of the mains; nil: not known
	Null     *unit.Resistance  // what the program takes off for the leads; nil: nothing
	At       time.Time         // of the first sample kept, UTC, to the second
	Samples  []unit.Resistance // the last ones until the value was taken; an overload is unit.Open
	After    []float64         // when each came, in seconds after the first one kept
}

// TouchesOf are what a touch may be taken for.
var TouchesOf = []string{"swap", "null", "check", "reading", "leads", "across"}

func (d *decoder) wireTouch(c *Case, n *node) {
	var t Touch
	var ohms *unit.Resistance
	var count *float64
	var four *bool
	d.table("[[touch]]", n, map[string]setter{
		"of":          d.oneOf(&t.Of, TouchesOf...),
		"number":      number(d, &count, 1, maxReadings, 1),
		"ohms":        d.ohms(&ohms),
		"spread_ohms": number(d, &t.Spread, 0, mostOhms, 1),
		"four_wire":   d.truth(&four),
		"meter":       d.text(&t.Meter),
		"range_ohms":  number(d, &t.Range, 0, mostOhms, 1),
		"nplc":        number(d, &t.NPLC, 0, 1e4, 1),
		"null_ohms":   number(d, &t.Null, -1e3, 1e3, 1),
		"at":          d.moment(&t.At),
		"sample_ohms": d.samples(&t.Samples),
		"sample_s":    d.seconds(&t.After),
	})
	switch {
	case t.Of == "" || ohms == nil:
		d.fail(n.line, "[[touch]] needs of and ohms: what was read, and its value")
	case len(t.After) != len(t.Samples):
		d.fail(n.line, "sample_ohms has %d values, sample_s %d", len(t.Samples), len(t.After))
	case count != nil && *count != math.Trunc(*count):
		d.fail(n.line, "number = %g is no whole number", *count)
	default:
		t.Ohms, t.FourWire = *ohms, four != nil && *four
		if count != nil {
			t.Number = int(*count)
		}
	}
	c.Touches = append(c.Touches, t)
}

// items gives the items of a list of samples.
func (d *decoder) items(key string, n *node) []*node {
	list, isList := n.value.([]*node)
	switch {
	case !isList:
		d.fail(n.line, "%s is not a list of numbers", key)
	case len(list) > MostSamples:
		d.fail(n.line, "%s has %d values; at most %d", key, len(list), MostSamples)
		return nil
	}
	return list
}

func (d *decoder) samples(into *[]unit.Resistance) setter {
	return func(key string, n *node) {
		for _, e := range d.items(key, n) {
			var r *unit.Resistance
			if d.ohms(&r)(key, e); r != nil {
				*into = append(*into, *r)
			}
		}
	}
}

func (d *decoder) seconds(into *[]float64) setter {
	return func(key string, n *node) {
		for _, e := range d.items(key, n) {
			if x, ok := d.float(key, e, 0, 1e6); ok {
				*into = append(*into, x)
			}
		}
	}
}

func wireTouchPairs(t Touch) (p pairs) {
	p.text("of", t.Of)
	if t.Number > 0 {
		number := unit.Resistance(t.Number) // a plain count, written as a number
		put(&p, "number", &number, 1)
	}
	p.ohms("ohms", &t.Ohms)
	put(&p, "spread_ohms", t.Spread, 1)
	p.yes("four_wire", t.FourWire)
	p.text("meter", t.Meter)
	put(&p, "range_ohms", t.Range, 1)
	put(&p, "nplc", t.NPLC, 1)
	put(&p, "null_ohms", t.Null, 1)
	p.moment("at", t.At)
	if len(t.Samples) > 0 {
		after := make([]float64, len(t.After))
		for i, s := range t.After {
			after[i] = math.Round(s*1e3) / 1e3
		}
		p = append(p, pair{"sample_ohms", overloadList(t.Samples)}, pair{"sample_s", after})
	}
	return p
}

// overloadList writes samples, overloads as instruments send them.
func overloadList(samples []unit.Resistance) []float64 {
	const overload = 9.9e37
	out := make([]float64, len(samples))
	for i, v := range samples {
		if out[i] = overload; !v.IsOpen() {
			out[i] = tidy(float64(v))
		}
	}
	return out
}
