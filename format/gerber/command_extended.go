package gerber

import (
	"cmp"
	"math"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// extended runs one word between percent signs.
func (r *reader) extended(s string) {
	s = strings.TrimSpace(s)
	if len(s) < 2 {
		if s != "" {
			r.Lose("unknown command %%%s ignored", s)
		}
		return
	}
	code, rest := strings.ToUpper(s[:2]), s[2:]
	run, known := commands[code]
	if !known {
		if c := s[0] &^ 0x20; c == 'G' || c == 'D' || c == 'M' || c == 'X' || c == 'Y' {
			r.function(s) // function codes kept inside percent signs
			return
		}
		r.Lose("unknown command %%%s ignored", fault.Short(s))
		return
	}
	r.known++
	run(r, rest)
}

// commands are the extended commands; the deprecated ones that only name or
// restate something do nothing.
var commands map[string]func(*reader, string)

func init() {
	named := func(code string) func(*reader, string) {
		return func(r *reader, s string) { r.attribute(code, s) }
	}
	nothing := func(*reader, string) {}
	commands = map[string]func(*reader, string){
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
func (r *reader) format(s string) {
	var x, y string
	letters, rest := "", strings.ToUpper(strings.ReplaceAll(s, " ", ""))
	for rest != "" {
		after := strings.TrimLeft(rest[1:], "0123456789")
		switch digits := rest[1 : len(rest)-len(after)]; rest[0] {
		case 'X':
			x = digits
		case 'Y':
			y = digits
		default:
			letters += rest[:1]
		}
		rest = after
	}
	x, y = cmp.Or(x, y), cmp.Or(y, x)
	if len(x) != 2 || len(y) != 2 {
		panic(r.Malformed("format FS%s has no X and Y digits", fault.Short(s)))
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
}

func (r *reader) units(s string) {
	switch strings.ToUpper(strings.TrimSpace(s)) {
	case "MM":
		r.setUnit(scan.MM)
	case "IN":
		r.setUnit(scan.Inch)
	default:
		panic(r.Malformed("unit MO%s is neither MM nor IN", fault.Short(s)))
	}
}

func (r *reader) polarity(s string) {
	switch strings.ToUpper(strings.TrimSpace(s)) {
	case "D":
		r.light = false
	case "C":
		r.light = true
	default:
		panic(r.Malformed("polarity LP%s is neither D nor C", fault.Short(s)))
	}
}

func (r *reader) mirror(s string) {
	s = strings.ToUpper(strings.TrimSpace(s))
	switch s {
	case "N", "X", "Y", "XY":
		r.turning.mirrorX, r.turning.mirrorY = strings.Contains(s, "X"), strings.Contains(s, "Y")
	default:
		panic(r.Malformed("mirroring LM%s is none of N, X, Y, XY", fault.Short(s)))
	}
}

func (r *reader) rotate(s string) {
	v, ok := scan.Decimal(s)
	if !ok {
		panic(r.Malformed("rotation LR%s is not a number", fault.Short(s)))
	}
	r.turning.degrees = math.Mod(v, 360) + 0
}

func (r *reader) scale(s string) {
	v, ok := scan.Decimal(s)
	if !ok || v <= 0 || v > 1000 {
		panic(r.Malformed("scale LS%s is not a number up to 1000", fault.Short(s)))
	}
	r.turning.scale = v
}

func (r *reader) beginMacro(s string) {
	r.macro = &macro{name: strings.TrimSpace(s)}
	if r.macro.name == "" {
		panic(r.Malformed("macro without name"))
	}
}

// macroWord takes one word of a macro's body. A word with two letters in
// front can only be the next command in the same pair of percent signs.
func (r *reader) macroWord(w word) {
	s := strings.TrimSpace(w.text)
	if len(s) >= 2 && commands[strings.ToUpper(s[:2])] != nil {
		r.endMacro()
		r.extended(s)
		return
	}
	r.keep(len(s))
	if err := r.macro.add(s, w.line); err != nil {
		panic(r.Unsupported("%v", err))
	}
}

func (r *reader) endMacro() {
	if r.macro == nil {
		return
	}
	if len(r.macros) >= maxEntries {
		panic(r.Unsupported("too large: more than %d macros", maxEntries))
	}
	r.macros[r.macro.name] = r.macro
	if upper := strings.ToUpper(r.macro.name); r.macros[upper] == nil {
		r.macros[upper] = r.macro
	}
	r.macro = nil
}

// apertureBlock opens a block with its D code or closes it without.
func (r *reader) apertureBlock(s string) {
	s = strings.ToUpper(strings.TrimSpace(s))
	if s == "" {
		n := len(r.frames)
		if n == 0 || r.frames[n-1].block == 0 {
			r.Warn("end of an aperture block that is not open ignored")
		} else {
			r.closeFrame()
		}
		return
	}
	code, ok := scan.Whole(strings.TrimPrefix(s, "D"))
	if !ok || code < 10 || s[0] != 'D' {
		panic(r.Malformed("aperture block AB%s has no D code", fault.Short(s)))
	}
	r.openFrame(&frame{block: code, function: r.apertureAttributes[".AperFunction"]})
}

// stepRepeat opens X..Y..I..J.. copies, or closes them without numbers. A
// new one closes the one before it.
func (r *reader) stepRepeat(s string) {
	if n := len(r.frames); n > 0 && r.frames[n-1].block == 0 {
		r.closeFrame()
	}
	s = strings.ToUpper(strings.ReplaceAll(s, " ", ""))
	if s == "" {
		return
	}
	v, ok := lettered(s, "XYIJ")
	if !ok || v['X'] < 0 || v['Y'] < 0 || v['X'] != math.Trunc(v['X']) || v['Y'] != math.Trunc(v['Y']) {
		panic(r.Malformed("malformed step and repeat SR%s", fault.Short(s)))
	}
	nx, ny := max(1, v['X']), max(1, v['Y'])
	if nx*ny > float64(r.limits.objects) {
		panic(r.Unsupported("too large: step and repeat of %g copies", nx*ny))
	}
	dx, dy := v['I']*r.perUnit(), v['J']*r.perUnit()
	if math.Abs(dx) > 2e9 || math.Abs(dy) > 2e9 {
		panic(r.Malformed("step and repeat reaches beyond a metre"))
	}
	if nx == 1 && ny == 1 {
		return
	}
	r.openFrame(&frame{nx: int(nx), ny: int(ny), dx: int64(math.Round(dx)), dy: int64(math.Round(dy))})
}

// lettered takes apart a chain of letters with numbers.
func lettered(s, letters string) (map[byte]float64, bool) {
	out := map[byte]float64{}
	for s != "" {
		rest := strings.TrimLeft(s[1:], "0123456789+-.")
		v, ok := scan.Decimal(s[1 : len(s)-len(rest)])
		if !ok || strings.IndexByte(letters, s[0]) < 0 {
			return nil, false
		}
		out[s[0]] = v
		s = rest
	}
	return out, true
}
