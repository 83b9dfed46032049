package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
)

const jobName = "RL-40.gbrjob"

// The parts of a Gerber job file, named as its format names them. Lengths
// are millimetres.
type (
	jobHeader struct {
		GenerationSoftware struct{ Vendor, Application, Version string }
		CreationDate       string
	}
	jobSpecs struct {
		ProjectId      struct{ Name, GUID, Revision string }
		Size           struct{ X, Y float64 }
		LayerNumber    int
		BoardThickness float64
		Finish         string
	}
	jobRule struct {
		Layers                                      string
		PadToPad, PadToTrack, TrackToTrack          float64
		MinLineWidth, TrackToRegion, RegionToRegion float64
	}
	jobEntry struct {
		Path, FileFunction string
		FilePolarity       string `json:",omitempty"`
	}
	jobMaterial struct {
		Type      string
		Thickness float64 `json:",omitempty"`
		Material  string  `json:",omitempty"`
		Name      string
	}
	jobSheet struct {
		Header          jobHeader
		GeneralSpecs    jobSpecs
		DesignRules     []jobRule
		FilesAttributes []jobEntry
		MaterialStackup []jobMaterial
	}
)

// The stack-up in millimetres: 35 µm of copper on both sides of a core that
// brings the board to 1.6 mm.
const (
	boardThickness = 1.6
	copperMM       = 0.035
	coreMM         = boardThickness - 2*copperMM
)

// jobFile describes the set of files and the stack-up.
func jobFile() ([]byte, error) {
	var s jobSheet
	s.Header.GenerationSoftware.Vendor = vendor
	s.Header.GenerationSoftware.Application = application
	s.Header.GenerationSoftware.Version = version
	s.Header.CreationDate = madeOn
	g := &s.GeneralSpecs
	g.ProjectId.Name, g.ProjectId.GUID, g.ProjectId.Revision = projectName, projectGUID, projectRev
	g.Size.X, g.Size.Y = boardW/1000.0, boardH/1000.0
	g.LayerNumber, g.BoardThickness, g.Finish = 2, boardThickness, "ENIG"
	s.DesignRules = []jobRule{{"Outer", clearance / 1000.0, clearance / 1000.0, clearance / 1000.0,
		2 * 100 / 1000.0, pourClearance / 1000.0, pourClearance / 1000.0}}
	for _, f := range gerberFiles {
		s.FilesAttributes = append(s.FilesAttributes, jobEntry{f.path, f.function, f.polarity})
	}
	s.FilesAttributes = append(s.FilesAttributes,
		jobEntry{"RL-40-plated.drl", "Plated,1,2,PTH,Drill", ""},
		jobEntry{"RL-40-unplated.drl", "NonPlated,1,2,NPTH,Drill", ""})
	s.MaterialStackup = []jobMaterial{
		{"Legend", 0, "", "Legend top"}, {"SolderPaste", 0, "", "Paste top"},
		{"SolderMask", 0, "", "Mask top"}, {"Copper", copperMM, "", "L1"},
		{"Dielectric", coreMM, "FR4", "Core"}, {"Copper", copperMM, "", "L2"},
		{"SolderMask", 0, "", "Mask bottom"},
	}
	out, err := json.MarshalIndent(s, "", "  ")
	return append(out, '\n'), err
}

// partsFile lists the parts with values and places.
func partsFile(b *board) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Write([]string{"Ref", "Value", "Footprint", "X_mm", "Y_mm", "Rotation_deg", "Side", "Mount"})
	for _, p := range b.parts {
		w.Write([]string{p.ref, p.value, p.footprint, mm(p.at.x), mm(p.at.y), strconv.Itoa(p.rot), "top", p.mount})
	}
	w.Flush()
	return out.Bytes()
}
