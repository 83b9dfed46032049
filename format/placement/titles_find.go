package placement

import (
	"regexp"
	"slices"
	"strings"
)

// layout is how the cells of a table stand apart.
type layout struct {
	comma  rune  // 0: by blanks
	starts []int // by blanks: where the titles begin
}

// titleLines is how far down the titles are looked for.
const titleLines = 300

var gaps = regexp.MustCompile(`\s{2,}|\t`)

// findHeading finds the line (0-based) of the titles and the layout: those
// that explain most columns.
func findHeading(lines []string) (at int, split layout, h heading, ok bool) {
	if rest, given := strings.CutPrefix(strings.ToLower(strings.TrimSpace(lines[0])), "sep="); given &&
		len(rest) <= 4 {
		comma := '\t'
		for _, c := range rest {
			comma = c
			break
		}
		if comma < 0x80 && strings.ContainsRune(",;|:\t^~", comma) {
			at, h, ok = scanHeading(lines, comma)
			return at, layout{comma: comma}, h, ok
		}
	}
	for _, comma := range []rune{'\t', ';', ',', '|', '!', 0} {
		i, found, good := scanHeading(lines, comma)
		if good && (!ok || found.known > h.known) {
			at, split, h, ok = i, layout{comma: comma}, found, true
		}
	}
	return at, split, h, ok
}

func scanHeading(lines []string, comma rune) (at int, best heading, ok bool) {
	for i, line := range lines[:min(len(lines), titleLines)] {
		if len(line) > maxCell || comma == '|' && strings.HasPrefix(strings.TrimSpace(line), "|") {
			continue // a table within a text is for people
		}
		h := readHeading(titleCells(line, comma))
		if !h.parts() || comma == 0 && !h.places() && h.known < 4 {
			continue
		}
		if !ok || h.known > best.known {
			at, best, ok = i, h, true
		}
	}
	return at, best, ok
}

func titleCells(line string, comma rune) []string {
	if comma != 0 { // marks of a comment, but not the commas of blank titles
		return cells(strings.TrimLeft(line, strings.ReplaceAll("#*!; ", string(comma), "")), comma)
	}
	line = strings.TrimSpace(strings.TrimLeft(line, "#*!; "))
	if wide := gaps.Split(line, -1); len(wide) > 2 && len(wide) <= maxColumns {
		var out []string
		for _, w := range wide {
			out = append(out, apart(w)...)
		}
		return out
	}
	return words(line)
}

// apart parts two titles with a single blank between, where each is known
// and both together are not.
func apart(title string) []string {
	if m, _ := understand(title); m.role == Unused && strings.Contains(title, " ") {
		all := words(title)
		if !slices.ContainsFunc(all, func(w string) bool { m, _ := understand(w); return m.role == Unused }) {
			return all
		}
	}
	return []string{title}
}

// words parts titles at every blank, but keeps those of two words together:
// "Mid X" is one title, "Ref X" two.
func words(line string) (out []string) {
	all := strings.Fields(line)
	if len(all) > maxColumns {
		return nil
	}
	for i := 0; i < len(all); i++ {
		if i+1 < len(all) {
			first, _ := understand(all[i])
			second, _ := understand(all[i+1])
			both, _ := understand(all[i] + " " + all[i+1])
			if both.role != Unused && (first.role == Unused || second.role == Unused) {
				out = append(out, all[i]+" "+all[i+1])
				i++
				continue
			}
		}
		out = append(out, all[i])
	}
	return out
}

// cells parts one line at its commas, but not at those between quotes. An open
// quote ends with the line.
func cells(line string, comma rune) (out []string) {
	quoted, from := false, 0
	for i, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case c == comma && !quoted:
			out = append(out, bare(line[from:i]))
			from = i + len(string(c))
		}
	}
	return append(out, bare(line[from:]))
}

// bare takes blanks and quotes from a cell.
func bare(s string) string {
	s = strings.TrimSpace(s)
	if in, ok := strings.CutPrefix(s, `"`); ok {
		s = strings.ReplaceAll(strings.TrimSuffix(in, `"`), `""`, `"`)
	}
	return strings.TrimSpace(s)
}

// starts gives the columns (in bytes) in which the titles of a line begin.
func starts(line string, titles []string) []int {
	out, from := make([]int, 0, len(titles)), 0
	for _, t := range titles {
		i := strings.Index(line[from:], t)
		if i < 0 {
			return nil
		}
		out = append(out, from+i)
		from += i + len(t)
	}
	if len(out) > 0 {
		out[0] = 0
	}
	return out
}

// under tells whether the cells of a line stand under their titles: a blank
// before every start. Numbers set to the right do not.
func under(line string, at []int) bool {
	for _, s := range at[1:] {
		if s < len(line) && line[s-1] != ' ' {
			return false
		}
	}
	return true
}

// slice cuts a line at the starts.
func slice(line string, at []int) []string {
	out := make([]string, len(at))
	for i, s := range at {
		if s >= len(line) {
			break
		}
		e := len(line)
		if i+1 < len(at) {
			e = min(e, at[i+1])
		}
		out[i] = strings.TrimSpace(line[s:e])
	}
	return out
}
