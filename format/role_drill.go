package format

import (
	"regexp"
	"strconv"
	"strings"

	"ohmward/format/excellon"
)

var (
	unplatedName = regexp.MustCompile(` (?:npth|nonplated|non plated|unplated|not plated|no plating|npt|np) |` +
		`non ?plated`)
	platedName  = regexp.MustCompile(` (?:pth|plated|vias?|plt) |_pth|plated`)
	throughName = regexp.MustCompile(` (?:through|thru|all) `)
	numberSpan  = regexp.MustCompile(`-([1-9][0-9]?)-([1-9][0-9]?)(?:-n?p)?$`)
	version     = regexp.MustCompile(`(?i)(?:^|[^a-z])(?:v|r|rev|ver|version|issue)[-_. ]?$`)
	spanName    = regexp.MustCompile(` (front|top|f|in ?[0-9]+|inner ?[0-9]+|l ?[0-9]+|` +
		`layer ?[0-9]+)(?: cu)?(?: to)? (in ?[0-9]+|inner ?[0-9]+|l ?[0-9]+|layer ?[0-9]+|back|bottom|bot|` +
		`b)(?: cu)? `)
)

// DrillRole tells plating and span of a drill file: from its attributes, then
// from its name. Plated is PlatingUnknown where hits differ or nothing tells.
func DrillRole(name string, f *excellon.File) (Role, string) {
	r := Role{Class: Drill}
	var why []string
	if f != nil {
		r.Plated, r.From, r.To = f.Plating, f.From, f.To
		if r.Plated == excellon.PlatingUnknown {
			r.Plated = agreed(f.Hits)
		}
		if r.Plated != excellon.PlatingUnknown || r.From != 0 {
			why = append(why, "what the file says")
		}
	}
	stem := name
	if e := ending(name); e != "" {
		stem = name[:len(name)-len(e)-1]
	}
	words := spaced(stem)
	if plating := namePlating(words); plating != excellon.PlatingUnknown &&
		r.Plated == excellon.PlatingUnknown && !anyPlating(f) {
		r.Plated = plating
		why = append(why, "name")
	}
	if r.From == 0 {
		if r.From, r.To = nameSpan(words); r.From == 0 {
			r.From, r.To = bareSpan(stem)
		}
		if r.From != 0 && (len(why) == 0 || why[len(why)-1] != "name") {
			why = append(why, "name")
		}
	}
	if len(why) == 0 {
		return r, "neither attribute nor name tells plating or span"
	}
	return r, strings.Join(why, ", ")
}

func namePlating(words string) excellon.Plating {
	switch {
	case strings.Contains(words, " pth npth ") || strings.Contains(words, " npth pth "):
		return excellon.PlatingUnknown // one file for both
	case unplatedName.MatchString(words):
		return excellon.Unplated
	case platedName.MatchString(words):
		return excellon.Plated
	}
	return excellon.PlatingUnknown
}

// nameSpan reads front-in1, in1-in2, in2-back, L1-L2 and through.
func nameSpan(words string) (from, to int) {
	if m := spanName.FindStringSubmatch(words); m != nil {
		from, to = spanEnd(m[1]), spanEnd(m[2])
		if from != 0 && to != 0 && (to == Last || to > from) {
			return from, to
		}
	}
	if throughName.MatchString(words) {
		return 1, Last
	}
	return 0, 0
}

// bareSpan reads the span at the end of board-1-4 and board-1-2-np.
func bareSpan(stem string) (from, to int) {
	m := numberSpan.FindStringSubmatchIndex(stem)
	if m == nil || version.MatchString(stem[:m[0]]) || m[0] > 0 && stem[m[0]-1] >= '0' && stem[m[0]-1] <= '9' {
		return 0, 0
	}
	from, _ = strconv.Atoi(stem[m[2]:m[3]])
	to, _ = strconv.Atoi(stem[m[4]:m[5]])
	if from >= to {
		return 0, 0
	}
	return from, to
}

func spanEnd(s string) int {
	switch s {
	case "front", "top", "f":
		return 1
	case "back", "bottom", "bot", "b":
		return Last
	}
	n, err := strconv.Atoi(strings.TrimLeft(s, "abcdefghijklmnopqrstuvwxyz "))
	switch {
	case err != nil || n < 1 || n > 1000:
		return 0
	case s[0] == 'i':
		return n + 1
	}
	return n
}

// agreed is what all hits say, when they agree.
func agreed(hits []excellon.Hit) excellon.Plating {
	if len(hits) == 0 {
		return excellon.PlatingUnknown
	}
	for _, h := range hits {
		if h.Plating != hits[0].Plating {
			return excellon.PlatingUnknown
		}
	}
	return hits[0].Plating
}

func anyPlating(f *excellon.File) bool {
	if f == nil {
		return false
	}
	for _, h := range f.Hits {
		if h.Plating != excellon.PlatingUnknown {
			return true
		}
	}
	return false
}
