package boardread

import (
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"ohmward/demo"
	"ohmward/internal/board"
)

// gerberText wraps plot lines into a Gerber file in millimetres with six
// decimals: D10 is a 0.3 mm pen, D11 a 1.6 mm land for drilled pins, D12 a
// 1 mm × 0.6 mm surface land, D13 a 0.6 mm via land, D14 a pen of no size.
func gerberText(function, plot string) []byte {
	head := "%FSLAX46Y46*%\n%MOMM*%\n"
	if function != "" {
		head += "%TF.FileFunction," + function + "*%\n"
	}
	head += "%TA.AperFunction,Conductor*%\n%ADD10C,0.3*%\n" +
		"%TA.AperFunction,ComponentPad*%\n%ADD11C,1.6*%\n" +
		"%TA.AperFunction,SMDPad,CuDef*%\n%ADD12R,1.0X0.6*%\n" +
		"%TA.AperFunction,ViaPad*%\n%ADD13C,0.6*%\n%TD*%\n%ADD14C,0*%\nG01*\nG75*\n"
	return []byte(head + plot + "M02*\n")
}

// drillText is an Excellon file in millimetres with one 0.8 mm tool and one
// of 0.3 mm.
func drillText(lines string) []byte {
	return []byte("M48\nMETRIC\nT1C0.800\nT2C0.300\n%\nG90\nG05\n" + lines + "M30\n")
}

func xy(x, y float64) string { return fmt.Sprintf("X%dY%d", int64(x*1e6), int64(y*1e6)) }

func flash(x, y float64) string { return xy(x, y) + "D03*\n" }

func line(x, y, x2, y2 float64) string { return xy(x, y) + "D02*\n" + xy(x2, y2) + "D01*\n" }

func pin(ref, p, net string) string {
	return fmt.Sprintf("%%TO.P,%s,%s*%%\n%%TO.N,%s*%%\n", ref, p, net)
}

func box(x, y, x2, y2 float64) string {
	return line(x, y, x2, y) + xy(x2, y2) + "D01*\n" + xy(x, y2) + "D01*\n" + xy(x, y) + "D01*\n"
}

// smallBoard is a sound board of two layers: R1 drilled, C1 on top, tracks.
func smallBoard() fstest.MapFS {
	top := "D11*\n" + pin("R1", "1", "A") + flash(5, 5) + pin("R1", "2", "B") + flash(15, 5) +
		"D12*\n" + pin("C1", "1", "A") + flash(5, 12) + pin("C1", "2", "B") + flash(7, 12) +
		"%TD*%\n%TO.N,A*%\nD10*\n" + line(5, 5, 5, 12) + "%TO.N,B*%\nD10*\n" + line(7, 12, 15, 12) + line(15, 12, 15, 5)
	bottom := "D11*\n" + pin("R1", "1", "A") + flash(5, 5) + pin("R1", "2", "B") + flash(15, 5) +
		"%TD*%\n%TO.N,C*%\nD13*\n" + flash(10, 10) + flash(10, 12)
	return fstest.MapFS{
		"b-top.gbr":     {Data: gerberText("Copper,L1,Top", top)},
		"b-bottom.gbr":  {Data: gerberText("Copper,L2,Bot", bottom)},
		"b-profile.gbr": {Data: gerberText("Profile,NP", "D10*\n"+box(0, 0, 20, 16))},
		"b.drl":         {Data: drillText("T1\nX5.0Y5.0\nX15.0Y5.0\nT2\nX10.0Y10.0\nX10.0Y12.0\n")},
	}
}

// put gives a copy of the set with a file added or replaced; nil data removes
// it.
func put(set fstest.MapFS, name string, data []byte) fstest.MapFS {
	out := fstest.MapFS{}
	for k, v := range set {
		out[k] = v
	}
	if data == nil {
		delete(out, name)
	} else {
		out[name] = &fstest.MapFile{Data: data}
	}
	return out
}

// demoBoard is the demo board, read once for all tests.
var demoBoard = sync.OnceValue(func() *board.Board {
	b, err := Read(demo.Board(), "made", Options{})
	if err != nil {
		panic(err)
	}
	return b
})

func mustRead(t *testing.T, set fs.FS, opt Options) *board.Board {
	t.Helper()
	b, err := Read(set, "made", opt)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func hasDoubt(b *board.Board, words ...string) bool {
	for _, d := range b.Doubts {
		all := true
		for _, w := range words {
			all = all && strings.Contains(d.File+" "+d.What, w)
		}
		if all {
			return true
		}
	}
	return false
}
