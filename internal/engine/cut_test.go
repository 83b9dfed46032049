package engine

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// TestCutTrack: a reading after a cut sees the copper as it then is. The reset
// line of the demo is cut between R5 and the processor; what is read at R5
// tells on which side the short is. A cut that cannot be followed is told of.
func TestCutTrack(t *testing.T) {
	beyond := func(ohms string) (float64, *Locator) {
		c, err := record.Decode("case.toml", []byte(fmt.Sprintf(`board = "demo"
nets = ["+3V3", "NRST"]
[[finding]]
after_reading = 0
place = "L1@31.7,31.26"
done = "cut"
short = "unknown"
[[finding]]
after_reading = 0
place = "L1@-50,-50"
done = "cut"
short = "unknown"
[[reading]]
from = "R5.2"
to = "R5.1"
ohms = %s
`, ohms)))
		if err != nil {
			t.Fatal(err)
		}
		p, err := Open(context.Background(), DemoName, Options{Cache: shared})
		if err != nil {
			t.Fatal(err)
		}
		w, err := p.Locator(context.Background(), c)
		if err != nil {
			t.Fatal(err)
		}
		w.Meter, _ = MeterOf(c.Meter)
		w.CopperKnown = w.CopperUncertainty(c.Copper)
		if err := w.TakeAll(c); err != nil {
			t.Fatal(err)
		}
		post, err := w.Posterior()
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for s, q := range post.P {
			for _, row := range w.Readings[0].C {
				if row[min(s, len(row)-1)] >= locate.Unreached/2 {
					sum += q
					break
				}
			}
		}
		return sum, w
	}
	open, w := beyond(`"OL"`)
	if open < 0.8 {
		t.Errorf("open at R5 after the cut: %.3f beyond it", open)
	}
	if short, _ := beyond("0.048"); short > 0.02 {
		t.Errorf("48 mohm at R5 after the cut: %.3f beyond it", short)
	}
	told := 0
	for _, d := range w.Doubts {
		if strings.Contains(d.What, "as if nothing were cut") {
			told++
		}
	}
	if told != 1 {
		t.Errorf("%d cuts told of as not followed, want the one on bare laminate: %v", told, w.Doubts)
	}
}
