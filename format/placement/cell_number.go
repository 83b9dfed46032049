package placement

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Nanometres in the units of such tables.
const (
	nmPerMM   = 1e6
	nmPerMil  = 25_400
	nmPerInch = 25.4e6
)

var unitEndings = strings.Fields("mm mils mil thou inches inch in um")

// unitOf is the size of a unit in nanometres, 0 where it is none.
func unitOf(s string) float64 {
	switch strings.Trim(strings.ToLower(s), " .:") {
	case "mm", "millimeter", "millimeters", "millimetre", "millimetres", "metric":
		return nmPerMM
	case "mil", "mils", "thou", "th":
		return nmPerMil
	case "in", "inch", "inches", `"`, "imperial":
		return nmPerInch
	case "um", "µm", "μm", "micron", "microns":
		return 1000
	}
	return 0
}

var quantity = regexp.MustCompile(`^([-+−]?[0-9]*[.,]?[0-9]*(?:[.,][0-9]+)?(?:[eE][-+]?[0-9]{1,3})?)` +
	`\s*([a-zA-Zµμ"]*)$`)

// length reads a coordinate, with the unit written behind it (0: none).
func length(s string) (v, unit float64, ok bool) {
	s = strings.TrimSpace(s)
	if len(s) > 60 {
		return 0, 0, false
	}
	m := quantity.FindStringSubmatch(s)
	if m == nil {
		return 0, 0, false
	}
	if m[2] != "" {
		if unit = unitOf(m[2]); unit == 0 {
			return 0, 0, false
		}
	}
	v, ok = decimal(m[1])
	return v, unit, ok
}

// decimal reads a number with a decimal point or comma; of both, the last is
// the decimal one and the others part thousands.
func decimal(s string) (float64, bool) {
	s = strings.Replace(s, "−", "-", 1)
	point, comma := strings.LastIndexByte(s, '.'), strings.LastIndexByte(s, ',')
	switch {
	case comma > point:
		s = strings.ReplaceAll(s[:comma], ".", "") + "." + s[comma+1:]
		if strings.IndexByte(s, ',') >= 0 {
			return 0, false
		}
	case comma >= 0:
		s = strings.ReplaceAll(s, ",", "")
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}

// angle reads degrees: "90", "90.0°", "270 deg", "R90", "MR180". The M means
// that the part is mirrored.
func angle(s string) (degrees float64, mirrored, ok bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	s, mirrored = strings.CutPrefix(s, "m")
	s = strings.TrimPrefix(s, "r")
	for _, u := range []string{"degrees", "deg", "°", "d"} {
		s = strings.TrimSuffix(s, u)
	}
	v, ok := decimal(strings.TrimSpace(s))
	if !ok || math.Abs(v) > 1e6 {
		return 0, false, false
	}
	if v = math.Mod(v, 360); v < 0 {
		v += 360
	}
	if v == 360 || v == 0 { // a tiny negative angle; a negative zero
		v = 0
	}
	return v, mirrored, true
}

// sideWords are the words for the two sides that do not begin with an English
// one (common practice, no source), without accents and signs.
var sideWords = func() map[string]Side {
	out := map[string]Side{}
	for _, w := range strings.Fields("t f fcu ts tl cs 1 l1 comp oben oberseite vorderseite bestuckungsseite " +
		"haut dessus avant superior superiore carasuperior ladosuperior arriba delante boven gora horni upper " +
		"obverse 顶层 顶面 正面 表面 部品面 верх верхний верхняя") {
		out[w] = Top
	}
	for _, w := range strings.Fields("b bcu bs bl ss 2 16 l2 sold unten unterseite ruckseite lotseite bas " +
		"dessous arriere inferior inferiore carainferior ladoinferior abajo detras onder dol dolni lower reverse " +
		"底层 底面 反面 背面 裏面 半田面 низ нижний нижняя") {
		out[w] = Bottom
	}
	return out
}()

// sideOf reads a side however spelled; ok is false where it is none.
func sideOf(s string) (side Side, ok bool) {
	switch w := unaccented.Replace(letters(strings.ToLower(s))); {
	case w == "":
		return SideUnknown, true
	case sideWords[w] != SideUnknown:
		return sideWords[w], true
	case strings.HasPrefix(w, "top"), strings.HasPrefix(w, "front"), strings.HasPrefix(w, "component"),
		strings.HasPrefix(w, "primary"), strings.HasPrefix(w, "oben"):
		return Top, true
	case strings.HasPrefix(w, "bot"), strings.HasPrefix(w, "back"), strings.HasPrefix(w, "solder"),
		strings.HasPrefix(w, "secondary"), strings.HasPrefix(w, "unten"):
		return Bottom, true
	}
	return SideUnknown, false
}

// nay are words for no, without accents and signs.
var nay = map[string]bool{}

func init() {
	for _, w := range strings.Fields("0 no n false f none na off nein non nao nie ne нет 否 いいえ") {
		nay[w] = true
	}
	nay[""] = true
}

// yes reads a mark: anything but an empty cell or a no.
func yes(s string) bool { return !nay[unaccented.Replace(letters(strings.ToLower(s)))] }

// fittedWord and unfittedWord read what stands in a column about fitting,
// whichever way its title asks.
var (
	unfittedWord = regexp.MustCompile(`(?i)^(dn[pfismc]|n[fpm]|do ?not.*|not .*|no[t ]?(fit|stuff|pop|load|` +
		`mount|place).*|un(populated|fitted|placed)|exclude.*|omit.*|nicht.*|non monte)$`)
	fittedWord = regexp.MustCompile(`(?i)^(fit(ted)?|populated?|placed?|mount(ed)?|stuff(ed)?|install(ed)?|` +
		`assembled?|bestuckt|included?|in bom)$`)
)

// unfitted tells from a cell whether the part is left out; asked is whether
// the column's title asks for parts left out.
func unfitted(cell string, asked bool) bool {
	cell = unaccented.Replace(strings.ToLower(strings.TrimSpace(cell)))
	plain := strings.Trim(cell, ".()[] ")
	switch {
	case plain == "":
		return false
	case unfittedWord.MatchString(strings.ReplaceAll(strings.ReplaceAll(plain, "-", " "), ".", "")):
		return true
	case fittedWord.MatchString(plain):
		return false
	}
	return yes(cell) == asked
}

// leftOutMark is a mark of a part left out that means the same in any column:
// of notes, of variants, of mounting.
var leftOutMark = regexp.MustCompile(`^(dn[pfism]|do ?not ?(fit|place|populate|install|stuff|mount)(ed)?|` +
	`not ?(to be )?(fit|fitted|placed|populated|mounted|installed|stuffed|assembled)|` +
	`no ?(stuff|fit|pop|load|mount)|` +
	`un(populated|fitted|placed|mounted)|excluded?( from bom)?|nicht best(ue|u)ck(t|en)|non monte)$`)

var aroundMarks = regexp.MustCompile(`[,;:/|()\[\]]`)

// marked tells whether a cell, or a part of it between commas, says that the
// part is left out.
func marked(cells []string) bool {
	for _, cell := range cells {
		for _, s := range aroundMarks.Split(unaccented.Replace(strings.ToLower(cell)), -1) {
			if leftOutMark.MatchString(strings.TrimSpace(strings.ReplaceAll(s, "-", " "))) {
				return true
			}
		}
	}
	return false
}
