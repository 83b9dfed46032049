package format

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// customary are endings that tell by themselves what a file shows.
var customary = endings(map[string]string{
	"copper top": "gtl cmp top", "copper bottom": "gbl sol bot",
	"mask top": "gts stc smt tsm", "mask bottom": "gbs sts smb bsm",
	"paste top": "gtp crc spt tsp tps", "paste bottom": "gbp crs spb bsp bps",
	"legend top": "gto plc sst tsk tss", "legend bottom": "gbo pls ssb bsk bss",
	"profile": "gko gm1 gml gm oln dim mil",
	"inner 1": "gnd", "inner 2": "pwr vcc", // planes in their customary order
})

func endings(lists map[string]string) map[string]Role {
	out := map[string]Role{}
	for what, list := range lists {
		class, side, _ := strings.Cut(what, " ")
		r := map[string]Role{
			"copper": onSide(Copper, side), "mask": onSide(Mask, side), "paste": onSide(Paste, side),
			"legend": onSide(Legend, side), "profile": {Class: Profile}, "inner": inner(side),
		}[class]
		for _, e := range strings.Fields(list) {
			out[e] = r
		}
	}
	return out
}

// inner is an inner copper layer by its number among its like.
func inner(number string) Role {
	n, _ := strconv.Atoi(number)
	return Role{Class: Copper, Side: Inner, Inner: n}
}

var (
	innerEnding = regexp.MustCompile(`^(?:g|gp|in|gi|ly)([0-9]{1,2})$`)
	layerEnding = regexp.MustCompile(`^(?:g|gl|l)([0-9]{1,2})l?$`)
	plainEnding = regexp.MustCompile(`^(?:gbr|gbx|gb|ger|gerber|pho|art|gdo|fph|cam|txt|x)$`)
)

// byExtension is the role that an ending tells, Class Other where none.
func byExtension(e string) Role {
	if r, ok := customary[e]; ok {
		return r
	}
	if m := innerEnding.FindStringSubmatch(e); m != nil {
		return inner(m[1])
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
// front and one behind: capitals after a small letter or a digit begin a new
// one.
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
		gap, lower = false, unicode.IsLower(c) || unicode.IsDigit(c)
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
	{regexp.MustCompile(` (?:in|inner) ?([0-9]{1,2}) cu `), strictInner},
	{regexp.MustCompile(` (f|b) cu `), sided(Copper)},
	{regexp.MustCompile(` (f|b) (?:solder ?)?mask `), sided(Mask)},
	{regexp.MustCompile(` (f|b) paste `), sided(Paste)},
	{regexp.MustCompile(` (f|b) silk(?: ?s|screen)? `), sided(Legend)},
	{regexp.MustCompile(` (?:f|b) (?:fab|crt ?yd|courtyard|adhes\w*) `), none},
	{regexp.MustCompile(` edge ?cuts? `), only(Profile)},
	{regexp.MustCompile(`(?: (?:drl|drill|npth|pth).* map| drillmap| drill ?(?:drawing|guide|chart|legend)|` +
		` ?drawings? | fabrication| fab |assembly|assy| courtyard| crt ?yd | comments? | cmts? | margin |` +
		` adhesive| glue | dwgs? | document| notes? | pads? master| place ?ment | keep ?out|` +
		` eco ?[0-9] ?user | user ?(?:[0-9]|cmts?|dwgs?|eco))`), none},
	{regexp.MustCompile(` ([tb]) ?(?:cream|paste|stencil) `), sided(Paste)},
	{regexp.MustCompile(`(?:metal|smd|smt) ?mask (a|b) `), sidedA(Paste)},
	{regexp.MustCompile(`paste|stencil|cream|(?:metal|smd|smt) ?mask`), bySide(Paste)},
	{regexp.MustCompile(` resist (a|b) `), sidedA(Mask)},
	{regexp.MustCompile(`mask| (?:solder ?|re)stop | resist |solder ?resist| sm (?:top|bot)| (?:top|` +
		`bot\w*) sm `), bySide(Mask)},
	{regexp.MustCompile(` (?:symbol|silk) (a|b) `), sidedA(Legend)},
	{regexp.MustCompile(`silk|legend|overlay|nomenclature| ident | ssb? `), bySide(Legend)},
	{regexp.MustCompile(`out ?line|profile| edges? |board ?edge|contour|border|dimension| milling | mill |` +
		` route? | mech(?:anical)? ?(?:layer)? ?1? `), only(Profile)},
	{regexp.MustCompile(` n?pth |drill| drl | holes? | via ?fill`), only(Drill)},
	{regexp.MustCompile(` (?:cu|copper) ?(?:signal|plane|mixed|inner|in|int) ?0*([1-9][0-9]?) `), innerRole},
	{regexp.MustCompile(` (?:in|inn?er|inr|int|internal|mid|mid ?layer|inner ?layer|inner ?signal|inner ?cu|` +
		`inner ?copper|internal ?plane|inner ?plane|power ?plane|plane)[ _]?0*([1-9][0-9]?) `), innerRole},
	{regexp.MustCompile(` (?:l|layer|copper|cu|signal|sig|art|lyr|ly|gnd|pwr|vcc|etch|conductor|conductive|` +
		`cond)[ _]?(?:layer ?)?0*([1-9][0-9]?) `), guess(func(m []string) Role { return copperLayer(m[1]) })},
	{regexp.MustCompile(` (?:cu|copper) ?(top|bottom|bot|front|back) | (top|bottom|bot|front|back) ?(?:cu|` +
		`copper) `), sided(Copper)},
	{regexp.MustCompile(` (?:signal|etch|conductor) ?(top|bottom|bot|front|back) | (top|bottom|bot|front|` +
		`back) ?(?:layer|side|signal|etch|elec\w*) `), sided(Copper)},
	{regexp.MustCompile(` (?:component|comp|primary) ?side `), guess(same(customary["gtl"]))},
	{regexp.MustCompile(` (?:solder|secondary) ?side `), guess(same(customary["gbl"]))},
	{regexp.MustCompile(` (top|bottom|bot|front|back) `), guess(sided(Copper))},
	{regexp.MustCompile(` (?:gnd|ground) ?(?:plane|layer)? $`), guess(same(inner("1")))},
	{regexp.MustCompile(` (?:pwr|power|vcc) ?(?:plane|layer)? $`), guess(same(inner("2")))},
	// Numbered names: what it is, the layers, and the number of its kind.
	{regexp.MustCompile(` smd[0-9]{2,5}(22|23) `), numbered(Paste, "23")},
	{regexp.MustCompile(` sm[0-9]{2,5}(21|28) `), numbered(Mask, "21")},
	{regexp.MustCompile(` ss[tb][0-9]{2,5}(26|29) `), numbered(Legend, "26")},
	{regexp.MustCompile(` (smt|smb|tsm|bsm|spt|spb|tsp|bsp|sst|ssb|tsk|bsk|tss|bss) `),
		func(m []string) Role { return customary[m[1]] }},
}

func none([]string) Role { return Role{} }

func same(r Role) func([]string) Role { return func([]string) Role { return r } }

// guess marks the roles made as told by a bare word only.
func guess(make func([]string) Role) func([]string) Role {
	return func(m []string) Role {
		r := make(m)
		r.Guess = true
		return r
	}
}

func only(c Class) func([]string) Role { return func([]string) Role { return Role{Class: c} } }

// strictInner is for names that always count the inner layers from 1.
func strictInner(m []string) Role {
	r := inner(m[1])
	if r.Inner > 0 {
		r.Layer = r.Inner + 1
	}
	return r
}

// innerRole is for names that count inner layers from 1 or all layers: only
// the whole set tells which.
func innerRole(m []string) Role { return inner(m[1]) }

// sided makes roles whose side stands in the pattern itself.
func sided(c Class) func([]string) Role {
	return func(m []string) Role { return onSide(c, strings.Join(m[1:], "")) }
}

// sidedA is sided for names that call the sides A and B.
func sidedA(c Class) func([]string) Role {
	return func(m []string) Role { return onSide(c, map[string]string{"a": "top", "b": "bottom"}[m[1]]) }
}

// numbered makes roles whose side is told by a number.
func numbered(c Class, top string) func([]string) Role {
	return func(m []string) Role {
		if m[1] == top {
			return onSide(c, "top")
		}
		return onSide(c, "bottom")
	}
}

func onSide(c Class, side string) Role {
	r := Role{Class: c}
	switch side {
	case "f", "t", "top", "front":
		r.Side = Top
	case "b", "bot", "bottom", "back":
		r.Side = Bottom
	}
	if c == Copper {
		r.Layer = map[Side]int{Top: 1, Bottom: Last}[r.Side]
	}
	return r
}

var sideWord = regexp.MustCompile(`(?: (top|bottom|bot|front|back|component|comp|primary|secondary)|(top|` +
	`bottom|bot|front|back) | ([tb]) | (f|b) )`)

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
	if fromEnding.Class != Other || plainEnding.MatchString(e) {
		stem = name[:len(name)-len(e)-1]
	}
	words := spaced(stem)
	if fromEnding.Class != Other && fromEnding.Class != Profile && fromEnding.Side != Inner {
		return fromEnding, "ending ." + e
	}
	for _, p := range patterns {
		all := p.re.FindAllStringSubmatch(words, -1)
		if len(all) == 0 {
			continue
		}
		m := all[len(all)-1] // a project's name stands first
		why := "its name says " + strconv.Quote(strings.TrimSpace(m[0]))
		m[0] = words
		r := p.make(m)
		if fromEnding.Class != Other && r.Class != fromEnding.Class {
			break // the ending tells more than a word in a project's name
		}
		return r, why
	}
	if fromEnding.Class != Other {
		return fromEnding, "ending ." + e
	}
	return Role{}, "neither attribute nor name tells"
}
