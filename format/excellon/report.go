package excellon

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// Size is a tool's diameter and plating as a report beside the drill file
// tells them.
type Size struct {
	Diameter int64   // nanometres
	Plating  Plating // PlatingUnknown where the report does not say
}

var (
	reportTool = regexp.MustCompile(`(?i)^\W*(?:tool\s*|t)0*([1-9][0-9]{0,3})\b[\s:=|,;]*(.*)$`)
	reportSize = regexp.MustCompile(`(?i)(?:^|[^0-9.a-z])([0-9]*\.?[0-9]+)\s*(mm|millimet\w+|mils?|thou|` +
		`inch(?:es)?|in\b|"|um|µm)?`)
	reportUnits = regexp.MustCompile(`(?i)\b(mm|millimet\w+|metric|mils?|thou|inch(?:es)?|imperial)\b`)
	reportBare  = regexp.MustCompile(`(?i)\b(?:non|not|un)[- _]?plated|\bnpth\b`)
	reportThick = regexp.MustCompile(`(?i)\bplated|\bpth\b`)
)

// ReadReport finds tool sizes in a report that comes beside a drill file: lines
// that begin with a tool's number and give its size. A size without unit is in
// the unit that the report names above it. Tools told twice with different
// sizes are left out. What is no such report gives an empty map; the error is
// the stream's.
func ReadReport(in io.Reader) (map[int]Size, error) {
	data, err := io.ReadAll(io.LimitReader(in, maxReport))
	if err != nil {
		return nil, fmt.Errorf("excellon: reading a report: %w", err)
	}
	out, torn := map[int]Size{}, map[int]bool{}
	unit := int64(0)
	for _, s := range trimmed(data) {
		m := reportTool.FindStringSubmatch(s)
		if m == nil {
			if u := reportUnits.FindString(s); u != "" {
				unit = reportUnit(u)
			}
			continue
		}
		size := firstSize(m[2], unit)
		n, _ := scan.Whole(m[1])
		if size == 0 || n > maxTool {
			continue
		}
		t := Size{Diameter: size}
		switch {
		case reportBare.MatchString(m[2]):
			t.Plating = Unplated
		case reportThick.MatchString(m[2]):
			t.Plating = Plated
		}
		if was, twice := out[n]; twice && was.Diameter != t.Diameter {
			torn[n] = true
		}
		out[n] = t
	}
	for n := range torn {
		delete(out, n)
	}
	return out, nil
}

// firstSize is the first number of a line that has a unit, or the first one
// with a point, in the unit of the report. A size is no wider than 25 mm.
func firstSize(s string, unit int64) int64 {
	bare := int64(0)
	for _, m := range reportSize.FindAllStringSubmatch(s, 8) {
		v, ok := scan.Decimal(m[1])
		if !ok || v <= 0 || v > 1e5 {
			continue
		}
		u := unit
		if m[2] != "" {
			u = reportUnit(m[2])
		}
		nm := int64(v*float64(u) + 0.5)
		switch {
		case nm > 25*scan.MM || nm < 1000:
		case m[2] != "":
			return nm
		case bare == 0 && strings.Contains(m[1], "."):
			bare = nm
		}
	}
	return bare
}

func reportUnit(s string) int64 {
	switch s = strings.ToLower(s); {
	case strings.HasPrefix(s, "mil") && !strings.HasPrefix(s, "milli"), s == "thou":
		return scan.Mil
	case strings.HasPrefix(s, "in"), s == `"`, s == "imperial":
		return scan.Inch
	case strings.HasSuffix(s, "m") && s != "mm":
		return scan.Micrometre
	}
	return scan.MM
}

// Sizeless lists the tools whose hits have no diameter, in rising order.
func (f *File) Sizeless() []int {
	var out []int
	seen := map[int]bool{}
	for _, h := range f.Hits {
		if h.Diameter == 0 && !seen[h.Tool] {
			seen[h.Tool] = true
			out = append(out, h.Tool)
		}
	}
	slices.Sort(out)
	return out
}

// Resize gives hits without diameter the size that a report tells, and its
// plating where the file says none; the warnings that tools lack a size go.
func (f *File) Resize(sizes map[int]Size) {
	for i := range f.Hits {
		h := &f.Hits[i]
		t, known := sizes[h.Tool]
		if h.Diameter != 0 || !known {
			continue
		}
		h.Diameter = t.Diameter
		if h.Plating == PlatingUnknown {
			h.Plating = t.Plating
		}
	}
	f.Warnings = slices.DeleteFunc(f.Warnings, func(w fault.Warning) bool {
		for n := range sizes {
			if w.What == sizeless(n) {
				return true
			}
		}
		return false
	})
}
