package session

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/unit"
)

// figure is an assumption with its own way to be shown and overridden.
type figure struct {
	key, name, hint string
	value           func(j *Session) string
	override        func(c *record.Case) string
	set             func(c *record.Case, text string) error // "": no override
}

// figures are the assumptions that any board has: the case file's [copper] and
// [meter] keys, and the command line's flags.
var figures = []figure{
	{"copper", "Copper on every layer", "35um or 1oz",
		func(j *Session) string { return eachOf(j.board.Layout.Stack.Copper) },
		func(c *record.Case) string { return eachOf(c.Copper.Thickness) },
		func(c *record.Case, text string) error {
			l, err := parseLength(text, unit.ParseFoil, unit.Micrometre, unit.Millimetre)
			if c.Copper.Thickness = nil; l != nil {
				c.Copper.Thickness = []unit.Length{*l}
			}
			return err
		}},
	{"plating", "Plating in holes", "25um",
		func(j *Session) string { return j.board.Layout.Stack.Plating.String() },
		func(c *record.Case) string { return lengthText(c.Copper.Plating) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Plating, err = parseLength(text, unit.ParseLength, unit.Micrometre, unit.Millimetre)
			return err
		}},
	{"thickness", "Board, layers equally spaced", "1.6mm",
		func(j *Session) string {
			total := unit.Length(0)
			for _, g := range j.board.Layout.Stack.Gap {
				total += g
			}
			return total.String()
		},
		func(c *record.Case) string { return lengthText(c.Copper.Board) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Board, err = parseLength(text, unit.ParseLength, 20*unit.Micrometre, 20*unit.Millimetre)
			return err
		}},
	{"etch", "Etching took edges back by", "15um",
		func(j *Session) string { return lengthOr(j.c.Copper.Etch, "nothing") },
		func(c *record.Case) string { return lengthText(c.Copper.Etch) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Etch, err = parseLength(text, unit.ParseLength, unit.Nanometre, 100*unit.Micrometre)
			return err
		}},
	{"close", "Slits in one net filled below", "20um",
		func(j *Session) string { return lengthOr(j.c.Copper.Close, "none") },
		func(c *record.Case) string { return lengthText(c.Copper.Close) },
		func(c *record.Case, text string) (err error) {
			c.Copper.Close, err = parseLength(text, unit.ParseLength, unit.Nanometre, unit.Millimetre)
			return err
		}},
	{"tip", "Diameter of a tip's contact", "0.3mm",
		func(j *Session) string { return (unit.Length(j.board.Tip) * unit.Length(1e-9)).String() },
		func(c *record.Case) string { return lengthText(c.Meter.Tip) },
		func(c *record.Case, text string) (err error) {
			c.Meter.Tip, err = parseLength(text, unit.ParseLength, 10*unit.Micrometre, 10*unit.Millimetre)
			return err
		}},
	{"filled", "Plated holes that solder fills", "pins, all or none",
		func(j *Session) string { return filledText(j.c.Copper.Filled) },
		func(c *record.Case) string { return c.Copper.Filled },
		func(c *record.Case, text string) error {
			if text != "" && !slices.Contains(fillings, text) {
				return fmt.Errorf("%q is none of pins, all and none", text)
			}
			c.Copper.Filled = text
			return nil
		}},
	{"temp", "Temperature of the copper", "20C",
		func(j *Session) string { return j.board.Material.Temp.String() },
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
		func(j *Session) string {
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
		func(j *Session) string { return j.c.Meter.Profile },
		func(c *record.Case) string { return "" },
		func(c *record.Case, text string) error {
			if text == "" {
				text = handHeldMeter
			}
			_, err := locate.Profile(text)
			c.Meter.Profile = text
			return err
		}},
	{"noise", "One touch differs by", "0.3m",
		func(j *Session) string { return noiseText(j.noise().NoiseOhms) },
		func(c *record.Case) string { return ohmsText(c.Meter.Noise) },
		func(c *record.Case, text string) (err error) { c.Meter.Noise, err = parseOhms(text); return err }},
	{"noise-four", "The same, four-wire", "0.02m",
		func(j *Session) string { return noiseText(j.noise().NoiseFourWireOhms) },
		func(c *record.Case) string { return ohmsText(c.Meter.NoiseFourWire) },
		func(c *record.Case, text string) (err error) {
			c.Meter.NoiseFourWire, err = parseOhms(text)
			return err
		}},
}

// noise is the meter of the case; the usual one where its figures are none.
func (j *Session) noise() locate.Meter {
	m, _ := engine.MeterOf(j.c.Meter)
	return m
}

// meter is noise for who does not hold the session.
func (j *Session) meter() locate.Meter {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.noise()
}

// noiseText writes an uncertainty in milliohms, as short as it is.
func noiseText(ohms float64) string {
	return strconv.FormatFloat(math.Round(ohms*1e6)/1e3, 'f', -1, 64) + " mΩ"
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

// parseLength reads a length as the flags of the command line take it, within
// what a case file may hold.
func parseLength(text string, parse func(string) (unit.Length, error), least,
	most unit.Length) (*unit.Length, error) {
	if text == "" {
		return nil, nil
	}
	l, err := parse(text)
	if err == nil {
		err = unit.CheckLength(text, l, least, most)
	}
	return &l, err
}

func parseOhms(text string) (*unit.Resistance, error) {
	if text == "" {
		return nil, nil
	}
	r, err := unit.ParseReading(text)
	if err == nil && (r < 0 || r > 1000) {
		err = fmt.Errorf("%q is no uncertainty: zero or more, as 0.3m", text)
	}
	return &r, err
}

// assumed lists what the session computes with; an invented unit comes with
// its own.
func (j *Session) assumed() []answer.Assumed {
	out := []answer.Assumed{}
	if j.c.Steps.Practice != nil {
		return out
	}
	for _, f := range figures {
		out = append(out, answer.Assumed{Key: f.key, Name: f.name, Value: f.value(j), Said: f.override(j.c),
			Hint: f.hint})
	}
	for _, t := range j.board.Ties {
		if t.Kind == "net tie" {
			continue
		}
		a := answer.Assumed{Key: "tie " + t.Part, Value: t.Ohms.String(), Hint: "0.2 or open",
			Name: fmt.Sprintf("%s, %s, joins %s and %s", t.Part, t.Kind, j.board.Nets.Nets[t.NetA].Name,
				j.board.Nets.Nets[t.NetB].Name)}
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
		out = append(out, answer.Assumed{Key: "metal " + m.Part, Name: "Metal body of " + m.Part,
			Value: "on " + m.Net, Said: m.Net, Hint: "its net, or nothing"})
	}
	return out
}

// assume overrides a figure; an empty text takes it back.
func assume(j *Session, next *record.Case, a answer.Act) (bool, error) {
	text := strings.TrimSpace(a.Text)
	if next.Steps.Practice != nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "an invented unit comes with its own figures"}
	}
	for _, f := range figures {
		if f.key != a.Place {
			continue
		}
		if err := f.set(next, text); err != nil {
			return false, &answer.Error{Kind: answer.Misuse, What: err.Error()}
		}
		return true, nil
	}
	kind, part, _ := strings.Cut(a.Place, " ")
	switch {
	case kind == "tie" && part != "":
		return true, j.setTie(next, part, text)
	case kind == "metal" && part != "":
		return true, j.setMetal(next, part, text)
	}
	return false, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("there is no figure %.40q", a.Place)}
}

// setTie says what a part between two nets has, as --tie does.
func (j *Session) setTie(next *record.Case, part, text string) error {
	t := record.Tie{Part: part}
	next.Ties = slices.DeleteFunc(next.Ties, func(o record.Tie) bool { return o.Part == part })
	if text != "" {
		ohms, err := unit.ParseReading(text)
		switch {
		case text == "open" || err == nil && ohms.IsOpen():
			t.Open = true
		case err != nil:
			return &answer.Error{Kind: answer.Misuse, What: err.Error()}
		case ohms < 0 || ohms > 1000:
			return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("%q is out of range: 0 to 1000 ohms, or open",
				text)}
		default:
			t.Ohms = &ohms
		}
		next.Ties = append(next.Ties, t)
	}
	if _, err := j.board.TiesOf(j.folder.options.WithCaseDefaults(next)); err != nil {
		return &answer.Error{Kind: answer.Misuse, What: answer.AsError(err).Error()}
	}
	return nil
}

// setMetal marks the metal body of a part and its net, or unmarks it.
func (j *Session) setMetal(next *record.Case, part, net string) error {
	next.Metal = slices.DeleteFunc(next.Metal, func(m record.Metal) bool { return m.Part == part })
	if net == "" {
		return nil
	}
	n, err := j.board.Nets.ByName(net)
	if err != nil {
		return answer.AsError(err)
	}
	p := partNamed(j.board.Board, part+".")
	if p == nil {
		hint := ""
		if name, near := j.board.Layout.NearestRef(part); near {
			hint = "did you mean " + name + "?"
		}
		return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("no part %q on this board", part), Hint: hint}
	}
	next.Metal = append(next.Metal, record.Metal{Part: part, Net: j.board.Nets.Nets[n].Name})
	if !slices.Contains(next.Steps.Asked, part) {
		next.Steps.Asked = append(next.Steps.Asked, part)
	}
	return nil
}

// figuresKey names the figures that a board is read with: boards of one such
// name are the same.
func figuresKey(c *record.Case) string {
	k := c.Copper
	out := []string{eachOf(k.Thickness), lengthText(k.Plating), lengthText(k.Board), lengthText(k.Etch),
		lengthText(k.Close), lengthText(c.Meter.Tip), k.Filled, k.Ties}
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
