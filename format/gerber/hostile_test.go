package gerber

import (
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
)

// TestFlood: a file is read as a stream. What paints nothing takes no memory,
// what paints ends at a limit with one line, and what is allocated until then
// is in proportion to the limits, which are a fiftieth of the usual ones here.
func TestFlood(t *testing.T) {
	const header = "%FSLAX36Y36*%\n%MOMM*%\n%ADD10C,0.1*%\n%ADD11C,0*%\n%ADD12R,0.1X0.1*%\nD10*\nG75*\n"
	const kB, size = 1000, 2 << 20
	lowered := limits{objects: usual.objects / 50, corners: usual.corners / 50}
	for _, c := range []struct {
		name, head, text string
		most             int // bytes in use, or allocated until it is refused
		refused          bool
	}{
		{"moves", "", "X1000Y1000D02*\n", 300 * kB, false},
		{"comments", "", "G04 nothing at all*\n", 300 * kB, false},
		{"apertures chosen", "", "D10*\n", 300 * kB, false},
		{"polarity", "", "%LPC*%\n", 300 * kB, false},
		{"unknown commands", "", "%ZZ9*%\n", 400 * kB, false},
		{"contours of no area", "G36*\n", "X0Y0D02*\nX1000D01*\n", 300 * kB, false},
		{"attributes", "", "%TO.N,A*%\n%TD*%\n", 300 * kB, false},
		{"apertures defined again", "", "%ADD10C,0.1*%\n", 3000 * kB, true},
		{"draws", "G01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 5000 * kB, true},
		{"draws of no size", "D11*\nG01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 30000 * kB, true},
		{"rectangles drawn", "D12*\nG01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 30000 * kB, true},
		{"flashes", "", "X1000Y1000D03*\n", 5000 * kB, true},
		{"arcs", "G03*\n", "X0Y0I90000000J0D01*\n", 5000 * kB, true},
		{"one contour", "G36*\nG01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 12000 * kB, true},
		{"one word", "G04", "never ends\n", 7000 * kB, true},
		{"open steps", "%SRX2Y2I1J1*%\n", "X1000Y1000D03*\n", 5000 * kB, true},
		{"open blocks", "%ABD20*%\n", "X1000Y1000D03*\n", 5000 * kB, true},
		{"one macro", "%AMA*\n", "1,1,1,0,0*\n", 20000 * kB, true},
		{"a macro again and again", "", "%AMA*1,1,1,0,0*%\n", 300 * kB, false},
	} {
		f := readertest.NewFlood(header+c.head, c.text, size)
		var img *Image
		var err error
		grown := readertest.Allocated(func() { img, err = read(f, "flood.gbr", lowered) })
		if !c.refused { // else all that was allocated
			grown = f.Grown()
		}
		switch {
		case c.refused && !readertest.IsUnsupported(err, "gerber: flood.gbr:"):
			t.Errorf("%s: %v", c.name, err)
		case !c.refused && (err != nil || img.Complete):
			t.Errorf("%s: %v", c.name, err)
		}
		t.Logf("%s: %d kB of heap, %v", c.name, grown/kB, err)
		if grown > c.most {
			t.Errorf("%s: the heap grows by %d bytes, at most %d are allowed", c.name, grown, c.most)
		}
	}
}

// TestExtremes: numbers at and beyond the edge of what is allowed end in one
// line or in an image within the frame, never in a wrapped number.
func TestExtremes(t *testing.T) {
	const top = "%FSLAX66Y66*%%MOMM*%%ADD10C,0.1*%%ADD11R,1.9X1.9*%D10*"
	for _, text := range []string{
		"X999999999999Y0D03*", "X-999999999999Y-999999999999D03*", "X9223372036854775807Y0D03*", "X99999999999999999999Y0D03*",
		"X1000000000Y0D03*", "D11*X999999999Y0D03*", "D11*X999999999Y0D02*X999999999Y5D01*",
		"G75*X999000000Y0D02*G03X999000000Y0I900000000J0D01*", "G75*X0Y0D02*G03X1Y1I999999999999J0D01*",
		"G75*X0Y0D02*G03X0Y0I100000000000J0D01*", "G74*X0Y0D02*G03X1000Y1000I999999999999J999999999999D01*",
		"%SRX1000000000Y1000000000I1J1*%X0Y0D03*%SR*%", "%SRX1000Y1I0.999J0*%X0Y0D03*X900000000D03*%SR*%",
		"%SRX2Y1I99999999999999J0*%X0Y0D03*%SR*%", "%SRX1e9Y1I0J0*%X0Y0D03*%SR*%", "%SRX99999999999999999999Y1I0J0*%X0Y0D03*%SR*%",
		"%LS1000*%D11*X0Y0D03*", "%LR1000000000000000*%X0Y0D03*", "%LS0.000000001*%X0Y0D03*",
		"%ADD12C,999999999999*%", "%ADD12P,999,3,1e9*%", "%ADD12R,0.000000001X0.000000001*%D12*X0Y0D03*",
		"%AMA*1,1,$1/0,0,0*%%ADD12A,1*%", "%AMA*$1=$1/($2-$2)*1,1,$1,0,0*%%ADD12A,1*%", "%AMA*$1=$1x99999*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*1,1,$1,0,0*%%ADD12A,9*%",
		"%AMA*4,1,99999999999,0,0*%%ADD12A*%", "%AMA*5,1,2000000000,0,0,1,0*%%ADD12A*%", "%AMA*6,0,0,9,0.0000001,0.0000001,99999,1,1,0*%%ADD12A*%D12*X0Y0D03*",
		"%AMA*$99999999999999999999=1*%%ADD12A*%", "%AMA*1,1,$99999999999999999999,0,0*%%ADD12A*%",
		"%ABD12*%D12*X0Y0D03*%AB*%D12*X0Y0D03*", "%ABD12*%X0Y0D03*%ABD12*%X0Y0D03*%AB*%D12*X0Y0D03*%AB*%D12*X0Y0D03*",
		"%OFA999999999B0*%X0Y0D03*", "%SFA999999999B1*%X1000Y0D03*", "D99999999999999999999*X0Y0D03*", "%ADD99999999999999999999C,1*%",
	} {
		var img *Image
		var err error
		taken := readertest.Allocated(func() { img, err = Read(strings.NewReader(top+text+"M02*"), "x.gbr") })
		if taken > 8<<20 {
			t.Errorf("%s: allocates %d bytes", text, taken)
		}
		if err != nil {
			if class, line, says := outcome(nil, err); class == "other" || line != 1 || strings.Contains(says, "\n") || len(says) > 200 {
				t.Errorf("%s: %v", text, err)
			}
			continue
		}
		for _, o := range img.Objects {
			if reach(o.Rings) > 1_000_000_000 {
				t.Errorf("%s: reaches %d nm", text, reach(o.Rings))
			}
		}
	}
}
