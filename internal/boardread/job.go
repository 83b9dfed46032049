package boardread

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"ohmward/unit"
)

// job is what a Gerber job file (.gbrjob) tells. Lengths in it are
// millimetres.
type job struct {
	path      string
	layers    int
	thickness unit.Length
	width     unit.Length // of the board; 0 where not given
	height    unit.Length
	files     []jobFile
	copper    []unit.Length // per copper layer of the stack-up; 0 where not given
	between   []unit.Length // dielectric between neighbouring copper layers; 0 where not given
}

type jobFile struct{ path, function string }

// number reads a JSON number, also one written as a string.
type number float64

func (n *number) UnmarshalJSON(b []byte) error {
	f, err := strconv.ParseFloat(strings.Trim(string(b), `" `), 64)
	if err != nil || math.IsInf(f, 0) || math.IsNaN(f) {
		return nil // an unreadable figure counts as not given
	}
	*n = number(f)
	return nil
}

func (n number) mm() unit.Length { return unit.Length(n) * unit.Millimetre }

type jobJSON struct {
	GeneralSpecs struct {
		Size           struct{ X, Y number }
		LayerNumber    number
		BoardThickness number
	}
	FilesAttributes []struct {
		Path, FileFunction string
	}
	MaterialStackup []struct {
		Type      string
		Thickness number
	}
}

// readJob parses a job file.
func readJob(path string, data []byte) (*job, error) {
	var j jobJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return nil, fmt.Errorf("board: %s: not a readable job file: %v", path, err)
	}
	out := &job{path: path, layers: int(max(0, min(float64(j.GeneralSpecs.LayerNumber), 1000)))}
	out.thickness = max(0, j.GeneralSpecs.BoardThickness.mm())
	out.width, out.height = j.GeneralSpecs.Size.X.mm(), j.GeneralSpecs.Size.Y.mm()
	for _, f := range j.FilesAttributes {
		out.files = append(out.files, jobFile{f.Path, f.FileFunction})
	}
	gap, known := unit.Length(0), true
	for _, m := range j.MaterialStackup {
		t := max(0, m.Thickness.mm())
		switch strings.ToLower(m.Type) {
		case "copper":
			if len(out.copper) > 0 {
				if !known {
					gap = 0
				}
				out.between = append(out.between, gap)
			}
			out.copper = append(out.copper, t)
			gap, known = 0, true
		case "dielectric":
			gap += t
			known = known && t > 0
		}
	}
	return out, nil
}
