package excellon

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"ohmward/internal/check"
)

// shared gives the folder of real boards, or skips.
func shared(t *testing.T) string { return filepath.Join(check.Shared(t), "checks", "boards") }

// counted was counted apart from this reader by a text search: hits, slots
// by G85, routed cuts; sizes in mm as the tool tables say.
var counted = []struct {
	name              string
	hits, slots, cuts int
	smallest, largest float64
	plated, unplated  int
	from, to          int
}{
	{"fomu-dvt1a/tomu-fpga-NPTH.drl", 0, 0, 0, 0, 0, 0, 0, 0, 0},
	{"fomu-dvt1a/tomu-fpga-front-in1.drl", 28, 0, 0, 0.09906, 0.09906, 0, 0, 0, 0},
	{"fomu-dvt1a/tomu-fpga-in1-in2.drl", 53, 0, 0, 0.20066, 0.20066, 0, 0, 0, 0},
	{"fomu-dvt1a/tomu-fpga-in2-back.drl", 171, 0, 0, 0.09906, 0.09906, 0, 0, 0, 0},
	{"glasgow-revc0/glasgow.drl", 435, 0, 0, 0.3, 3.2, 0, 0, 0, 0},
	{"openrpncalc/main-NPTH.drl", 4, 0, 0, 0.65024, 0.9398, 0, 0, 0, 0},
	{"openrpncalc/main-PTH.drl", 152, 0, 0, 0.29972, 0.762, 0, 0, 0, 0},
	{"orangecrab/OrangeCrab-NPTH.drl", 4, 0, 0, 0.65, 2.54, 0, 4, 1, 6},
	{"orangecrab/OrangeCrab-PTH.drl", 504, 0, 4, 0.15, 2.54, 508, 0, 1, 6},
	{"upduino-v3/UPduino_v3.0-NPTH.drl", 4, 0, 0, 2.49936, 2.49936, 0, 4, 1, 4},
	{"upduino-v3/UPduino_v3.0-PTH.drl", 173, 0, 4, 0.29972, 1.00076, 177, 0, 1, 4},
	{"simplefoc-shield/Drill_PTH_Through.DRL", 121, 7, 0, 0.301, 3, 128, 0, 0, 0},
	{"simplefoc-shield/Drill_PTH_Through_Via.DRL", 84, 0, 0, 0.301, 0.501, 84, 0, 0, 0},
	{"ts-8bit-mixtape/mixtape.txt", 85, 0, 0, 0.50038, 1.99898, 0, 0, 0, 0},
	{"ts-usbvil/pic18f14k50.txt", 40, 0, 0, 0.7112, 1.6256, 38, 2, 0, 0},
}

func nm(mm float64) int64 { return int64(math.Round(mm * 1e6)) }

func TestSharedBoards(t *testing.T) {
	dir := shared(t)
	for _, c := range counted {
		in, err := os.Open(filepath.Join(dir, c.name))
		if err != nil {
			t.Fatal(err)
		}
		f, err := Read(in, filepath.Base(c.name))
		in.Close()
		if err != nil {
			t.Error(err)
			continue
		}
		cuts, plated, unplated := 0, 0, 0
		var smallest, largest int64
		for i, h := range f.Hits {
			if h.Routed {
				cuts++
			}
			switch h.Plating {
			case Plated:
				plated++
			case Unplated:
				unplated++
			}
			if i == 0 || h.Diameter < smallest {
				smallest = h.Diameter
			}
			largest = max(largest, h.Diameter)
		}
		if len(f.Hits)-cuts != c.hits+c.slots || cuts != c.cuts || !f.Complete ||
			smallest != nm(c.smallest) || largest != nm(c.largest) ||
			plated != c.plated || unplated != c.unplated || f.From != c.from || f.To != c.to {
			t.Errorf("%s: %d hits, %d cuts, sizes %d to %d, plated %d, unplated %d, span %d-%d; want %+v",
				c.name, len(f.Hits), cuts, smallest, largest, plated, unplated, f.From, f.To, c)
		}
		for _, w := range f.Warnings {
			if c.name != "ts-8bit-mixtape/mixtape.txt" { // it says neither zeros nor digits
				t.Errorf("%s: %v", c.name, w)
			}
		}
	}
}
