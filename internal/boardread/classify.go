package boardread

import (
	"cmp"
	"path"
	"strings"

	"ohmward/format"
	"ohmward/format/excellon"
	"ohmward/internal/board"
)

// gerberEndings are endings that only layer images have.
var gerberEndings = map[string]bool{".gbr": true, ".ger": true, ".pho": true, ".gtl": true, ".gbl": true,
	".g1": true, ".g2": true, ".g3": true}

// tableEndings are the endings of parts tables.
var tableEndings = map[string]bool{
	".csv": true, ".tsv": true, ".txt": true, ".tab": true, ".bom": true, ".pos": true, ".pnp": true,
	".xy": true, ".xyr": true, ".xyrs": true, ".mnt": true, ".mnb": true, ".ctr": true, ".centroid": true,
	".asc": true,
}

// wanted settles from the first bytes and the name what a file is read as;
// false: it is not read.
func (s *source) wanted(top []byte) bool {
	s.kind = sniff(s.path, top)
	if isSpreadsheet(s.path, top) {
		s.sheet = true
		s.ignore(sheetRefused)
		return false
	}
	switch s.kind {
	case format.Gerber, format.Excellon, format.Job, format.IPCD356, format.IPC2581:
		return true
	case format.Zip:
		s.role = zipRole
		return false
	}
	if r, _ := format.GerberRole(s.path, nil); r.Class == format.Copper &&
		gerberEndings[strings.ToLower(path.Ext(s.path))] {
		s.misnamed = true
	}
	if e := strings.ToLower(path.Ext(s.path)); tableEndings[e] || reportEndings[e] {
		return true
	}
	s.ignore("no fabrication file")
	return false
}

// parse reads the file by its kind and settles its use.
func (s *source) parse() {
	switch s.kind {
	case format.Gerber:
		s.readGerber()
		s.take(format.GerberRole(s.path, s.img))
	case format.Excellon:
		s.readDrill()
		s.use = useDrill
		r, why := format.DrillRole(s.path, s.drill)
		s.drillRole(r, why)
	case format.Job:
		s.use, s.role, s.why = useJob, "job", "its JSON fields"
		s.job, s.err = readJob(s.path, s.data)
	case format.IPC2581:
		s.readDesign()
	case format.IPCD356:
		s.readNetlist()
	default:
		if s.readReport() {
			return
		}
		if !tableEndings[strings.ToLower(path.Ext(s.path))] {
			s.ignore("no fabrication file")
			return
		}
		s.readTable()
	}
}

func (s *source) drillRole(r format.Role, why string) {
	s.role, s.why, s.plating, s.from, s.to = r.String(), why, r.Plated, r.From, r.To
}

var classUse = map[format.Class]use{format.Copper: useCopper, format.Mask: useMask, format.Paste: usePaste,
	format.Profile: useProfile, format.Drill: useDrill, format.Component: useComponents}

// take uses a layer image as what its role says.
func (s *source) take(r format.Role, why string) {
	s.role, s.why, s.use = r.String(), why, cmp.Or(classUse[r.Class], useOther)
	if r.Side == format.Bottom {
		s.side = board.Bottom
	}
	switch r.Class {
	case format.Copper:
		s.layer, s.inner = max(0, r.Layer), r.Inner
		s.bottom = r.Layer == format.Last
		s.edge, s.guess = r.Side, r.Guess
		if s.layer == 0 && !s.bottom && s.inner == 0 {
			s.inner = 1
		}
	case format.Drill:
		if s.img != nil && s.img.Attributes[".FileFunction"] == nil {
			// A Gerber named for the drills but without the attribute is a
			// drawing of them as often as not: its span and plating come from
			// the name, as a drill file's would.
			r, why = format.DrillRole(s.path, (*excellon.File)(nil))
		}
		s.drillRole(r, why)
	case format.Component:
		s.side = board.Top
		if r.Side == format.Bottom || r.Side == format.NoSide && r.Layer > 1 {
			s.side = board.Bottom
		}
		s.values = componentValues(s.data)
		if s.img != nil {
			s.parts = components(s.img, s.side)
		}
	case format.Other:
		s.ignore("shows nothing of the board itself: " + why)
		s.use = useOther
	}
}
