package format

import (
	"os"
	"path/filepath"
	"testing"

	"ohmward/format/excellon"
	"ohmward/format/gerber"
)

// shared finds the folder of real boards, or skips.
func shared(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("OHMWARD_SHARED")
	for at, _ := os.Getwd(); dir == "" && at != filepath.Dir(at); at = filepath.Dir(at) {
		if _, err := os.Stat(filepath.Join(at, "go.mod")); err == nil {
			dir = filepath.Join(at, "..", "shared")
		}
	}
	boards := filepath.Join(dir, "checks", "boards")
	if _, err := os.Stat(boards); err != nil {
		t.Skip("shared boards are absent")
	}
	return boards
}

func TestSharedBoards(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(shared(t), "*", "*"))
	for _, f := range files {
		in, err := os.Open(f)
		if err != nil {
			t.Fatal(err)
		}
		head := make([]byte, 8192)
		n, _ := in.Read(head)
		in.Seek(0, 0)
		name := filepath.Base(f)
		k := Sniff(name, head[:n])
		var bare, told Role
		var why string
		switch k {
		case Gerber:
			img, err := gerber.Read(in, name)
			if err != nil {
				t.Error(err)
			}
			bare, _ = GerberRole(name, nil)
			told, why = GerberRole(name, img)
		case Excellon:
			d, err := excellon.Read(in, name)
			if err != nil {
				t.Error(err)
			}
			bare, _ = DrillRole(name, nil)
			told, why = DrillRole(name, d)
		}
		in.Close()
		t.Logf("%-38s %-10v | %-22v | %-22v | %s", name, k, bare, told, why)
	}
}
