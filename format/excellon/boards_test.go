package excellon

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
	dir := shared(t)
	files, _ := filepath.Glob(filepath.Join(dir, "*", "*.[dD][rR][lL]"))
	more, _ := filepath.Glob(filepath.Join(dir, "ts-*", "*.txt"))
	for _, f := range append(files, more...) {
		in, err := os.Open(f)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Read(in, filepath.Base(f))
		in.Close()
		if err != nil {
			t.Error(err)
			continue
		}
		slots, routed, lo, hi := 0, 0, int64(1e12), int64(0)
		x0, y0, x1, y1 := 1e9, 1e9, -1e9, -1e9
		var pl [3]int
		for _, h := range got.Hits {
			if h.At != h.To {
				slots++
			}
			if h.Routed {
				routed++
			}
			lo, hi = min(lo, h.Diameter), max(hi, h.Diameter)
			pl[h.Plating]++
			x, y := h.At.MM()
			x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
		}
		t.Log(filepath.Base(filepath.Dir(f)), filepath.Base(f), "hits", len(got.Hits), "slots", slots, "routed", routed, "d", lo, hi, "plating", pl, got.Plating, got.From, got.To, got.Complete, got.Metric, got.Trusted, x0, y0, x1, y1)
		for _, w := range got.Warnings {
			t.Log("   ", w)
		}
	}
}
