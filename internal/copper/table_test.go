//go:build unix

package copper

import (
	"fmt"
	"math"
	"strings"
	"syscall"
	"testing"
	"time"
)

func init() {
	cpu = func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			return 0
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
}

// TestBoardsTable reads every shared board and prints the table of
// docs/formats.md (-v). Outside check: layers and size as the README of the
// shared checks says (sizes to a millimetre and a half: it rounds, and takes
// the outline's pen along on some); holes as a count of hits in the drill
// files gives, repeats once.
func TestBoardsTable(t *testing.T) {
	var out strings.Builder
	out.WriteString("| board | layers | size mm | plated | unplated | nets, named | pads | parts | doubts | CPU s |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n")
	for _, w := range []struct {
		name             string
		layers           int
		width, height    float64
		plated, unplated int
	}{
		{"orangecrab", 6, 51, 23, 508, 4}, {"glasgow-revc0", 4, 80, 49, 435, 0}, {"fomu-dvt1a", 4, 13, 9.4, 252, 0},
		{"openrpncalc", 2, 73, 139, 152, 4}, {"upduino-v3", 4, 62, 22, 177, 4}, {"simplefoc-shield", 2, 56, 54, 128, 0},
		{"ts-8bit-mixtape", 2, 97, 39, 85, 0}, {"ts-usbvil", 2, 34, 15, 38, 2}, {"ipc2581-dm0002", 4, 15, 38.6, 74, 2},
	} {
		if leftOut(w.name) {
			continue
		}
		n := openBoard(t, w.name)
		b := n.Board
		box := b.Outline.Bounds()
		width, height := float64(box.Max.X-box.Min.X)*1e-6, float64(box.Max.Y-box.Min.Y)*1e-6
		plated, named := 0, 0
		for _, h := range b.Holes {
			if h.Plated {
				plated++
			}
		}
		for i := range n.Nets {
			if n.Nets[i].Named() {
				named++
			}
		}
		if len(b.Layers) != w.layers || math.Abs(width-w.width) > 1.5 || math.Abs(height-w.height) > 1.5 || b.Partial {
			t.Errorf("%s: %d layers of %.1f x %.1f mm (partial %v), want %d of %g x %g", w.name, len(b.Layers), width, height, b.Partial, w.layers, w.width, w.height)
		}
		if plated != w.plated || len(b.Holes)-plated != w.unplated {
			t.Errorf("%s: %d plated and %d unplated holes, want %d and %d", w.name, plated, len(b.Holes)-plated, w.plated, w.unplated)
		}
		fmt.Fprintf(&out, "| %s | %d | %.1f × %.1f | %d | %d | %d, %d | %d | %d | %d | %.2f |\n", w.name, len(b.Layers), width, height,
			plated, len(b.Holes)-plated, len(n.Nets), named, len(b.Pads), len(b.Parts), len(b.Doubts)+len(n.Doubts), reading[w.name].Seconds())
	}
	t.Log("\n" + out.String())
}
