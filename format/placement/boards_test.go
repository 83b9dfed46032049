package placement

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

// Counted apart from this reader by wc and another CSV reader.
func TestSharedTables(t *testing.T) {
	for _, c := range []struct {
		name                   string
		kind                   Kind
		rows, unfitted, bottom int
	}{
		{"tomu-fpga-bom.csv", Parts, 55, 17, 0},
		{"tomu-fpga-bottom-pos.csv", Positions, 36, 0, 36},
		{"tomu-fpga-top-pos.csv", Positions, 0, 0, 0},
	} {
		in, err := os.Open(filepath.Join(check.Shared(t), "checks", "boards", "fomu-dvt1a", c.name))
		if err != nil {
			t.Fatal("the shared folder is there, but not this board of its checks")
		}
		table, err := Read(in, c.name)
		in.Close()
		if err != nil {
			t.Fatal(err)
		}
		unfitted, bottom := 0, 0
		for _, r := range table.Rows {
			if r.NotFitted {
				unfitted++
			}
			if r.Side == Bottom {
				bottom++
			}
		}
		if table.Kind != c.kind || len(table.Rows) != c.rows || unfitted != c.unfitted || bottom != c.bottom || table.LeftOut != 0 || len(table.Warnings) > 0 {
			t.Errorf("%s: %v, %d rows, %d not fitted, %d on the bottom, %d left out, %v; want %+v", c.name, table.Kind, len(table.Rows), unfitted, bottom, table.LeftOut, table.Warnings, c)
		}
		if c.rows == 36 {
			want := Row{Ref: "C1", Value: "0201, 1uF, 10V, X5R, 20%", Package: "C_0201_0603Metric", At: geom.FromMM(-132.685, 82.215),
				HasAt: true, Rotation: 90, HasRotation: true, Side: Bottom, Line: 2}
			if table.Rows[0] != want {
				t.Errorf("got %+v, want %+v", table.Rows[0], want)
			}
		}
	}
}

// No other file of the boards is a parts table: notes, drill reports,
// netlists, images.
func TestSharedRefused(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(check.Shared(t), "checks", "boards", "*", "*"))
	seen := 0
	for _, name := range files {
		if info, err := os.Stat(name); err != nil || info.IsDir() || info.Size() > 2<<20 || strings.HasSuffix(name, ".csv") {
			continue
		}
		in, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		table, err := Read(in, filepath.Base(name))
		in.Close()
		seen++
		if err != nil || table.Kind != None {
			t.Errorf("%s: %+v, %v", name, table, err)
		}
	}
	if seen == 0 {
		t.Fatal("the shared folder is there, but not this board of its checks")
	}
	t.Logf("%d files refused", seen)
}
