package placement

import (
	"strings"
	"testing"
	"time"
)

// Hostile tables end soon, whatever is in them.
func TestHostile(t *testing.T) {
	if testing.Short() {
		t.Skip("reads hostile tables of tens of MB: left out of -short")
	}
	line := strings.Repeat("x", 1<<20)
	for name, text := range map[string]string{
		"one long line":            strings.Repeat("Ref,Value,", 1_500_000),
		"a long title":             "Ref,Value," + line + "\nR1,10k,x\n",
		"quotes":                   "Ref,Value\n" + strings.Repeat("\"R1,\n", 500_000),
		"blanks":                   "Ref X Y Rot\n" + strings.Repeat(" ", 15<<20),
		"many commas":              "Ref,Value\n" + strings.Repeat(strings.Repeat(",", 1000)+"\n", 10_000),
		"many titles":              strings.Repeat("Ref,Value,X,Y,Rot,Side\n", 500_000),
		"ranges":                   "Ref,Value\n" + strings.Repeat("R1-R9999999,1k\n", 300_000),
		"strokes":                  "Ref,Value\n" + strings.Repeat("R1/", 20_000) + "R2,1k\n",
		"long numbers":             "Ref,X,Y\n" + strings.Repeat("R1,"+strings.Repeat("9", 5000)+",1\n", 2000),
		"half of a wide character": "\xff\xfeR\x00e\x00f\x00,\x00V\x00a",
		"zeros":                    strings.Repeat("\x00", 1<<20),
		"binary":                   strings.Repeat("\x01\xfe\x80R1,\n", 1<<20),
	} {
		start := time.Now()
		if _, err := Read(strings.NewReader(text), "a.csv"); err != nil {
			if class, at, _ := outcome(nil, err); class != "unsupported" || at < 1 {
				t.Errorf("%s: %v", name, err)
			}
		}
		if d := time.Since(start); d > 30*time.Second { // seconds on an idle machine
			t.Errorf("%s took %v", name, d)
		} else {
			t.Logf("%s: %v", name, d.Round(time.Millisecond))
		}
	}
}
