package excellon

import (
	"strings"
	"testing"

	"ohmward/geom"
)

// A header in inches before a body in millimetres: the tools would be 25 times
// too large, and something tells so.
func TestUnitChangesBehindTheTools(t *testing.T) {
	const body = "\nT1C0.300\n%\nG90\nM71\nT1\nX55.65Y-81.25\nM30\n"
	f, err := Read(strings.NewReader("M48\nINCH,TZ"+body), "a.drl")
	if err != nil {
		t.Fatal(err)
	}
	if f.Hits[0].At != geom.FromMM(55.65, -81.25) || len(f.Warnings) != 1 || !strings.Contains(f.Warnings[0].What, "sized in inches, but the places are in millimetres") {
		t.Errorf("hit at %v, warnings %v", f.Hits[0].At, f.Warnings)
	}
	if f, err = Read(strings.NewReader("M48\nMETRIC,TZ"+body), "a.drl"); err != nil || len(f.Warnings) != 0 {
		t.Errorf("one unit throughout: %v, %v", f.Warnings, err)
	}
}
