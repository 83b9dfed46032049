package excellon

import (
	"regexp"
	"strings"

	"ohmward/format/internal/scan"
)

var (
	formatComment = regexp.MustCompile(`(?i)FORMAT=\{ *([0-9-]+) *: *([0-9-]+) */([^}]*)\}`)
	digitsComment = regexp.MustCompile(`(?i)FILE_FORMAT *= *([0-9]+)[:.]([0-9]+)`)
	typeComment   = regexp.MustCompile(`(?i)TYPE *= *(NON_?PLATED|PLATED)`)
	sizeComment   = regexp.MustCompile(`(?i)Holesize +([0-9]+)\.? *= *([0-9.]+)`)
)

// comment takes what some writers tell in comments.
func (r *reader) comment(s string) {
	s = strings.TrimSpace(s)
	if rest, found := strings.CutPrefix(s, "#@!"); found {
		r.attribute(strings.TrimSpace(rest))
		return
	}
	if m := formatComment.FindStringSubmatch(s); m != nil {
		r.format(m[1], m[2], strings.ToLower(m[3]))
	} else if m := digitsComment.FindStringSubmatch(s); m != nil {
		before, _ := scan.Whole(m[1])
		after, _ := scan.Whole(m[2])
		r.setDigits(before, after)
	} else if m := typeComment.FindStringSubmatch(s); m != nil {
		r.section = Plated
		if strings.HasPrefix(strings.ToUpper(m[1]), "NON") {
			r.section = Unplated
		}
	} else if m := sizeComment.FindStringSubmatch(s); m != nil {
		r.sizeHint(m[1], m[2], strings.ToUpper(s))
	}
}

// format takes {3:3/ absolute / metric / suppress leading zeros}.
func (r *reader) format(before, after, words string) {
	b, ok1 := scan.Whole(before)
	a, ok2 := scan.Whole(after)
	if ok1 && ok2 {
		r.setDigits(b, a)
	}
	if r.unit == 0 {
		switch {
		case strings.Contains(words, "metric"):
			r.unit = scan.MM
		case strings.Contains(words, "inch"):
			r.unit = scan.Inch
		}
	}
	switch {
	case strings.Contains(words, "suppress leading"):
		r.zeros = trailing
	case strings.Contains(words, "suppress trailing"):
		r.zeros = leading
	}
	if strings.Contains(words, "incremental") {
		r.incremental = true
	}
}

// sizeHint keeps a tool's size and plating told in a comment, for a table
// that does not say.
func (r *reader) sizeHint(number, size, words string) {
	n, ok1 := scan.Whole(number)
	v, ok2 := scan.Decimal(size)
	if !ok1 || !ok2 || n > maxTool {
		return
	}
	t := &tool{size: v, unit: r.unit, sized: true}
	switch {
	case strings.Contains(words, "MILS"):
		t.unit = scan.Mil
	case strings.Contains(words, "MM"):
		t.unit = scan.MM
	case strings.Contains(words, "INCH"):
		t.unit = scan.Inch
	}
	switch {
	case strings.Contains(words, "NON_PLATED"), strings.Contains(words, "NONPLATED"):
		t.plating = Unplated
	case strings.Contains(words, "PLATED"):
		t.plating = Plated
	}
	r.hints[n] = t
}

// attribute takes TF., TA. and TD attributes written as comments.
func (r *reader) attribute(s string) {
	if len(s) < 2 {
		return
	}
	fields := strings.Split(strings.TrimSuffix(s[2:], "*"), ",")
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	switch code := strings.ToUpper(s[:2]); {
	case code == "TF" && fields[0] != "" && len(r.file.Attributes) < maxAttributes:
		r.file.Attributes[fields[0]] = fields[1:]
	case code == "TA" && fields[0] == ".AperFunction":
		r.function = fields[1:]
	case code == "TD":
		r.function = nil
	}
}

// platingOf reads plating from a tool's function: some writers put Plated or
// NonPlated in front of it.
func platingOf(function []string) Plating {
	for _, f := range function {
		switch strings.ToLower(f) {
		case "plated", "pth", "viadrill", "castellateddrill":
			return Plated
		case "nonplated", "npth", "mechanicaldrill":
			return Unplated
		}
	}
	return PlatingUnknown
}
