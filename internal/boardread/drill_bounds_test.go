package boardread

import (
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/check"
)

// Holes and slots that no board has are refused as they are read, in time and
// memory that follow their number.
func TestFarHoles(t *testing.T) {
	const many = 60_000
	lines := func(n int, line func(i int) string) []byte {
		var b strings.Builder
		for i := range n {
			b.WriteString(line(i))
		}
		return drillText("T1\n" + b.String())
	}
	for _, c := range []struct{ name, says, text string }{
		{"holes off the board", fmt.Sprintf("b.drl: %d of %d holes lie outside the board", many, many),
			string(lines(many, func(i int) string { return fmt.Sprintf("X%d.%dY%d.5\n", 100+i%800, i%7, 100+i/100) }))},
		{"some of them on it", fmt.Sprintf("%d of %d holes lie outside the board", many/2, many),
			string(lines(many/2, func(i int) string {
				return fmt.Sprintf("X%.4fY5.0\nX%d.0Y%d.0\n", 1+float64(i)/2e3, 100+i%800, 100+i/100)
			}))},
		{"repeats off the board", "holes lie outside the board",
			string(lines(1, func(int) string { return "X50.0Y50.0\nR60000X0.01\n" }))},
		{"slots across the metre", "b.drl: too large",
			string(lines(100, func(i int) string { return fmt.Sprintf("X-999.0Y-%d.0G85X999.0Y999.0\n", i) }))},
		{"tools of a metre", "b.drl: too large",
			strings.Replace(string(lines(100, func(i int) string { return fmt.Sprintf("X%d.0Y5.0\n", i%20) })), "T1C0.800", "T1C990.0", 1)},
	} {
		t.Run(c.name, func(t *testing.T) {
			set := put(smallBoard(), "b.drl", []byte(c.text))
			var err error
			var start, end runtime.MemStats
			runtime.ReadMemStats(&start)
			_, err = Read(set, "made", Options{})
			runtime.ReadMemStats(&end)
			if err == nil || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
				t.Errorf("%v, want the words %q", err, c.says)
			}
			if taken := end.TotalAlloc - start.TotalAlloc; taken > 4096*many {
				t.Errorf("%d bytes allocated", taken)
			}
		})
	}
}

// A file that does not say its digits is read right, however many holes it has.
func TestManyHolesOfUnsaidDigits(t *testing.T) {
	if testing.Short() {
		t.Skip("reads a board of 12 thousand holes: left out of -short")
	}
	lands, holes := "D13*\n", "M48\nMETRIC\nT1C0.3\n%\nT1\n"
	for i := range 12_000 {
		x, y := 0.1+float64(i%120)*0.16, 0.1+float64(i/120)*0.155
		lands += flash(x, y)
		holes += fmt.Sprintf("X%.0fY%.0f\n", x*1e4, y*1e4)
	}
	set := put(put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", lands)), "b.drl", []byte(holes+"M30\n"))
	b := mustRead(t, set, Options{})
	if box := b.Outline.Bounds(); len(b.Holes) != 12_000 || !box.Holds(b.Holes[0].At) {
		t.Errorf("%d holes, doubts %v", len(b.Holes), b.Doubts)
	}
}

// Slots of one place, of which none is another, take time by their number.
func TestStarOfSlots(t *testing.T) {
	var star []board.Hole
	for i := range 60_000 {
		sin, cos := math.Sincos(float64(i))
		to := geom.Point{X: int64(1e8 * cos), Y: int64(1e8 * sin)}
		star = append(star, board.Hole{To: to, Diameter: 500_000, Plated: true})
	}
	before := check.ProcessorTime()
	if out, _ := mergeHoles(star); len(out) < 50_000 {
		t.Errorf("%d slots stay", len(out))
	}
	if taken := check.ProcessorTime() - before; taken > 10*time.Second {
		t.Errorf("%v for %d slots", taken, len(star))
	}
}
