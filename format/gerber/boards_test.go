package gerber

import (
	"os"
	"path/filepath"
	"testing"
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
	files, _ := filepath.Glob(filepath.Join(shared(t), "*", "*.[gG]*"))
	for _, f := range files {
		if filepath.Ext(f) == ".gbrjob" {
			continue
		}
		in, err := os.Open(f)
		if err != nil {
			t.Fatal(err)
		}
		img, err := Read(in, filepath.Base(f))
		in.Close()
		if err != nil {
			t.Error(err)
			continue
		}
		var n [4]int
		corners := 0
		for _, o := range img.Objects {
			n[o.Kind]++
			for _, r := range o.Rings {
				corners += len(r)
			}
		}
		b := img.Bounds
		t.Log(filepath.Base(filepath.Dir(f)), filepath.Base(f), n, corners, img.Complete, float64(b.Min.X)/1e6, float64(b.Min.Y)/1e6, float64(b.Max.X)/1e6, float64(b.Max.Y)/1e6, img.Attributes[".FileFunction"])
		for i, w := range img.Warnings {
			if i < 4 {
				t.Log("   ", w)
			}
		}
	}
}
