package record

import "ohmward/unit"

// Tie is what the user says of a part that joins two nets for direct current,
// or does not.
type Tie struct {
	Line   int              // in the case file
	Part   string           // or
	Pins   [2]string        // of a part on more than two nets
	Open   bool             // it joins nothing
	Ohms   *unit.Resistance // its resistance; nil: not said
	Factor *float64         // two times out of three the truth lies within this factor
}

func (d *decoder) tie(c *Case, n *node) {
	t := Tie{Line: n.line}
	var joins *bool
	d.table("[[tie]]", n, map[string]setter{
		"part":   d.text(&t.Part),
		"pins":   d.two(&t.Pins, "pins"),
		"ohms":   number(d, &t.Ohms, 0, 1e3, 1),
		"factor": number(d, &t.Factor, 1.001, 100, 1),
		"joins":  d.truth(&joins),
	})
	t.Open = joins != nil && !*joins
	switch {
	case (t.Part == "") == (t.Pins[0] == ""):
		d.fail(n.line, "[[tie]] needs a part, or two pins as pins = [\"Q1.2\", \"Q1.3\"], not both")
	case t.Open && t.Ohms != nil:
		d.fail(n.line, "[[tie]] has ohms, or joins = false, not both")
	case !t.Open && t.Ohms == nil:
		d.fail(n.line, "[[tie]] needs ohms, or joins = false")
	}
	c.Ties = append(c.Ties, t)
}

func tiePairs(t Tie) (p pairs) {
	p.text("part", t.Part)
	p.two("pins", t.Pins)
	put(&p, "ohms", t.Ohms, 1)
	put(&p, "factor", t.Factor, 1)
	if t.Open {
		no := false
		p.truth("joins", &no)
	}
	return p
}
