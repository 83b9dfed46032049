package gerber

import (
	"path/filepath"
	"testing"

	"ohmward/internal/check"
)

// counted holds flashes, draws, arcs and region contours of copper and
// profile files, counted apart from this reader by a text search.
var counted = map[string][4]int{
	"fomu-dvt1a/tomu-fpga-B.Cu.gbl":                 {310, 1346, 0, 83},
	"fomu-dvt1a/tomu-fpga-Edge.Cuts.gm1":            {0, 89, 6, 0},
	"fomu-dvt1a/tomu-fpga-F.Cu.gtl":                 {40, 476, 0, 6},
	"fomu-dvt1a/tomu-fpga-In1.Cu.g2":                {81, 523, 0, 6},
	"fomu-dvt1a/tomu-fpga-In2.Cu.g3":                {224, 987, 0, 7},
	"glasgow-revc0/glasgow-B.Cu.gbl":                {560, 1521, 0, 122},
	"glasgow-revc0/glasgow-Edge.Cuts.gm1":           {0, 8, 6, 0},
	"glasgow-revc0/glasgow-F.Cu.gtl":                {1160, 3056, 0, 142},
	"glasgow-revc0/glasgow-In1.Cu.g2":               {435, 5543, 0, 10},
	"glasgow-revc0/glasgow-In2.Cu.g3":               {435, 6244, 0, 3},
	"openrpncalc/main-B_Cu.gbr":                     {152, 377, 0, 0},
	"openrpncalc/main-Edge_Cuts.gbr":                {0, 12, 28, 0},
	"openrpncalc/main-F_Cu.gbr":                     {652, 1094, 0, 12},
	"orangecrab/OrangeCrab-CuBottom.gbr":            {553, 8924, 0, 202},
	"orangecrab/OrangeCrab-CuTop.gbr":               {954, 4100, 0, 199},
	"orangecrab/OrangeCrab-EdgeCuts.gbr":            {0, 4, 4, 0},
	"orangecrab/OrangeCrab-inner1.gbr":              {503, 10246, 0, 6},
	"orangecrab/OrangeCrab-inner2.gbr":              {503, 2396, 0, 5},
	"orangecrab/OrangeCrab-inner3.gbr":              {503, 12706, 0, 18},
	"orangecrab/OrangeCrab-inner4.gbr":              {503, 10241, 0, 6},
	"simplefoc-shield/Gerber_BoardOutlineLayer.GKO": {0, 19, 6, 0},
	"simplefoc-shield/Gerber_BottomLayer.GBL":       {174, 214, 0, 34},
	"simplefoc-shield/Gerber_TopLayer.GTL":          {218, 199, 0, 52},
	"ts-8bit-mixtape/mixtape.gbl":                   {83, 1985, 0, 0},
	"ts-8bit-mixtape/mixtape.gml":                   {0, 250, 0, 0},
	"ts-8bit-mixtape/mixtape.gtl":                   {207, 1159, 0, 4},
	"ts-usbvil/pic18f14k50.gbl":                     {44, 56, 0, 28},
	"ts-usbvil/pic18f14k50.gko":                     {0, 16, 6, 0},
	"ts-usbvil/pic18f14k50.gtl":                     {86, 173, 0, 0},
	"upduino-v3/UPduino_v3.0-B_Cu.gbl":              {208, 3787, 4, 80},
	"upduino-v3/UPduino_v3.0-Edge_Cuts.gm1":         {0, 8, 4, 0},
	"upduino-v3/UPduino_v3.0-F_Cu.gtl":              {229, 3295, 4, 202},
	"upduino-v3/UPduino_v3.0-In1_Cu.g2":             {177, 4486, 4, 1},
	"upduino-v3/UPduino_v3.0-In2_Cu.g3":             {177, 4355, 4, 1},
}

// TestSharedBoards reads every layer: no error, no warning beside the
// contours that one writer leaves open, an end, shapes that fill, and the
// objects that were counted.
func TestSharedBoards(t *testing.T) {
	dir := filepath.Join(check.Shared(t), "checks", "boards")
	files, _ := filepath.Glob(filepath.Join(dir, "*", "*.[gG]*"))
	found := 0
	if len(files) < 80 {
		t.Fatalf("only %d files found", len(files))
	}
	for _, f := range files {
		if filepath.Ext(f) == ".gbrjob" {
			continue
		}
		img := readFile(t, f, "contour not closed")
		if !img.Complete {
			t.Errorf("%s: no end", f)
		}
		name, _ := filepath.Rel(dir, f)
		if want, ok := counted[filepath.ToSlash(name)]; ok {
			found++
			if n := count(img); n != want {
				t.Errorf("%s: %v, counted %v", name, n, want)
			}
		}
		for _, o := range img.Objects {
			if len(o.Rings) == 0 && !sizeless(f) {
				t.Errorf("%s:%d: paints nothing", f, o.Line)
				break
			}
			if len(o.Rings) > 0 && o.Rings[0].Area() <= 0 {
				t.Errorf("%s:%d: outline runs clockwise", f, o.Line)
				break
			}
		}
	}
	if found != len(counted) {
		t.Errorf("%d of the %d counted files are there", found, len(counted))
	}
}

// sizeless tells the one board whose files use apertures of size 0 (D37).
func sizeless(f string) bool { return filepath.Base(filepath.Dir(f)) == "ts-8bit-mixtape" }
