package gerber

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
	"ohmward/geom"
)

// TestDialects: each pair must give the same image.
func TestDialects(t *testing.T) {
	const want = "%FSLAX24Y24*%%MOMM*%%ADD10C,0.5*%D10*X010000Y020000D02*G01*X030000D01*Y040000D01*X050000Y010000D03*M02*"
	for name, text := range map[string]string{
		"one command a line": "%FSLAX24Y24*%\n%MOMM*%\n%ADD10C,0.5*%\nD10*\nX10000Y20000D02*\nG01*\nX30000Y20000D01*\nX30000Y40000D01*\nX50000Y10000D03*\nM02*\n",
		"bare CR":            "%FSLAX24Y24*%\r%MOMM*%\r%ADD10C,0.5*%\rD10*\rX10000Y20000D02*\rG01X30000D01*\rY40000D01*\rX50000Y10000D03*\rM02*\r",
		"lower case":         "%fslax24y24*%%momm*%%add10c,0.5*%d10*x10000y20000d02*g01x30000d01*y40000d01*x50000y10000d03*m02*",
		"one block":          "%FSLAX24Y24*MOMM*ADD10C,0.5*%D10*X10000Y20000D02*G01X30000D01*Y40000D01*X50000Y10000D03*M02*",
		"block over lines":   "%FSLAX24\nY24*\nMOMM*\n%\n%ADD10\nC,0.5*%D1\n0*X10000Y20000D02*G01X30000D01*Y40000D01*X50000Y10000D03*M02*",
		"byte order mark":    "\ufeff%FSLAX24Y24*%%MOMM*%%ADD10C,0.5*%D10*X10000Y20000D02*G01X30000D01*Y40000D01*X50000Y10000D03*M02*",
		"short codes":        "%FSLAX24Y24*%%MOMM*%%ADD10C,0.5*%G54D10*X10000Y20000D2*G1X30000D1*Y40000D1*X50000Y10000D3*M2*",
		"modal D01":          "%FSLAX24Y24*%%MOMM*%%ADD10C,0.5*%D10*X10000Y20000D02*G01X30000D01*Y40000*X50000Y10000D03*M02*",
		"flash after a move": "%FSLAX24Y24*%%MOMM*%%ADD10C,0.5*%D10*X10000Y20000D02*G01X30000D01*Y40000D01*X50000Y10000D02*D03*M02*",
		"G71":                "%FSLAX24Y24*%G71*%ADD10C,0.5*%D10*X10000Y20000D02*G01X30000D01*Y40000D01*X50000Y10000D03*M02*",
		"incremental":        "%FSLIX24Y24*%%MOMM*%%ADD10C,0.5*%D10*X10000Y20000D02*G01X20000D01*Y20000D01*X20000Y-30000D03*M02*",
		"G91":                "%FSLAX24Y24*%%MOMM*%%ADD10C,0.5*%D10*X10000Y20000D02*G91*G01X20000D01*Y20000D01*G90*X50000Y10000D03*M02*",
		"trailing zeros out": "%FSTAX24Y24*%%MOMM*%%ADD10C,0.5*%D10*X01Y02D02*G01X03D01*Y04D01*X05Y01D03*M02*",
		"decimal points":     "%FSLAX24Y24*%%MOMM*%%ADD10C,.5*%D10*X1.Y2.0D02*G01X+3.D01*Y4.D01*X5.0Y1.0D03*M02*",
		"deprecated commands": "%ASAXBY*%%FSLAX24Y24*%%MOMM*%%INboard*%%IPPOS*%%OFA0B0*%%MIA0B0*%%SFA1B1*%%IR0*%%LNtop*%" +
			"%ADD10C,0.5*%D10*X10000Y20000D02*G01X30000D01*Y40000D01*X50000Y10000D03*M00*",
		"inches": "%FSLAX26Y26*%%MOIN*%%ADD10C,0.019685039*%D10*X39370Y78740D02*G01X118110D01*Y157480D01*X196850Y39370D03*M02*",
	} {
		a, b := mustRead(t, want), mustRead(t, text)
		if name == "inches" { // 25.4 nm steps
			for i := range a.Objects {
				if geom.Distance(a.Objects[i].At, b.Objects[i].At) > 26 {
					t.Errorf("inches: %v, want %v", b.Objects[i].At, a.Objects[i].At)
				}
			}
			continue
		}
		for i := range a.Objects {
			a.Objects[i].Line = 0
		}
		for i := range b.Objects {
			b.Objects[i].Line = 0
		}
		if !reflect.DeepEqual(a.Objects, b.Objects) || !b.Complete {
			t.Errorf("%s: got %v\nwant %v", name, places(b), places(a))
		}
	}
}

func places(img *Image) string {
	var b strings.Builder
	for _, o := range img.Objects {
		fmt.Fprint(&b, o.Kind, o.At, o.To, " ")
	}
	return b.String()
}

// TestLines: line numbers count LF, CR LF and bare CR alike, and name the
// line where a command begins.
func TestLines(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r"} {
		text := strings.ReplaceAll("%FSLAX24Y24*%|%MOMM*%|%ADD10C,0.5*%||D10*|X1|Y1|D03*|X2Y2D03*X3Y3D03*|M02*|", "|", end)
		img := mustRead(t, text)
		got := []int{img.Objects[0].Line, img.Objects[1].Line, img.Objects[2].Line}
		if !reflect.DeepEqual(got, []int{6, 9, 9}) {
			t.Errorf("%q: lines %v", end, got)
		}
	}
}

// TestComments: percent signs inside comments are text.
func TestComments(t *testing.T) {
	img := mustRead(t, "G04 100% sure*\n"+header+"%ADD10C,1*%\nG4 D10 is 50% of it\n%LPD*%\nD10*X0Y0D03*M02*")
	if len(img.Objects) != 1 || len(img.Warnings) != 1 {
		t.Errorf("objects %v, warnings %v", img.Objects, img.Warnings)
	}
}

func TestQuadrants(t *testing.T) {
	const ap = "%ADD10C,0.1*%D10*X1000000Y0D02*"
	for _, c := range []struct {
		name, text     string
		x0, y0, x1, y1 float64
	}{
		{"G75 quarter", "G75*G03*X0Y1000000I-1000000J0D01*", -0.05, -0.05, 1.05, 1.05},
		{"G75 three quarters", "G75*G02*X0Y1000000I-1000000J0D01*", -1.05, -1.05, 1.05, 1.05},
		{"G75 full", "G75*G02*I-1000000D01*", -1.05, -1.05, 1.05, 1.05},
		{"G74 quarter", "G74*G03*X0Y1000000I1000000J0D01*", -0.05, -0.05, 1.05, 1.05},
		{"G74 quarter, other centre", "G74*G02*X0Y1000000I0J1000000D01*", -0.05, -0.05, 1.05, 1.05},
		{"unsaid, signed", "G02*X0Y-1000000I-1000000J0D01*", -0.05, -1.05, 1.05, 0.05},
		{"unsaid, unsigned", "G02*X0Y-1000000I1000000J0D01*", -0.05, -1.05, 1.05, 0.05},
	} {
		b := mustRead(t, header+ap+c.text+"M02*").Bounds
		for _, d := range []float64{float64(b.Min.X)*1e-6 - c.x0, float64(b.Min.Y)*1e-6 - c.y0, float64(b.Max.X)*1e-6 - c.x1, float64(b.Max.Y)*1e-6 - c.y1} {
			if d > 0.3e-3 || d < -0.3e-3 {
				t.Errorf("%s: bounds %v", c.name, b)
				break
			}
		}
	}
}

// TestRegions: contours fill on their own, whatever their direction; holes
// come by cut-ins or by clearing (specification, regions).
func TestRegions(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want, tol  float64
	}{
		{"two apart", "G36*X0Y0D02*G01X1000000D01*Y1000000D01*X0D01*Y0D01*X2000000D02*Y1000000D01*X3000000D01*Y0D01*X2000000D01*G37*", 2, 1e-9},
		{"one inside the other", "G36*X0Y0D02*G01X3000000D01*Y3000000D01*X0D01*Y0D01*X1000000Y1000000D02*Y2000000D01*X2000000D01*Y1000000D01*X1000000D01*G37*", 9, 1e-9},
		{"cut-in", "G36*X0Y0D02*G01X3000000D01*Y3000000D01*X0D01*Y1000000D01*X1000000D01*Y2000000D01*X2000000D01*Y1000000D01*X0D01*Y0D01*G37*", 8, 1e-9},
		{"half disc", "G36*X-1000000Y0D02*G75*G02*X1000000I1000000D01*G01*X-1000000D01*G37*", 1.5707963, 1e-5},
		{"no D02", "X0Y0D02*G36*G01X1000000D01*Y1000000D01*X0Y0D01*G37*", 0.5, 1e-9},
		{"not closed", "G36*X0Y0D02*G01X1000000D01*Y1000000D01*G37*", 0.5, 1e-9},
		{"never ended", "G36*X0Y0D02*G01X1000000D01*Y1000000D01*X0Y0D01*", 0.5, 1e-9},
		{"no area", "G36*X0Y0D02*G01X1000000D01*X0D01*G37*", 0, 0},
	} {
		near(t, c.name, square(painted(mustRead(t, header+c.text+"M02*"))), c.want, c.tol)
	}
}

func TestStepRepeat(t *testing.T) {
	img := mustRead(t, header+"%ADD10R,1X1*%D10*%SRX3Y2I2.0J3.0*%X0Y0D03*%LPC*%X0Y0D03*%LPD*%X500000D03*%SR*%X9000000Y9000000D03*M02*")
	if n := len(img.Objects); n != 3*2*3+1 {
		t.Fatalf("%d objects", n)
	}
	near(t, "area", square(painted(img)), 7, 1e-9)
	bounds(t, img.Bounds, -0.5, -0.5, 9.5, 9.5)
	if img.Objects[3].At != geom.FromMM(0, 3) || img.Objects[6].At != geom.FromMM(2, 0) {
		t.Errorf("steps run %v, %v", img.Objects[3].At, img.Objects[6].At)
	}
	near(t, "next SR closes the last", square(painted(mustRead(t, header+"%ADD10R,1X1*%D10*%SRX2Y1I2J0*%X0Y0D03*%SRX1Y1I0J0*%Y5000000D03*M02*"))), 3, 1e-9)
}

func TestApertureBlocks(t *testing.T) {
	const block = header + "%ADD10R,1X0.5*%%ABD12*%D10*X1000000Y0D03*%ABD13*%X0Y2000000D03*%AB*%D13*X0Y0D03*%LPC*%D10*X1000000Y0D03*%LPD*%%AB*%"
	for _, c := range []struct {
		name, text     string
		want           float64
		x0, y0, x1, y1 float64
	}{
		{"flash", "D12*X10000000Y0D03*", 0.5, 9.5, -0.25, 11.5, 2.25},
		{"turned", "D12*%LR90*%X10000000Y0D03*", 0.5, 7.75, -0.5, 10.25, 1.5},
		{"mirrored", "D12*%LMX*%X10000000Y0D03*", 0.5, 8.5, -0.25, 10.5, 2.25},
		{"scaled", "D12*%LS2*%X10000000Y0D03*", 2, 9, -0.5, 13, 4.5},
	} {
		img := mustRead(t, block+c.text+"M02*")
		near(t, c.name, square(painted(img)), c.want, 1e-9)
		bounds(t, img.Bounds, c.x0, c.y0, c.x1, c.y1)
	}
	img := mustRead(t, block+"%ADD20R,9X9*%D20*X11000000Y0D03*D12*%LPC*%X10000000Y0D03*M02*")
	near(t, "clear flash swaps polarity", square(painted(img)), 81-0.5, 1e-9)
}

func TestTurning(t *testing.T) {
	for _, c := range []struct {
		set            string
		x0, y0, x1, y1 float64
	}{
		{"", 0, 0, 2, 1},
		{"%LMX*%", -2, 0, 0, 1},
		{"%LMY*%", 0, -1, 2, 0},
		{"%LMXY*%", -2, -1, 0, 0},
		{"%LR90*%", -1, 0, 0, 2},
		{"%LR-90*%", 0, -2, 1, 0},
		{"%LS0.5*%", 0, 0, 1, 0.5},
		{"%LMX*%%LR90*%%LS2*%", -2, -4, 0, 0}, // mirror first, then turn
		{"%LR90*%%LMN*%%LR0*%", 0, 0, 2, 1},
	} {
		img := mustRead(t, header+"%AMA*21,1,2,1,1,0.5,0*%%ADD10A*%D10*"+c.set+"X0Y0D03*M02*")
		bounds(t, img.Bounds, c.x0, c.y0, c.x1, c.y1)
		if r := img.Objects[0].Rings[0]; r.Area() <= 0 {
			t.Errorf("%s: ring runs clockwise", c.set)
		}
	}
	draw := mustRead(t, header+"%ADD10C,1*%D10*%LS0.5*%X0Y0D02*X2000000D01*M02*")
	bounds(t, draw.Bounds, -0.25, -0.25, 2.25, 0.25)
}

// TestDeprecatedPlacing: AS, MI, SF, OF and IR move the whole image.
func TestDeprecatedPlacing(t *testing.T) {
	for set, want := range map[string][4]float64{
		"%OFA10B-5*%":   {9.5, -5.25, 12.5, -4.75},
		"%MIA1B0*%":     {-2.5, -0.25, 0.5, 0.25},
		"%SFA2B1*%":     {-1, -0.25, 5, 0.25},
		"%ASAYBX*%":     {-0.25, -0.5, 0.25, 2.5},
		"%IR90*%":       {-0.25, -0.5, 0.25, 2.5},
		"%IR270*%":      {-0.25, -2.5, 0.25, 0.5},
		"%OFA0.5B0*%":   {0, -0.25, 3, 0.25},
		"%IPNEG*%":      {-0.5, -0.25, 2.5, 0.25},
		"%INx*LNy*%":    {-0.5, -0.25, 2.5, 0.25},
		"%SRX1Y1I0J0*%": {-0.5, -0.25, 2.5, 0.25},
	} {
		img := mustRead(t, header+set+"%ADD10R,1X0.5*%D10*X0Y0D02*X2000000D01*M02*")
		bounds(t, img.Bounds, want[0], want[1], want[2], want[3])
		if img.Negative != strings.HasPrefix(set, "%IPNEG") {
			t.Errorf("%s: negative %v", set, img.Negative)
		}
	}
}

func TestHoles(t *testing.T) {
	const disc = 0.78539816
	for _, c := range []struct {
		ad   string
		want float64
	}{
		{"C,1X0.5", disc * 0.75}, {"R,1X1X0.5", 1 - disc/4}, {"R,1X1X0.5X0.2", 0.9},
		{"O,2X1X0.5", 1 + disc*0.75}, {"P,2X4X45X0.5", 2 - disc/4}, {"R,1X1X1.2", 1 - 0.36*(math.Pi-4*(math.Acos(5./6)-5./6*math.Sqrt(1-25./36)))}, {"C,1X0", disc},
	} {
		img := mustRead(t, header+"%ADD10"+c.ad+"*%D10*X0Y0D03*M02*")
		near(t, c.ad, filled(img.Objects[0].Rings), c.want, 2e-5)
	}
	img := mustRead(t, header+"%ADD10C,1X0.5*%%ADD11C,0.3*%D11*X0Y0D03*D10*X0Y0D03*M02*")
	near(t, "hole does not clear", square(painted(img)), disc*(0.75+0.09), 2e-5)
}

func TestTooLarge(t *testing.T) {
	small := limits{objects: 1000, corners: 10_000}
	for name, text := range map[string]string{
		"draws":        header + "%ADD10C,0.1*%D10*",
		"flat strokes": header + "%ADD10R,0.1X0.1*%D10*",
		"no size":      header + "%ADD10C,0*%D10*",
		"region":       header + "G36*",
	} {
		_, err := read(readertest.NewFlood(text, "X1Y1D01*\nX999Y776D01*\n", 1<<20), "x.gbr", small)
		if !readertest.IsUnsupported(err, "too large") {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, text := range map[string]string{
		"steps":         header + "%ADD10C,0.1*%D10*%SRX50Y50I1J1*%X0Y0D03*%SR*%",
		"steps alone":   header + "%SRX1000000Y1000000I1J1*%",
		"blocks":        header + "%ADD10C,0.1*%D10*%ABD11*%X0Y0D03*X1D03*X2D03*X3D03*%AB*%%ABD12*%D11*X0D03*X0D03*X0D03*X0D03*%AB*%%ABD13*%D12*X0D03*X0D03*X0D03*X0D03*%AB*%%ABD14*%D13*X0D03*X0D03*X0D03*X0D03*%AB*%D14*X0D03*X1D03*X2D03*X3D03*",
		"nesting":       header + strings.Repeat("%ABD11*%", maxDepth+1),
		"long word":     header + "G04 " + strings.Repeat("x", maxWord+1) + "*",
		"macro outline": header + "%AMA*4,1,60000" + strings.Repeat(",0,0", 60001) + "*%%ADD10A*%",
		"parentheses":   header + "%AMA*1,1," + strings.Repeat("(", 99) + "1" + strings.Repeat(")", 99) + ",0,0*%%ADD10A*%",
	} {
		_, err := read(strings.NewReader(text), "x.gbr", small)
		if name == "macro outline" { // said in the outline's own words
			if class, _, _ := outcome(nil, err); class != "malformed" {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if !readertest.IsUnsupported(err, "") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
