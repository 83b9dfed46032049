package gerber

import (
	"math"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// extended runs one word between percent signs.
func (r *reader) extended(s string) error {
	s = strings.TrimSpace(s)
	if len(s) < 2 {
		if s != "" {
			r.Warn("unknown command %%%s ignored", s)
		}
		return nil
	}
	code, rest := strings.ToUpper(s[:2]), s[2:]
	run, known := commands[code]
	if !known {
		if c := s[0] &^ 0x20; c == 'G' || c == 'D' || c == 'M' || c == 'X' || c == 'Y' {
			return r.function(s) // function codes kept inside percent signs
		}
		r.Warn("unknown command %%%s ignored", fault.Short(s))
		return nil
	}
	r.known++
	return run(r, rest)
}

// commands are the extended commands; the deprecated ones that only name or
// restate something do nothing.
var commands map[string]func(*reader, string) error

func init() {
	named := func(code string) func(*reader, string) error {
		return func(r *reader, s string) error { return r.attribute(code, s) }
	}
	nothing := func(*reader, string) error { return nil }
	commands = map[string]func(*reader, string) error{
		"FS": (*reader).format, "MO": (*reader).units,
		"AD": (*reader).define, "AM": (*reader).beginMacro, "AB": (*reader).apertureBlock,
		"LP": (*reader).polarity, "LM": (*reader).mirror, "LR": (*reader).rotate, "LS": (*reader).scale,
		"SR": (*reader).stepRepeat,
		"TF": named("TF"), "TA": named("TA"), "TO": named("TO"), "TD": named("TD"),
		"IN": nothing, "LN": nothing,
		"IP": (*reader).imagePolarity, "IR": (*reader).imageRotation, "AS": (*reader).axes,
		"MI": (*reader).imageMirror, "OF": (*reader).imageOffset, "SF": (*reader).imageScale,
	}
}

// format handles FS: L or T, A or I, Xnm, Ynm, and old letters between.
func (r *reader) format(s string) error {
	var x, y string
	letters, rest := "", strings.ToUpper(strings.ReplaceAll(s, " ", ""))
	for rest != "" {
		n := 1
		for n < len(rest) && rest[n] >= '0' && rest[n] <= '9' {
			n++
		}
		switch rest[0] {
		case 'X':
			x = rest[1:n]
		case 'Y':
			y = rest[1:n]
		default:
			letters += rest[:1]
		}
		rest = rest[n:]
	}
	if x == "" {
		x = y
	}
	if y == "" {
		y = x
	}
	if len(x) != 2 || len(y) != 2 {
		return r.Malformed("format FS%s has no X and Y digits", fault.Short(s))
	}
	fx, fy := layout{int(x[0] - '0'), int(x[1] - '0')}, layout{int(y[0] - '0'), int(y[1] - '0')}
	if r.formatted && (fx != r.x || fy != r.y) {
		r.Warn("format changes within the file")
	}
	r.x, r.y, r.formatted = fx, fy, true
	r.trailing = strings.Contains(letters, "T")
	r.incremental = strings.Contains(letters, "I")
	if r.trailing {
		r.Warn("trailing zeros omitted: a deprecated format")
	}
	return nil
}

func (r *reader) units(s string) error {
	switch strings.ToUpper(strings.TrimSpace(s)) {
	case "MM":
		return r.setUnit(scan.MM)
	case "IN":
		return r.setUnit(scan.Inch)
	}
	return r.Malformed("unit MO%s is neither MM nor IN", fault.Short(s))
}

func (r *reader) polarity(s string) error {
	switch strings.ToUpper(strings.TrimSpace(s)) {
	case "D":
		r.light = false
	case "C":
		r.light = true
	default:
		return r.Malformed("polarity LP%s is neither D nor C", fault.Short(s))
	}
	return nil
}

func (r *reader) mirror(s string) error {
	s = strings.ToUpper(strings.TrimSpace(s))
	switch s {
	case "N", "X", "Y", "XY":
		r.turning.mirrorX, r.turning.mirrorY = strings.Contains(s, "X"), strings.Contains(s, "Y")
		return nil
	}
	return r.Malformed("mirroring LM%s is none of N, X, Y, XY", fault.Short(s))
}

func (r *reader) rotate(s string) error {
	v, ok := scan.Decimal(s)
	if !ok {
		return r.Malformed("rotation LR%s is not a number", fault.Short(s))
	}
	r.turning.degrees = math.Mod(v, 360) + 0
	return nil
}

func (r *reader) scale(s string) error {
	v, ok := scan.Decimal(s)
	if !ok || v <= 0 || v > 1000 {
		return r.Malformed("scale LS%s is not a number up to 1000", fault.Short(s))
	}
	r.turning.scale = v
	return nil
}

func (r *reader) beginMacro(s string) error {
	r.macro = &macro{name: strings.TrimSpace(s)}
	if r.macro.name == "" {
		return r.Malformed("macro without name")
	}
	return nil
}

// macroWord takes one word of a macro's body. A word with two letters in
// front can only be the next command in the same pair of percent signs.
func (r *reader) macroWord(w word) error {
	s := strings.TrimSpace(w.text)
	if len(s) >= 2 && commands[strings.ToUpper(s[:2])] != nil {
		if err := r.endMacro(); err != nil {
			return err
		}
		return r.extended(s)
	}
	if err := r.keep(len(s)); err != nil {
		return err
	}
	if err := r.macro.add(s, w.line); err != nil {
		return r.Unsupported("%v", err)
	}
	return nil
}

func (r *reader) endMacro() error {
	if r.macro == nil {
		return nil
	}
	if len(r.macros) >= maxEntries {
		return r.Unsupported("too large: more than %d macros", maxEntries)
	}
	r.macros[r.macro.name] = r.macro
	if upper := strings.ToUpper(r.macro.name); r.macros[upper] == nil {
		r.macros[upper] = r.macro
	}
	r.macro = nil
	return nil
}

// apertureBlock opens a block with its D code or closes it without.
func (r *reader) apertureBlock(s string) error {
	s = strings.ToUpper(strings.TrimSpace(s))
	if s == "" {
		n := len(r.frames)
		if n == 0 || r.frames[n-1].block == 0 {
			r.Warn("end of an aperture block that is not open ignored")
			return nil
		}
		return r.closeFrame()
	}
	code, ok := scan.Whole(strings.TrimPrefix(s, "D"))
	if !ok || code < 10 || s[0] != 'D' {
		return r.Malformed("aperture block AB%s has no D code", fault.Short(s))
	}
	return r.openFrame(&frame{block: code, function: r.apertureAttributes[".AperFunction"]})
}

// stepRepeat opens X..Y..I..J.. copies, or closes them without numbers. A
// new one closes the one before it.
func (r *reader) stepRepeat(s string) error {
	if n := len(r.frames); n > 0 && r.frames[n-1].block == 0 {
		if err := r.closeFrame(); err != nil {
			return err
		}
	}
	s = strings.ToUpper(strings.ReplaceAll(s, " ", ""))
	if s == "" {
		return nil
	}
	v, ok := lettered(s, "XYIJ")
	if !ok || v['X'] < 0 || v['Y'] < 0 || v['X'] != math.Trunc(v['X']) || v['Y'] != math.Trunc(v['Y']) {
		return r.Malformed("malformed step and repeat SR%s", fault.Short(s))
	}
	nx, ny := max(1, v['X']), max(1, v['Y'])
	if nx*ny > float64(r.limits.objects) {
		return r.Unsupported("too large: step and repeat of %g copies", nx*ny)
	}
	dx, dy := v['I']*r.perUnit(), v['J']*r.perUnit()
	if math.Abs(dx) > 2e9 || math.Abs(dy) > 2e9 {
		return r.Malformed("step and repeat reaches beyond a metre")
	}
	if nx == 1 && ny == 1 {
		return nil
	}
	return r.openFrame(&frame{
		nx: int(nx), ny: int(ny),
		dx: int64(math.Round(dx)), dy: int64(math.Round(dy)),
	})
}

// lettered takes apart a chain of letters with numbers.
func lettered(s, letters string) (map[byte]float64, bool) {
	out := map[byte]float64{}
	for s != "" {
		c := s[0]
		n := 1
		for n < len(s) && strings.IndexByte("0123456789+-.", s[n]) >= 0 {
			n++
		}
		v, ok := scan.Decimal(s[1:n])
		if !ok || strings.IndexByte(letters, c) < 0 {
			return nil, false
		}
		out[c] = v
		s = s[n:]
	}
	return out, true
}
