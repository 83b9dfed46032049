package format

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// customary are endings that tell by themselves what a file shows.
var customary = map[string]Role{
	"gtl": {Class: Copper, Side: Top, Layer: 1}, "gbl": {Class: Copper, Side: Bottom, Layer: Last},
	"cmp": {Class: Copper, Side: Top, Layer: 1}, "sol": {Class: Copper, Side: Bottom, Layer: Last},
	"top": {Class: Copper, Side: Top, Layer: 1}, "bot": {Class: Copper, Side: Bottom, Layer: Last},
	"gts": {Class: Mask, Side: Top}, "gbs": {Class: Mask, Side: Bottom},
	"stc": {Class: Mask, Side: Top}, "sts": {Class: Mask, Side: Bottom},
	"smt": {Class: Mask, Side: Top}, "smb": {Class: Mask, Side: Bottom},
	"gtp": {Class: Paste, Side: Top}, "gbp": {Class: Paste, Side: Bottom},
	"crc": {Class: Paste, Side: Top}, "crs": {Class: Paste, Side: Bottom},
	"spt": {Class: Paste, Side: Top}, "spb": {Class: Paste, Side: Bottom},
	"gto": {Class: Legend, Side: Top}, "gbo": {Class: Legend, Side: Bottom},
	"plc": {Class: Legend, Side: Top}, "pls": {Class: Legend, Side: Bottom},
	"sst": {Class: Legend, Side: Top}, "ssb": {Class: Legend, Side: Bottom},
	"gko": {Class: Profile}, "gm1": {Class: Profile}, "gml": {Class: Profile},
	"gm": {Class: Profile}, "oln": {Class: Profile}, "dim": {Class: Profile},
}

var (
	innerEnding = regexp.MustCompile(`^(?:g|gp|in|gi)([0-9]{1,2})$`)
	layerEnding = regexp.MustCompile(`^(?:g|gl|l)([0-9]{1,2})l?$`)
)

// byExtension is the role that an ending tells, Class Other where none.
func byExtension(e string) Role {
	if r, ok := customary[e]; ok {
		return r
	}
	if m := innerEnding.FindStringSubmatch(e); m != nil {
		n, _ := strconv.Atoi(m[1])
		return Role{Class: Copper, Side: Inner, Inner: n}
	}
	if m := layerEnding.FindStringSubmatch(e); m != nil {
		return copperLayer(m[1])
	}
	return Role{}
}

func copperLayer(digits string) Role {
	n, _ := strconv.Atoi(digits)
	switch n {
	case 0:
		return Role{}
	case 1:
		return Role{Class: Copper, Side: Top, Layer: 1}
	}
	return Role{Class: Copper, Layer: n}
}

// spaced gives a name's words in lower case between single spaces, one in
// front and one behind: capitals inside a word begin a new one.
func spaced(name string) string {
	if i := strings.LastIndexAny(name, `/\`); i >= 0 {
		name = name[i+1:]
	}
	var b strings.Builder
	b.WriteByte(' ')
	gap, lower := true, false
	for _, c := range name {
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) {
			if !gap {
				b.WriteByte(' ')
			}
			gap, lower = true, false
			continue
		}
		if unicode.IsUpper(c) && lower {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(c))
		gap, lower = false, unicode.IsLower(c)
	}
	if !gap {
		b.WriteByte(' ')
	}
	return b.String()
}

// patterns are tried in order on a name's words. A project's own name may
// hold any of these words too, so the narrow patterns stand first.
var patterns = []struct {
	re   *regexp.Regexp
	make func(m []string) Role
}{
	{regexp.MustCompile(` (?:in|inner) ?([0-9]{1,2}) cu `), innerRole},
	{regexp.MustCompile(` (f|b) cu `), sided(Copper)},
	{regexp.MustCompile(` (f|b) (?:solder ?)?mask `), sided(Mask)},
	{regexp.MustCompile(` (f|b) paste `), sided(Paste)},
	{regexp.MustCompile(` (f|b) silk(?: ?s|screen)? `), sided(Legend)},
	{regexp.MustCompile(` (?:f|b) (?:fab|crt ?yd|courtyard|adhes\w*) `), none},
	{regexp.MustCompile(` edge ?cuts? `), only(Profile)},
	{regexp.MustCompile(`(?: (?:drl|drill|npth|pth).* map| drillmap| drill ?(?:drawing|guide)| ?drawings? | fabrication| fab | assembly| assy | courtyard| crt ?yd | comments? | cmts | margin | adhesive| glue | dwgs | document)`), none},
	{regexp.MustCompile(`paste|stencil| cream`), bySide(Paste)},
	{regexp.MustCompile(`mask|solder ?resist| sm (?:top|bot)| (?:top|bot\w*) sm `), bySide(Mask)},
	{regexp.MustCompile(`silk|legend|overlay|nomenclature| ssb? `), bySide(Legend)},
	{regexp.MustCompile(`outline|profile| edges? |board ?edge|contour|border|dimension| milling | mill `), only(Profile)},
	{regexp.MustCompile(` n?pth |drill| drl | holes? | via ?fill`), only(Drill)},
	{regexp.MustCompile(` (?:in|inn?er|inr|int|internal|mid|mid ?layer|inner ?layer|internal ?plane|inner ?plane)[ _]?([0-9]{1,2}) `), innerRole},
	{regexp.MustCompile(` (?:l|layer|copper|cu|signal|sig|art|lyr|ly)[ _]?0*([1-9][0-9]?) `), func(m []string) Role { return copperLayer(m[1]) }},
	{regexp.MustCompile(` (?:cu|copper) ?(top|bottom|bot|front|back) | (top|bottom|bot|front|back) ?(?:cu|copper|layer|side|signal|etch|elec\w*) `), sided(Copper)},
	{regexp.MustCompile(` (?:component|comp|primary) side `), func([]string) Role { return customary["gtl"] }},
	{regexp.MustCompile(` (?:solder|secondary) side `), func([]string) Role { return customary["gbl"] }},
	{regexp.MustCompile(` (top|bottom|bot|front|back) `), sided(Copper)},
}

func none([]string) Role { return Role{} }

func only(c Class) func([]string) Role { return func([]string) Role { return Role{Class: c} } }

func innerRole(m []string) Role {
	n, _ := strconv.Atoi(m[1])
	if n < 1 {
		return Role{Class: Copper, Side: Inner}
	}
	return Role{Class: Copper, Side: Inner, Layer: n + 1, Inner: n}
}

// sided makes roles whose side stands in the pattern itself.
func sided(c Class) func([]string) Role {
	return func(m []string) Role { return onSide(c, strings.Join(m[1:], "")) }
}

func onSide(c Class, side string) Role {
	r := Role{Class: c}
	switch side {
	case "f", "top", "front":
		r.Side = Top
	case "b", "bot", "bottom", "back":
		r.Side = Bottom
	}
	if c == Copper {
		r.Layer = map[Side]int{Top: 1, Bottom: Last}[r.Side]
	}
	return r
}

var sideWord = regexp.MustCompile(`(?: (top|bottom|bot|front|back|component|comp|primary|secondary)|(top|bottom|bot|front|back) | ([tb]) | (f|b) )`)

// bySide makes roles whose side stands anywhere in the name; the last word
// that tells counts, since project names come first.
func bySide(c Class) func([]string) Role {
	return func(m []string) Role {
		found := sideWord.FindAllString(m[0], -1)
		if len(found) == 0 {
			return Role{Class: c}
		}
		switch w := strings.TrimSpace(found[len(found)-1]); w {
		case "top", "front", "component", "comp", "primary", "t", "f":
			return Role{Class: c, Side: Top}
		default:
			return Role{Class: c, Side: Bottom}
		}
	}
}

// byName tells a role from customary endings, then from the words of a name.
func byName(name string) (Role, string) {
	e := ending(name)
	fromEnding := byExtension(e)
	stem := name
	if fromEnding.Class != Other || e == "gbr" || e == "ger" || e == "pho" || e == "art" || e == "txt" {
		stem = name[:len(name)-len(e)-1]
	}
	words := spaced(stem)
	if fromEnding.Class != Other && fromEnding.Class != Profile && fromEnding.Side != Inner {
		return fromEnding, "ending ." + e
	}
	for _, p := range patterns {
		m := p.re.FindStringSubmatch(words)
		if m == nil {
			continue
		}
		m[0] = words
		r := p.make(m)
		if fromEnding.Class != Other && r.Class != fromEnding.Class {
			break // the ending tells more than a word in a project's name
		}
		return r, "name"
	}
	if fromEnding.Class != Other {
		return fromEnding, "ending ." + e
	}
	return Role{}, "neither attribute nor name tells"
}
