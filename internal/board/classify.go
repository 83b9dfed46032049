package board

import (
	"bytes"
	"path"
	"strconv"
	"strings"
)

// wanted settles from the first bytes and the name what a file is read as.
func (s *source) wanted(top []byte) bool {
	switch {
	case isZip(top):
		s.role = zipRole
		return false
	case bytes.Contains(top, []byte("M48")):
		s.use = useDrill
	case bytes.Contains(top, []byte("%FS")):
		s.use = useOther
	case strings.HasSuffix(s.path, ".gbrjob"):
		s.use = useJob
	case strings.HasSuffix(s.path, ".csv"):
		s.use = useValues
	default:
		s.pass("no fabrication file")
		return false
	}
	return true
}

func (s *source) parse() {
	switch s.use {
	case useDrill:
		s.readDrill()
		if s.drill != nil {
			s.plating, s.from, s.to = s.drill.Plating, s.drill.From, s.drill.To
			switch {
			case strings.Contains(s.path, "front-in1"):
				s.from, s.to = 1, 2
			case strings.Contains(s.path, "in1-in2"):
				s.from, s.to = 2, 3
			case strings.Contains(s.path, "in2-back"):
				s.from, s.to = 3, 4
			case strings.Contains(s.path, "NPTH"):
				s.plating = 2
			}
		}
	case useJob:
		s.job, s.err = readJob(s.path, s.data)
		s.role = "job"
	case useValues:
		s.values = readValues(s.data)
		s.role = "parts list"
	case useOther:
		s.readGerber()
		if s.img == nil {
			return
		}
		f := s.img.Attributes[".FileFunction"]
		if len(f) == 0 {
			switch strings.ToLower(path.Ext(s.path)) {
			case ".gtl":
				f = []string{"Copper", "L1", "Top"}
			case ".gbl":
				f = []string{"Copper", "L2", "Bot"}
			case ".gko", ".gml":
				f = []string{"Profile"}
			default:
				s.pass("no role")
				return
			}
		}
		s.role = strings.Join(f, ",")
		switch strings.ToLower(f[0]) {
		case "copper":
			s.use = useCopper
			s.layer, _ = strconv.Atoi(f[1][1:])
		case "soldermask":
			s.use = useMask
		case "paste":
			s.use = usePaste
		case "profile":
			s.use = useProfile
		case "plated", "nonplated":
			s.use = useDrill
		}
		if len(f) > 1 && strings.HasPrefix(f[1], "Bot") {
			s.side = Bottom
		}
	}
}
