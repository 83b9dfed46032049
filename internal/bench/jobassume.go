package bench

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/unit"
)

// Assumed is one of the figures that a case is worked out with, as it stands
// and as it may be said otherwise.
type Assumed struct {
	Key   string `json:"key"` // for the act "assume"
	Name  string `json:"name"`
	Value string `json:"value"`          // what is taken now
	Said  string `json:"said,omitempty"` // what was said, as it is typed; "": nothing
	Hint  string `json:"hint"`
}

// figure is an assumption with its own way to be shown and said.
type figure struct {
	key, name, hint string
	value           func(j *Job) string
	said            func(c *record.Case) string
	say             func(c *record.Case, text string) error // "": unsaid
}

// figures are the assumptions that any board has: the case file's [copper] and
// [meter] keys, and the command line's flags.
var figures = []figure{
	{"copper", "Copper on every layer", "35um or 1oz",
		func(j *Job) string { return eachOf(j.desk.board.Stack.Copper) },
		func(c *record.Case) string { return eachOf(c.Copper.Thickness) },
		func(c *record.Case, text string) error {
			l, err := lengthSaid(text, unit.ParseFoil, unit.Micrometre, unit.Millimetre)
			if c.Copper.Thickness = nil; l != nil {
				c.Copper.Thickness = []unit.Length{*l}
			}
			return err
		}},
	{"plating", "Plating in holes", "25um",
		func(j *Job) string { return j.desk.board.Stack.Plating.String() },
		func(c *record.Case) string { return lengthText(c.Copper.Plating) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Plating, err = lengthSaid(text, unit.ParseLength, unit.Micrometre, unit.Millimetre)
			return err
		}},
	{"thickness", "Board, layers equally spaced", "1.6mm",
		func(j *Job) string {
			total := unit.Length(0)
			for _, g := range j.desk.board.Stack.Gap {
				total += g
			}
			return total.String()
		},
		func(c *record.Case) string { return lengthText(c.Copper.Board) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Board, err = lengthSaid(text, unit.ParseLength, 20*unit.Micrometre, 20*unit.Millimetre)
			return err
		}},
	{"etch", "Etching took edges back by", "15um",
		func(j *Job) string { return lengthOr(j.c.Copper.Etch, "nothing") },
		func(c *record.Case) string { return lengthText(c.Copper.Etch) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Etch, err = lengthSaid(text, unit.ParseLength, unit.Nanometre, 100*unit.Micrometre)
			return err
		}},
	{"close", "Slits in one net filled below", "20um",
		func(j *Job) string { return lengthOr(j.c.Copper.Close, "none") },
		func(c *record.Case) string { return lengthText(c.Copper.Close) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Close, err = lengthSaid(text, unit.ParseLength, unit.Nanometre, unit.Millimetre)
			return err
		}},
	{"tip", "Diameter of a tip's contact", "0.3mm",
		func(j *Job) string { return (unit.Length(j.desk.tip) * unit.Length(1e-9)).String() },
		func(c *record.Case) string { return lengthText(c.Meter.Tip) },
		func(c *record.Case, text string) (err error) {
			c.Meter.Tip, err = lengthSaid(text, unit.ParseLength, 10*unit.Micrometre, 10*unit.Millimetre)
			return err
		}},
	{"filled", "Plated holes that solder fills", "pins, all or none",
		func(j *Job) string { return filledText(j.c.Copper.Filled) },
		func(c *record.Case) string { return c.Copper.Filled },
		func(c *record.Case, text string) error {
			if text != "" && !slices.Contains(fillings, text) {
				return fmt.Errorf("%q is none of pins, all and none", text)
			}
			c.Copper.Filled = text
			return nil
		}},
	{"temp", "Temperature of the copper", "20C",
		func(j *Job) string { return j.desk.material.Temp.String() },
		func(c *record.Case) string {
			if c.Copper.Temp == nil {
				return ""
			}
			return c.Copper.Temp.String()
		},
		func(c *record.Case, text string) error {
			if c.Copper.Temp = nil; text == "" {
				return nil
			}
			t, err := unit.ParseTemperature(text)
			if err == nil && (t < unit.Celsius(-60) || t > unit.Celsius(200)) {
				err = fmt.Errorf("%q is out of range: -60C to 200C", text)
			}
			c.Copper.Temp = &t
			return err
		}},
	{"ties", "Parts of a few ohms join nets", "auto or none",
		func(j *Job) string {
			if j.c.Copper.Ties == "none" {
				return "none does"
			}
			return "auto"
		},
		func(c *record.Case) string { return c.Copper.Ties },
		func(c *record.Case, text string) error {
			if text != "" && text != "auto" && text != "none" {
				return fmt.Errorf("%q is neither auto nor none", text)
			}
			c.Copper.Ties = text
			return nil
		}},
	{"meter", "Meter and tips", strings.Join(locate.ProfileNames(), ", "),
		func(j *Job) string { return j.c.Meter.Profile },
		func(c *record.Case) string { return "" },
		func(c *record.Case, text string) error {
			if text == "" {
				text = handMeter
			}
			_, err := locate.Profile(text)
			c.Meter.Profile = text
			return err
		}},
	{"noise", "One touch differs by", "0.3m",
		func(j *Job) string { return unit.Resistance(j.noise().NoiseOhms).String() },
		func(c *record.Case) string { return ohmsText(c.Meter.Noise) },
		func(c *record.Case, text string) (err error) { c.Meter.Noise, err = ohmsSaid(text); return err }},
	{"noise-four", "The same, four-wire", "0.02m",
		func(j *Job) string { return unit.Resistance(j.noise().NoiseFourWireOhms).String() },
		func(c *record.Case) string { return ohmsText(c.Meter.NoiseFourWire) },
		func(c *record.Case, text string) (err error) { c.Meter.NoiseFourWire, err = ohmsSaid(text); return err }},
}

// noise is the meter of the case; the usual one where its figures are none.
func (j *Job) noise() locate.Meter {
	m, _ := meterOf(j.c.Meter)
	return m
}

// eachOf writes one thickness for all layers, or one for each.
func eachOf(each []unit.Length) string {
	var out []string
	for _, l := range each {
		out = append(out, l.String())
	}
	return strings.Join(slices.Compact(out), ", ")
}

func lengthText(l *unit.Length) string { return lengthOr(l, "") }

func lengthOr(l *unit.Length, none string) string {
	if l == nil {
		return none
	}
	return l.String()
}

func ohmsText(r *unit.Resistance) string {
	if r == nil {
		return ""
	}
	return r.String()
}

// fillings are the words for the plated holes that solder fills.
var fillings = []string{"none", "pins", "all"}

func filledText(which string) string {
	switch which {
	case "pins":
		return "those with a part's pin"
	case "all":
		return "all"
	}
	return "none"
}

// lengthSaid reads a length as the flags of the command line take it, within
// what a case file may hold.
func lengthSaid(text string, parse func(string) (unit.Length, error), least, most unit.Length) (*unit.Length, error) {
	if text == "" {
		return nil, nil
	}
	l, err := parse(text)
	const rounding = 1e-9 // 0.1mm is 100um
	if err == nil && (l < least*(1-rounding) || l > most*(1+rounding)) {
		err = fmt.Errorf("%q is out of range: %v to %v", text, least, most)
	}
	return &l, err
}

func ohmsSaid(text string) (*unit.Resistance, error) {
	if text == "" {
		return nil, nil
	}
	r, err := unit.ParseReading(text)
	if err == nil && (r < 0 || r > 1000) {
		err = fmt.Errorf("%q is no uncertainty: zero or more, as 0.3m", text)
	}
	return &r, err
}

// assumed lists what the job is worked out with; an invented unit comes with
// its own.
func (j *Job) assumed() []Assumed {
	out := []Assumed{}
	if j.c.Steps.Practice != nil {
		return out
	}
	for _, f := range figures {
		out = append(out, Assumed{f.key, f.name, f.value(j), f.said(j.c), f.hint})
	}
	for _, t := range j.desk.ties {
		if t.Kind == "net tie" {
			continue
		}
		a := Assumed{Key: "tie " + t.Part, Value: t.Ohms.String(), Hint: "0.2 or open",
			Name: fmt.Sprintf("%s, %s, joins %s and %s", t.Part, t.Kind, j.desk.nets.Nets[t.NetA].Name, j.desk.nets.Nets[t.NetB].Name)}
		if t.Open {
			a.Value = "joins nothing"
		}
		for _, s := range j.c.Ties {
			if s.Part == t.Part {
				if a.Said = "open"; !s.Open {
					a.Said = ohmsText(s.Ohms)
				}
			}
		}
		out = append(out, a)
	}
	for _, m := range j.c.Metal {
		out = append(out, Assumed{"metal " + m.Part, "Metal body of " + m.Part, "on " + m.Net, m.Net, "its net, or nothing"})
	}
	return out
}

// assume says a figure otherwise; an empty text takes it back.
func assume(j *Job, next *record.Case, a Act) (bool, error) {
	text := strings.TrimSpace(a.Text)
	if next.Steps.Practice != nil {
		return false, &Error{Kind: Misuse, What: "an invented unit comes with its own figures"}
	}
	for _, f := range figures {
		if f.key != a.Place {
			continue
		}
		if err := f.say(next, text); err != nil {
			return false, &Error{Kind: Misuse, What: err.Error()}
		}
		return true, nil
	}
	kind, part, _ := strings.Cut(a.Place, " ")
	switch {
	case kind == "tie" && part != "":
		return true, j.sayTie(next, part, text)
	case kind == "metal" && part != "":
		return true, j.sayMetal(next, part, text)
	}
	return false, &Error{Kind: Misuse, What: fmt.Sprintf("there is no figure %.40q", a.Place)}
}

// sayTie says what a part between two nets has, as --tie does.
func (j *Job) sayTie(next *record.Case, part, text string) error {
	t := record.Tie{Part: part}
	next.Ties = slices.DeleteFunc(next.Ties, func(o record.Tie) bool { return o.Part == part })
	if text != "" {
		ohms, err := unit.ParseReading(text)
		switch {
		case text == "open" || err == nil && ohms.IsOpen():
			t.Open = true
		case err != nil:
			return &Error{Kind: Misuse, What: err.Error()}
		case ohms < 0 || ohms > 1000:
			return &Error{Kind: Misuse, What: fmt.Sprintf("%q is out of range: 0 to 1000 ohms, or open", text)}
		default:
			t.Ohms = &ohms
		}
		next.Ties = append(next.Ties, t)
	}
	if _, err := j.desk.tiesOf(j.shelf.options.under(next)); err != nil {
		return &Error{Kind: Misuse, What: bad(err).Error()}
	}
	return nil
}

// sayMetal marks the metal body of a part and its net, or unmarks it.
func (j *Job) sayMetal(next *record.Case, part, net string) error {
	next.Metal = slices.DeleteFunc(next.Metal, func(m record.Metal) bool { return m.Part == part })
	if net == "" {
		return nil
	}
	n, err := j.desk.nets.ByName(net)
	if err != nil {
		return bad(err)
	}
	p := j.desk.partNamed(part + ".")
	if p == nil {
		hint := ""
		if name, near := j.desk.board.NearestRef(part); near {
			hint = "did you mean " + name + "?"
		}
		return &Error{Kind: Misuse, What: fmt.Sprintf("no part %q on this board", part), Hint: hint}
	}
	next.Metal = append(next.Metal, record.Metal{Part: part, Net: j.desk.nets.Nets[n].Name})
	if !slices.Contains(next.Steps.Asked, part) {
		next.Steps.Asked = append(next.Steps.Asked, part)
	}
	return nil
}

// asFigured names the figures that a board is read with: boards of one such
// name are the same.
func asFigured(c *record.Case) string {
	k := c.Copper
	out := []string{eachOf(k.Thickness), lengthText(k.Plating), lengthText(k.Board), lengthText(k.Etch), lengthText(k.Close), lengthText(c.Meter.Tip), k.Filled, k.Ties}
	if k.Temp != nil {
		out = append(out, k.Temp.String())
	}
	for _, t := range c.Ties {
		out = append(out, t.Part, strings.Join(t.Pins[:], "-"), strconv.FormatBool(t.Open), ohmsText(t.Ohms))
		if t.Factor != nil {
			out = append(out, strconv.FormatFloat(*t.Factor, 'g', -1, 64))
		}
	}
	return strings.Join(out, "|")
}
