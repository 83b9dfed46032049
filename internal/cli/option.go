package cli

import (
	"strconv"
	"strings"

	"ohmward/internal/bench"
	"ohmward/unit"
)

// option is one flag of a command.
type option struct {
	name  string
	value string // placeholder; "" for a flag that takes none
	about string // one or two lines, unit and default included
	set   func(s *settings, value string) error
}

// The flags every command has, and those of commands that read a board.
var (
	jsonFlag = &option{"json", "", "print one JSON object instead of text",
		func(s *settings, _ string) error { s.json = true; return nil }}
	timingFlag = &option{"timing", "", "add seconds by stage and peak memory to the JSON",
		func(s *settings, _ string) error { s.timing = true; return nil }}

	boardFlags = []*option{
		{"copper", "35um", "copper thickness on every layer (default: the\ndata's own, else 35um); also in ounces: 1oz", setCopper},
		{"plating", "25um", "plating thickness in holes (default: the data's\nown, else 25um)", setPlating},
		{"thickness", "1.6mm", "board thickness, layers then equally spaced\n(default: the data's own, else 1.6mm)", setThickness},
		{"temp", "20C", "temperature of the copper (default 20C)", setTemp},
		{"tip", "0.3mm", "diameter of a probe's contact (default 0.3mm)", setTip},
		{"close", "20um", "fill slits within one net narrower than this\n(default: none)", setClose},
		{"etch", "15um", "how far etching took the copper's edges back\n(default: none, the image is taken literally)", setEtch},
		{"filled", "pins|all", "plated holes that solder fills: those with a part's\npin, or all (default none)", setFilled},
		{"tie", "FB1=0.2ohm", "resistance of a part that joins two nets, or open\n(as F1=open; of several: Q1.2,Q1.3=0.1ohm); repeatable", setTie},
		{"copy", "2", "of a panel, the copy that is meant, or all\n(default: all, with a doubt)", setCopy},
		{"role", "FILE=ROLE", "what a file is, as \"plane.art=copper L2\"; may be\ngiven several times (docs/formats.md lists the roles)", addRole},
		{"ties", "auto|none", "whether parts of a few ohms join their nets\n(default auto)", setTies},
	}
)

// withCommon appends the flags all commands share.
func withCommon(own ...*option) []*option {
	return append(append(own, boardFlags...), jsonFlag, timingFlag)
}

// length makes a setter of a positive length.
func length(field func(*settings) (*unit.Length, *bool), parse func(string) (unit.Length, error)) func(*settings, string) error {
	return func(s *settings, v string) error {
		l, err := parse(v)
		if err != nil {
			return err
		}
		if l <= 0 || l > unit.Metre {
			return misuse("", "%q is out of range: above zero and at most 1 m", v)
		}
		value, given := field(s)
		*value, *given = l, true
		return nil
	}
}

var (
	setCopper    = length(func(s *settings) (*unit.Length, *bool) { return &s.Copper, &s.GivenCopper }, unit.ParseFoil)
	setPlating   = length(func(s *settings) (*unit.Length, *bool) { return &s.Plating, &s.GivenPlating }, unit.ParseLength)
	setThickness = length(func(s *settings) (*unit.Length, *bool) { return &s.Thickness, &s.GivenThickness }, unit.ParseLength)
	setTip       = upTo(10*unit.Millimetre, length(func(s *settings) (*unit.Length, *bool) { return &s.Tip, &s.GivenTip }, unit.ParseLength))
	setClose     = length(func(s *settings) (*unit.Length, *bool) { return &s.Close, &s.GivenClose }, unit.ParseLength)
	setEtch      = upTo(100*unit.Micrometre, length(func(s *settings) (*unit.Length, *bool) { return &s.Etch, &s.GivenEtch }, unit.ParseLength))
)

// upTo narrows a length's range: a tip as wide as the board touches all of it
// at once.
func upTo(most unit.Length, set func(*settings, string) error) func(*settings, string) error {
	return func(s *settings, v string) error {
		if l, err := unit.ParseLength(v); err == nil && l > most*(1+1e-9) { // 0.1mm is 100um
			return misuse("", "%q is out of range: above zero and at most %v", v, most)
		}
		return set(s, v)
	}
}

// setAccuracy reads a relative accuracy such as "0.1%" or "0.001".
func setAccuracy(s *settings, v string) error {
	number, percent := strings.CutSuffix(strings.TrimSpace(v), "%")
	a, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if percent {
		a /= 100
	}
	if err != nil || !(a >= 0.0005 && a <= 0.1) {
		return misuse("", "%q is no accuracy from 0.05%% to 10%%", v)
	}
	s.Accuracy = a
	return nil
}

func setTemp(s *settings, v string) error {
	t, err := unit.ParseTemperature(v)
	if err != nil {
		return err
	}
	if t < unit.Celsius(-60) || t > unit.Celsius(200) {
		return misuse("", "%q is out of range: -60C to 200C", v)
	}
	s.Temp, s.GivenTemp = t, true
	return nil
}

func setCopy(s *settings, v string) error {
	if n, err := strconv.Atoi(v); v != "all" && (err != nil || n < 1) {
		return misuse("", "%q is neither all nor a copy's number from 1", v)
	}
	s.Copy = v
	return nil
}

func addRole(s *settings, v string) error {
	file, role, ok := strings.Cut(v, "=")
	if !ok || strings.TrimSpace(file) == "" || strings.TrimSpace(role) == "" {
		return misuse("", "%q is not FILE=ROLE, as in \"plane.art=copper L2\"", v)
	}
	s.Roles = append(s.Roles, v)
	return nil
}

func setFilled(s *settings, v string) error {
	if v != "none" && v != "pins" && v != "all" {
		return misuse("", "%q is none of pins, all and none", v)
	}
	s.Filled = v
	return nil
}

func setTies(s *settings, v string) error {
	if v != "auto" && v != "none" {
		return misuse("", "%q is neither auto nor none", v)
	}
	s.Ties, s.GivenTies = v, true
	return nil
}

// setTie reads what a person says of a part between two nets.
func setTie(s *settings, v string) error {
	who, ohms, ok := strings.Cut(v, "=")
	who, ohms = strings.TrimSpace(who), strings.TrimSpace(ohms)
	if !ok || who == "" || ohms == "" {
		return misuse("", "%q is not a part and its resistance, as in FB1=0.2ohm or F1=open", v)
	}
	e := bench.TieEdit{Part: who}
	if a, b, two := strings.Cut(who, ","); two {
		e.Part, e.Pins = "", [2]string{strings.TrimSpace(a), strings.TrimSpace(b)}
	}
	if e.Open = strings.EqualFold(ohms, "open"); !e.Open {
		r, err := unit.ParseReading(ohms)
		if err != nil {
			return err
		}
		if !(r >= 0 && r <= 1000) {
			return misuse("", "%q is out of range: 0 to 1000 ohms, or open", ohms)
		}
		e.Ohms = r
	}
	s.TieEdits = append(s.TieEdits, e)
	return nil
}

func setNets(s *settings, v string) error {
	nets := splitNets(v)
	if len(nets) != 2 || nets[0] == "" || nets[1] == "" || nets[0] == nets[1] {
		return misuse("", "%q is not two different nets with a comma between, as in +3V3,GND", v)
	}
	s.nets = nets
	return nil
}

// splitNets splits a list of nets at its commas, but for the one within the name
// of copper that has none, as copper@12.30,45.60.
func splitNets(v string) (nets []string) {
	for _, part := range strings.Split(v, ",") {
		part = strings.TrimSpace(part)
		y, _, _ := strings.Cut(part, "/") // two such names for one place end in a layer
		if last := len(nets) - 1; last >= 0 && halfPlace(nets[last]) && isNumber(y) {
			nets[last] += "," + part
			continue
		}
		nets = append(nets, part)
	}
	return nets
}

// halfPlace tells whether a net's name breaks off after an abscissa.
func halfPlace(name string) bool {
	_, x, is := strings.Cut(name, "@")
	return is && isNumber(x)
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil
}

func setSeed(s *settings, v string) error {
	n, err := strconv.ParseUint(v, 10, 64)
	if err != nil {
		return misuse("", "%q is not a whole number of 0 or more", v)
	}
	s.seed = n
	return nil
}

// text makes a setter of a plain text that may not be empty.
func text(field func(*settings) *string) func(*settings, string) error {
	return func(s *settings, v string) error {
		if v == "" {
			return misuse("", "is empty")
		}
		*field(s) = v
		return nil
	}
}
