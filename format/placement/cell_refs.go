package placement

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// plausible tells whether a word can name a part: a letter in it, none but
// letters, digits and a few signs.
func plausible(s string) bool {
	if s == "" || len(s) > 64 || s[0] == '#' {
		return false
	}
	letter := false
	for _, c := range s {
		switch {
		case unicode.IsLetter(c):
			letter = true
		case unicode.IsDigit(c), strings.ContainsRune("_.$+-/#*?~:@&'", c):
		default:
			return false
		}
	}
	return letter
}

// numbered is a part as nearly all are named: letters, then a number.
var numbered = regexp.MustCompile(`^[\p{L}_$]{1,12}[-_.]?[0-9]+[\p{L}\p{N}_.\-/]{0,12}$`)

var (
	dashes = regexp.MustCompile(`\s*(–|—|…|\.{2,}|~|〜|\s-\s|\sto\s|\sthru\s|\sthrough\s|\sbis\s)\s*`)
	series = regexp.MustCompile(`^([\p{L}_$]+)([0-9]{1,9})-([\p{L}_$]*)([0-9]{1,9})$`)
)

// expand gives the parts a cell names: "C1, C2, C5-C9". A range with a bare
// second number ("R1-4") may be the name of one part, so it is taken only
// where the quantity (0: not said) asks for it. rest are words that name none.
func expand(cell string, quantity int) (refs, rest []string) {
	refs, rest = expandWith(cell, false)
	if quantity > len(refs) {
		if more, r := expandWith(cell, true); len(more) == quantity {
			return more, r
		}
	}
	return refs, rest
}

func expandWith(cell string, bare bool) (refs, rest []string) {
	if strings.HasPrefix(cell, "#") {
		return nil, []string{cell}
	}
	cell = dashes.ReplaceAllString(cell, "-")
	parts := func(c rune) bool { return strings.ContainsRune(",;，、；", c) || unicode.IsSpace(c) }
	for _, w := range strings.FieldsFunc(cell, parts) {
		switch many := ranged(w, bare); {
		case many != nil:
			refs = append(refs, many...)
		case slashed(w) != nil:
			refs = append(refs, slashed(w)...)
		case plausible(w):
			refs = append(refs, w)
		default:
			rest = append(rest, w)
		}
	}
	if len(refs)+len(rest) > 1 && !slices.ContainsFunc(refs, numbered.MatchString) { // prose
		return nil, append(refs, rest...)
	}
	return refs, rest
}

// slashed parts "R1/R2"; nil where not all are numbered parts.
func slashed(w string) []string {
	all := strings.Split(w, "/")
	if len(all) < 2 || slices.ContainsFunc(all, func(s string) bool { return !plainName.MatchString(s) }) {
		return nil
	}
	return all
}

// plainName is letters and a number, nothing else.
var plainName = regexp.MustCompile(`^\p{L}{1,4}[0-9]{1,5}$`)

// ranged opens "C5-C9"; nil where the word is none.
func ranged(w string, bare bool) (refs []string) {
	m := series.FindStringSubmatch(w)
	if m == nil || m[3] != m[1] && (m[3] != "" || !bare) {
		return nil
	}
	from, _ := strconv.Atoi(m[2])
	to, _ := strconv.Atoi(m[4])
	if to <= from || to-from >= maxRange {
		return nil
	}
	width := 0
	if m[2][0] == '0' {
		width = len(m[2])
	}
	for n := from; n <= to; n++ {
		d := strconv.Itoa(n)
		if len(d) < width {
			d = strings.Repeat("0", width-len(d)) + d
		}
		refs = append(refs, m[1]+d)
	}
	return refs
}
