package record

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestEtch: [copper] etch_um is read in micrometres, kept, and refused beyond
// what etching does.
func TestEtch(t *testing.T) {
	folder := t.TempDir()
	write := func(name, etch string) string {
		file := filepath.Join(folder, name)
		text := "board = \"b\"\nnets = [\"A\", \"B\"]\n[copper]\netch_um = " + etch + "\n"
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
	again := filepath.Join(folder, "again.toml")
	if err := Write(again, c); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(again)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), "etch_um = 15") {
		t.Errorf("written without etch_um:\n%s", text)
	}
	if _, err := Read(write("bad.toml", "-3")); err == nil {
		t.Error("etch_um = -3 was taken")
	}
}
