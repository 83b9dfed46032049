package format

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"testing"

	"ohmward/format/excellon"
	"ohmward/format/gerber"
	"ohmward/internal/check"
)

// shared gives the folder of real boards, or skips.
func shared(t *testing.T) string { return filepath.Join(check.Shared(t), "checks", "boards") }

// TestSharedBoards: what attributes say and what names alone say must agree
// wherever both say something, and every file is taken for what it is.
func TestSharedBoards(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(shared(t), "*", "*"))
	kinds := map[Kind]int{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(f)
		k := Sniff(name, data[:min(len(data), 8192)])
		kinds[k]++
		switch k {
		case Gerber:
			img, err := gerber.Read(bytes.NewReader(data), name)
			if err != nil {
				t.Error(err)
				continue
			}
			named, _ := GerberRole(name, nil)
			told, why := GerberRole(name, img)
			if named.Class != told.Class || named.Side != told.Side {
				t.Errorf("%s: name says %v, file says %v (%s)", name, named, told, why)
			}
			if told.Class == Copper && told.Layer == 0 {
				t.Errorf("%s: copper of no layer", name)
			}
		case Excellon:
			d, err := excellon.Read(bytes.NewReader(data), name)
			if err != nil {
				t.Error(err)
				continue
			}
			named, _ := DrillRole(name, nil)
			told, why := DrillRole(name, d)
			if named.Plated != excellon.PlatingUnknown && named.Plated != told.Plated {
				t.Errorf("%s: name says %v, file says %v (%s)", name, named, told, why)
			}
		}
	}
	// Counted by endings in the listing of the folder.
	want := map[Kind]int{Gerber: 101, Excellon: 15, IPCD356: 2, IPC2581: 1, Job: 1, Zip: 2, Unknown: 12}
	if !maps.Equal(kinds, want) {
		t.Errorf("kinds %v, want %v", kinds, want)
	}
}
