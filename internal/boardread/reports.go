package boardread

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"

	"ohmward/format/excellon"
)

// reportEndings are the endings of reports of drill tools.
var reportEndings = map[string]bool{
	".txt": true, ".drr": true, ".dri": true, ".rpt": true, ".rep": true, ".tol": true, ".lst": true,
	".log": true, ".tools": true,
}

// readReport reads a report of drill tools, if the file is one.
func (s *source) readReport() bool {
	if !reportEndings[strings.ToLower(path.Ext(s.path))] {
		return false
	}
	sizes, err := excellon.ReadReport(bytes.NewReader(s.data))
	if err != nil || len(sizes) == 0 {
		return false
	}
	s.ignore("sizes of drill tools: the drill files tell their own")
	s.sizes, s.names = sizes, strings.ToLower(string(s.data[:min(len(s.data), headSize)]))
	return true
}

// toolSizes gives drill files whose tools have no size those of a report
// beside them: one that names the file or bears its name, else the only one
// that has all its tools.
func (a *assembly) toolSizes() {
	for _, s := range a.of(useDrill) {
		if s.drill == nil || len(s.drill.Sizeless()) == 0 {
			continue
		}
		var fit []*source
		named := -1
		for _, r := range a.set {
			if !r.hasSizes(s.drill.Sizeless()) || path.Dir(r.path) != path.Dir(s.path) {
				continue
			}
			if strings.Contains(r.names, strings.ToLower(path.Base(s.path))) ||
				strings.EqualFold(stem(r.path), stem(s.path)) {
				named = len(fit)
			}
			fit = append(fit, r)
		}
		switch {
		case named >= 0:
			fit = fit[named : named+1]
		case len(fit) != 1:
			continue
		}
		s.drill.Resize(fit[0].sizes)
		s.why += "; tool sizes from " + fit[0].path
		fit[0].role, fit[0].why = "tool sizes", fmt.Sprintf("sizes of %d drill tools, for %s", len(fit[0].sizes),
			s.path)
	}
}

func (s *source) hasSizes(tools []int) bool {
	return !slices.ContainsFunc(tools, func(n int) bool { _, known := s.sizes[n]; return !known })
}

func stem(name string) string { return strings.TrimSuffix(path.Base(name), path.Ext(name)) }
