package gerber

import (
	"path/filepath"
	"testing"

	"ohmward/internal/check"
)

// shared gives the folder of real boards, or skips.
func shared(t *testing.T) string { return filepath.Join(check.Shared(t), "checks", "boards") }

// counted holds flashes, draws, arcs and region contours of copper and
// profile files, counted apart from this reader by a text search.
var counted = []struct {
	name string
	n    [4]int
}{
	{"fomu-dvt1a/tomu-fpga-B.Cu.gbl", [4]int{310, 1346, 0, 83}},
	{"fomu-dvt1a/tomu-fpga-Edge.Cuts.gm1", [4]int{0, 89, 6, 0}},
	{"fomu-dvt1a/tomu-fpga-F.Cu.gtl", [4]int{40, 476, 0, 6}},
	{"fomu-dvt1a/tomu-fpga-In1.Cu.g2", [4]int{81, 523, 0, 6}},
	{"fomu-dvt1a/tomu-fpga-In2.Cu.g3", [4]int{224, 987, 0, 7}},
	{"glasgow-revc0/glasgow-B.Cu.gbl", [4]int{560, 1521, 0, 122}},
	{"glasgow-revc0/glasgow-Edge.Cuts.gm1", [4]int{0, 8, 6, 0}},
	{"glasgow-revc0/glasgow-F.Cu.gtl", [4]int{1160, 3056, 0, 142}},
	{"glasgow-revc0/glasgow-In1.Cu.g2", [4]int{435, 5543, 0, 10}},
	{"glasgow-revc0/glasgow-In2.Cu.g3", [4]int{435, 6244, 0, 3}},
	{"openrpncalc/main-B_Cu.gbr", [4]int{152, 377, 0, 0}},
	{"openrpncalc/main-Edge_Cuts.gbr", [4]int{0, 12, 28, 0}},
	{"openrpncalc/main-F_Cu.gbr", [4]int{652, 1094, 0, 12}},
	{"orangecrab/OrangeCrab-CuBottom.gbr", [4]int{553, 8924, 0, 202}},
	{"orangecrab/OrangeCrab-CuTop.gbr", [4]int{954, 4100, 0, 199}},
	{"orangecrab/OrangeCrab-EdgeCuts.gbr", [4]int{0, 4, 4, 0}},
	{"orangecrab/OrangeCrab-inner1.gbr", [4]int{503, 10246, 0, 6}},
	{"orangecrab/OrangeCrab-inner2.gbr", [4]int{503, 2396, 0, 5}},
	{"orangecrab/OrangeCrab-inner3.gbr", [4]int{503, 12706, 0, 18}},
	{"orangecrab/OrangeCrab-inner4.gbr", [4]int{503, 10241, 0, 6}},
	{"simplefoc-shield/Gerber_BoardOutlineLayer.GKO", [4]int{0, 19, 6, 0}},
	{"simplefoc-shield/Gerber_BottomLayer.GBL", [4]int{174, 214, 0, 34}},
	{"simplefoc-shield/Gerber_TopLayer.GTL", [4]int{218, 199, 0, 52}},
	{"ts-8bit-mixtape/mixtape.gbl", [4]int{83, 1985, 0, 0}},
	{"ts-8bit-mixtape/mixtape.gml", [4]int{0, 250, 0, 0}},
	{"ts-8bit-mixtape/mixtape.gtl", [4]int{207, 1159, 0, 4}},
	{"ts-usbvil/pic18f14k50.gbl", [4]int{44, 56, 0, 28}},
	{"ts-usbvil/pic18f14k50.gko", [4]int{0, 16, 6, 0}},
	{"ts-usbvil/pic18f14k50.gtl", [4]int{86, 173, 0, 0}},
	{"upduino-v3/UPduino_v3.0-B_Cu.gbl", [4]int{208, 3787, 4, 80}},
	{"upduino-v3/UPduino_v3.0-Edge_Cuts.gm1", [4]int{0, 8, 4, 0}},
	{"upduino-v3/UPduino_v3.0-F_Cu.gtl", [4]int{229, 3295, 4, 202}},
	{"upduino-v3/UPduino_v3.0-In1_Cu.g2", [4]int{177, 4486, 4, 1}},
	{"upduino-v3/UPduino_v3.0-In2_Cu.g3", [4]int{177, 4355, 4, 1}},
}

func TestSharedCounts(t *testing.T) {
	dir := shared(t)
	for _, c := range counted {
		img := readFile(t, filepath.Join(dir, c.name), "contour not closed")
		if n := count(img); n != c.n {
			t.Errorf("%s: %v, counted %v", c.name, n, c.n)
		}
	}
}

// TestSharedBoards reads every layer: no error, no warning beside the
// contours that one writer leaves open, an end, and shapes that fill.
func TestSharedBoards(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(shared(t), "*", "*.[gG]*"))
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
		for _, o := range img.Objects {
			if len(o.Rings) == 0 && !sizeless(f) {
				t.Errorf("%s:%d: paints nothing", f, o.Line)
				break
			}
			if len(o.Rings) > 0 && twiceArea(o.Rings[0]) <= 0 {
				t.Errorf("%s:%d: outline runs clockwise", f, o.Line)
				break
			}
		}
	}
}

// sizeless tells the one board whose files use apertures of size 0 (D37).
func sizeless(f string) bool { return filepath.Base(filepath.Dir(f)) == "ts-8bit-mixtape" }
