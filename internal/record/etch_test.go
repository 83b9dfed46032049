package record

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestEtch: [copper] etch_um and close_um are read in micrometres, filled as a
// word, [meter] tip_mm in millimetres; they are kept, and refused beyond what
// can be.
func TestEtch(t *testing.T) {
	folder := t.TempDir()
	write := func(name, etch string) string {
		file := filepath.Join(folder, name)
		text := "board = \"b\"\nnets = [\"A\", \"B\"]\n[meter]\ntip_mm = 0.5\n[copper]\nclose_um = 20\nfilled = \"pins\"\netch_um = " + etch + "\n"
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	c, err := Read(write("c.toml", "15"))
	if err != nil {
		t.Fatal(err)
	}
	if c.Copper.Etch == nil || math.Abs(float64(*c.Copper.Etch)-15e-6) > 1e-12 {
		t.Fatalf("etch_um = 15 was read as %v", c.Copper.Etch)
	}
	if c.Copper.Close == nil || math.Abs(float64(*c.Copper.Close)-20e-6) > 1e-12 || c.Meter.Tip == nil || math.Abs(float64(*c.Meter.Tip)-0.5e-3) > 1e-12 {
		t.Errorf("close_um and tip_mm were read as %v and %v", c.Copper.Close, c.Meter.Tip)
	}
	again := filepath.Join(folder, "again.toml")
	if err := create(again, c); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(again)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"etch_um = 15", "close_um = 20", "tip_mm = 0.5", `filled = "pins"`} {
		if !strings.Contains(string(text), line) {
			t.Errorf("written without %s:\n%s", line, text)
		}
	}
	for _, bad := range []string{"-3", "101", "15\nfilled = \"vias\""} {
		if _, err := Read(write("bad.toml", bad)); err == nil {
			t.Errorf("etch_um = %s was taken", bad)
		}
	}
}
