package placement

import (
	"path"
	"slices"
	"strings"
)

// Lists without titles: some programs write a part a line, its name, place
// and turn, and leave the columns to be known.
const (
	sampleLines = 200 // that are looked at
	fewestParts = 3
	mostOdd     = 0.1 // of the lines may not fit
)

// bareLists are endings of files that hold nothing but such a list.
var bareLists = []string{".mnt", ".mnb", ".xy", ".xyr", ".xyrs", ".pos", ".pnp", ".ctr", ".centroid"}

// untitled guesses the columns of a list without titles. Where the file's
// ending does not tell that it is one, parts of two kinds are asked for: the
// tools of a drill report are numbered as well.
func untitled(lines []string, name string) (split layout, h heading, ok bool) {
	known := slices.Contains(bareLists, strings.ToLower(path.Ext(name)))
	for _, comma := range []rune{'\t', ';', ',', '|', 0} {
		sample := sampled(lines, comma)
		if len(sample) < fewestParts {
			continue
		}
		h, ok = guessed(sample)
		if ok && (known || h.has(RoleRotation) && kinds(sample, h.column[RoleRef]) > 1) {
			return layout{comma: comma}, h, true
		}
	}
	return layout{}, heading{}, false
}

// sampled splits the first lines that are neither blank nor comments.
func sampled(lines []string, comma rune) (out [][]string) {
	for _, l := range lines {
		l = strings.TrimSpace(l)
		if l == "" || len(l) > maxCell || strings.ContainsRune("#*;/", rune(l[0])) {
			continue
		}
		c := strings.Fields(l)
		if comma != 0 {
			c = cells(l, comma)
		}
		if out = append(out, c); len(out) == sampleLines {
			break
		}
	}
	return out
}

// guessed takes the usual number of cells in a line and tells, of each, what
// it holds in all lines but a few odd ones.
func guessed(sample [][]string) (heading, bool) {
	n := commonest(sample)
	h := readHeading(make([]string, n))
	if n < 4 || n > maxColumns {
		return h, false
	}
	all := func(column int, is func(string) bool) bool {
		odd := 0
		for _, c := range sample {
			if len(c) != n || !is(c[column]) {
				odd++
			}
		}
		return float64(odd) <= mostOdd*float64(len(sample))
	}
	for i := range n {
		switch {
		case !h.has(RoleRef) && all(i, numbered.MatchString):
			h.column[RoleRef] = i
		case !h.has(RoleX) && i+1 < n && all(i, isLength) && all(i+1, isLength):
			h.column[RoleX], h.column[RoleY] = i, i+1
		case i == h.column[RoleY]:
		case h.has(RoleY) && !h.has(RoleRotation) && all(i, isAngle):
			h.column[RoleRotation] = i
		case !h.has(RoleSide) && all(i, isSide):
			h.column[RoleSide] = i
		case h.has(RoleRef) && !h.has(RoleValue):
			h.column[RoleValue] = i
		case h.has(RoleValue) && !h.has(RolePackage):
			h.column[RolePackage] = i
		}
	}
	return h, h.has(RoleRef) && h.places()
}

// commonest is the commonest number of cells.
func commonest(sample [][]string) int {
	count := map[int]int{}
	best := 0
	for _, c := range sample {
		count[len(c)]++
		if n := len(c); count[n] > count[best] || count[n] == count[best] && n > best {
			best = n
		}
	}
	return best
}

// kinds counts the letters that parts' names begin with: R, C, U …
func kinds(sample [][]string, ref int) int {
	found := map[string]bool{}
	for _, c := range sample {
		if ref < len(c) {
			found[strings.TrimRight(c[ref], "0123456789")] = true
		}
	}
	return len(found)
}

func isLength(s string) bool {
	_, _, ok := length(s)
	return ok
}

func isAngle(s string) bool {
	_, _, ok := angle(s)
	return ok
}

func isSide(s string) bool {
	side, ok := sideOf(s)
	return ok && side != SideUnknown
}
