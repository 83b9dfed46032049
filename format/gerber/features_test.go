package gerber

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// feature is one tiny file and what its image must be: painted area and
// extents by the hand calculation beside it, and how many objects of each
// kind.
type feature struct {
	name, text string
	area, tol  float64 // mm2; tol 0: a hundred-thousandth
	box        [4]float64
	warns      string // a part of the only warning; empty: none
	cut        bool   // the file lacks its end
}

func (f feature) check(t *testing.T) {
	t.Helper()
	img, err := Read(strings.NewReader(f.text), "test.gbr")
	if err != nil {
		t.Errorf("%s: %v", f.name, err)
		return
	}
	near(t, f.name+": area", square(painted(img)), f.area, max(f.tol, 1e-5*max(1, f.area)))
	if f.area == 0 && !img.Bounds.Empty() {
		t.Errorf("%s: extents %v of nothing", f.name, img.Bounds)
	}
	for i, got := range []int64{img.Bounds.Min.X, img.Bounds.Min.Y, img.Bounds.Max.X, img.Bounds.Max.Y} {
		if math.Abs(float64(got)*1e-6-f.box[i]) > 3e-4 && f.area > 0 {
			t.Errorf("%s: extents %v, want %v", f.name, img.Bounds, f.box)
			break
		}
	}
	switch {
	case f.warns == "" && len(img.Warnings) > 0, f.warns != "" && len(img.Warnings) != 1:
		t.Errorf("%s: warnings %v, want %q", f.name, img.Warnings, f.warns)
	case f.warns != "" && !strings.Contains(img.Warnings[0].What, f.warns):
		t.Errorf("%s: warning %v, want %q", f.name, img.Warnings[0], f.warns)
	}
	if img.Complete == f.cut {
		t.Errorf("%s: complete %v", f.name, img.Complete)
	}
}

const (
	disc = math.Pi / 4 // of diameter 1
	in   = 25.4
	// fs24 is a header of millimetres with four decimals: 1 mm is 10000.
	fs24 = "%FSLAX34Y34*%%MOMM*%"
)

// TestOldSyntax: how commands were written through the years (Gerber Layer
// Format Specification, chapters on syntax and on deprecated elements).
func TestOldSyntax(t *testing.T) {
	// A square of side 1 mm about (5, 5).
	square1 := func(text string) feature {
		return feature{text: text, area: 1, box: [4]float64{4.5, 4.5, 5.5, 5.5}}
	}
	for name, f := range map[string]feature{
		"plain":                   square1(fs24 + "%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"bare CR":                 square1(strings.ReplaceAll("%FSLAX34Y34*%|%MOMM*%|%ADD10R,1X1*%|D10*|X50000Y50000D03*|M02*|", "|", "\r")),
		"CR LF":                   square1(strings.ReplaceAll("%FSLAX34Y34*%|%MOMM*%|%ADD10R,1X1*%|D10*|X50000Y50000D03*|M02*|", "|", "\r\n")),
		"a number over two lines": square1(fs24 + "%ADD10R,1\nX1*%D10*X500\n00Y50000D03*M02*"),
		"mixed case":              square1("%fslax34Y34*%%MOmm*%%ADd10r,1x1*%d10*x50000Y50000d3*m2*"),
		"commands in one block":   square1("%FSLAX34Y34*MOMM*ADD10R,1X1*LNtop*LPD*%D10*X50000Y50000D03*M02*"),
		"LN and LP in one line":   square1(fs24 + "%LNtop*LPD*%%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"D1 to D3":                square1(fs24 + "%ADD10R,1X1*%D10*X50000Y50000D2*D3*M02*"),
		"D001":                    square1(fs24 + "%ADD10R,1X1*%D10*X50000Y50000D003*M02*"),
		"G54 before the D code":   square1(fs24 + "%ADD10R,1X1*%G54D10*X50000Y50000D03*M02*"),
		"G55 before the flash":    square1(fs24 + "%ADD10R,1X1*%D10*G55X50000Y50000D03*M02*"),
		"plus signs":              square1(fs24 + "%ADD10R,1X1*%D10*X+50000Y+50000D03*M02*"),
		"decimal points":          square1(fs24 + "%ADD10R,1.X1.0*%D10*X5.Y5.0D03*M02*"),
		"line numbers":            square1(fs24 + "%ADD10R,1X1*%N1D10*N2X50000Y50000D03*N3M02*"),
		"spaces":                  square1("% FSLAX34Y34 *%\n%MOMM *%\n%ADD10R, 1 X 1*%\n D10*\n X50000 Y50000 D03 *\nM02 *"),
		"M00 ends":                square1(fs24 + "%ADD10R,1X1*%D10*X50000Y50000D03*M00*"),
		"M01 does not":            square1(fs24 + "%ADD10R,1X1*%D10*M01*X50000Y50000D03*M02*"),
		"M30 ends":                square1(fs24 + "%ADD10R,1X1*%D10*X50000Y50000D03*M30*"),
		"more than one end":       square1(fs24 + "%ADD10R,1X1*%D10*X50000Y50000D03*M02*\n%%\nG04 made by hand*\nM02*\n\x1a\n"),
		"nothing counts after M02": {text: fs24 + "%ADD10R,1X1*%D10*X50000Y50000D03*M02*X0Y0D03*",
			area: 1, box: [4]float64{4.5, 4.5, 5.5, 5.5}, warns: "goes on behind its end mark"},
		"G codes in front":            square1(fs24 + "%ADD10R,1X1*%D10*G01X50000Y50000D03*M02*"),
		"two G codes in front":        square1(fs24 + "%ADD10R,1X1*%D10*G01G75X50000Y50000D03*M02*"),
		"percent signs in a comment":  square1(fs24 + "G04 50% of 100%%*%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"a comment over lines":        square1(fs24 + "G04 one\ntwo*%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"empty words":                 square1("***" + fs24 + "**%ADD10R,1X1*%D10**X50000Y50000D03**M02*"),
		"FS with N, G, D, M digits":   square1("%FSLAN2G2X34Y34D2M2*%%MOMM*%%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"only X digits in FS":         square1("%FSLAX34*%%MOMM*%%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"no sign of leading zeros":    square1("%FSAX34Y34*%%MOMM*%%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"leading zeros kept":          square1(fs24 + "%ADD10R,1X1*%D10*X0050000Y0050000D03*M02*"),
		"G71 for the unit":            square1("%FSLAX34Y34*%G71*%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"G90 and G91":                 square1(fs24 + "%ADD10R,1X1*%D10*G91*X20000Y10000D02*X30000Y40000D03*G90*M02*"),
		"incremental by FS":           square1("%FSLIX34Y34*%%MOMM*%%ADD10R,1X1*%D10*X20000Y10000D02*X30000Y40000D03*M02*"),
		"unset aperture codes unused": square1(fs24 + "%ADD10R,1X1*%%ADD11C,9*%D11*D10*X50000Y50000D03*M02*"),
		"an aperture defined again":   square1(fs24 + "%ADD10C,9*%%ADD10R,1X1*%D10*X50000Y50000D03*M02*"),
		"unit in inches": {text: "%FSLAX24Y24*%%MOIN*%%ADD10R,1X1*%D10*X50000Y50000D03*M02*",
			area: in * in, box: [4]float64{4.5 * in, 4.5 * in, 5.5 * in, 5.5 * in}},
		"G70 for the unit": {text: "%FSLAX24Y24*%G70*%ADD10R,1X1*%D10*X50000Y50000D03*M02*",
			area: in * in, box: [4]float64{4.5 * in, 4.5 * in, 5.5 * in, 5.5 * in}},
		// X05 with trailing zeros left out and 2 digits before the point is 5.
		"trailing zeros omitted": {text: "%FSTAX24Y24*%%MOMM*%%ADD10R,1X1*%D10*X05Y0500D03*M02*",
			area: 1, box: [4]float64{4.5, 4.5, 5.5, 5.5}, warns: "trailing zeros"},
		"no unit": {text: "%FSLAX24Y24*%%ADD10R,1X1*%D10*X50000Y50000D03*M02*",
			area: in * in, box: [4]float64{4.5 * in, 4.5 * in, 5.5 * in, 5.5 * in}, warns: "inches taken"},
		"no format, decimal points": {text: "%MOMM*%%ADD10R,1X1*%D10*X5.0Y5.0D03*M02*",
			area: 1, box: [4]float64{4.5, 4.5, 5.5, 5.5}, warns: "no format"},
		// The second square is in inches: side 25.4 mm about 25.4 mm.
		"unit changes": {text: fs24 + "%ADD10R,1X1*%D10*X50000Y-50000D03*G70*%ADD11R,1X1*%D11*X10000Y10000D03*M02*",
			area: 1 + in*in, box: [4]float64{4.5, -5.5, 1.5 * in, 1.5 * in}, warns: "unit changes"},
		"no end": {text: fs24 + "%ADD10R,1X1*%D10*X50000Y50000D03*", area: 1, box: [4]float64{4.5, 4.5, 5.5, 5.5}, cut: true},
		// Round strokes of 0.1 mm: two of length 1 at right angles share a
		// corner of one disc: 2 * 1 * 0.1 + two half discs and the corner's
		// quarter disc beyond the overlapping square: 3/4 disc + 0.05*0.05.
		"modal D01": {text: fs24 + "%ADD10C,0.1*%D10*X0Y0D02*G01X10000D01*Y10000*M02*",
			area: 0.2 + math.Pi*0.0025*1.25 - 0.0025, box: [4]float64{-0.05, -0.05, 1.05, 1.05}},
	} {
		f.name = name
		f.check(t)
	}
}

// TestBrushes: what apertures paint when flashed and moved.
func TestBrushes(t *testing.T) {
	draw := func(aperture, way string) string {
		return fs24 + "%ADD10" + aperture + "*%D10*X0Y0D02*G01" + way + "M02*"
	}
	diag := math.Sqrt2 // the length of a way of (1, 1)
	for _, f := range []feature{
		// A rectangle w x h moved by (dx, dy) covers wh + h|dx| + w|dy|.
		{name: "rectangle along x", text: draw("R,0.4X0.2", "X10000D01*"), area: 0.08 + 0.2, box: [4]float64{-0.2, -0.1, 1.2, 0.1}},
		{name: "rectangle along y", text: draw("R,0.4X0.2", "Y-10000D01*"), area: 0.08 + 0.4, box: [4]float64{-0.2, -1.1, 0.2, 0.1}},
		{name: "rectangle at 45", text: draw("R,0.4X0.2", "X10000Y10000D01*"), area: 0.08 + 0.2 + 0.4, box: [4]float64{-0.2, -0.1, 1.2, 1.1}},
		{name: "rectangle at another angle", text: draw("R,0.4X0.2", "X-20000Y10000D01*"), area: 0.08 + 0.4 + 0.4, box: [4]float64{-2.2, -0.1, 0.2, 1.1}},
		// Any convex shape of area A and width W across the way covers A + W l.
		// An obround 0.4 x 0.2 is a disc of 0.2 and a line of 0.2 along x:
		// width across 45 degrees 0.2 + 0.2 sin 45. Its round ends may stray by
		// 0.25 um on both sides of the way.
		{name: "obround along x", text: draw("O,0.4X0.2", "X10000D01*"), area: 0.04 + disc*0.04 + 0.2, box: [4]float64{-0.2, -0.1, 1.2, 0.1}},
		{name: "obround at 45", text: draw("O,0.4X0.2", "X10000Y10000D01*"), area: 0.04 + disc*0.04 + (0.2+0.2/diag)*diag, tol: 2 * 0.25e-3 * diag, box: [4]float64{-0.2, -0.1, 1.2, 1.1}},
		// A hexagon of diameter 0.2 with corners on the x axis: area
		// 6 * sqrt(3)/4 * 0.01, width across the x axis 0.1 sqrt(3).
		{name: "polygon", text: draw("P,0.2X6", "X10000D01*"), area: 6*math.Sqrt(3)/4*0.01 + 0.1*math.Sqrt(3), box: [4]float64{-0.1, -0.0866, 1.1, 0.0866}},
		// A diamond of diagonals 0.4 and 0.2: area 0.04, width across x 0.2.
		{name: "macro", text: fs24 + "%AMD*4,1,4,-0.2,0,0,-0.1,0.2,0,0,0.1,-0.2,0,0*%%ADD10D*%D10*X0Y0D02*G01X10000D01*M02*",
			area: 0.04 + 0.2, box: [4]float64{-0.2, -0.1, 1.2, 0.1}},
		// Two separate squares of 0.1 at y = +-0.2, drawn along x by 1.
		{name: "macro of two pieces", text: fs24 + "%AMD*21,1,0.1,0.1,0,0.2,0*21,1,0.1,0.1,0,-0.2,0*%%ADD10D*%D10*X0Y0D02*G01X10000D01*M02*",
			area: 2 * (0.01 + 0.1), box: [4]float64{-0.05, -0.25, 1.05, 0.25}},
		// A ring of 0.4 with a hole of 0.2, moved by 1: the rim passes over all
		// of its hole, so it paints what a disc does: 0.4 * 1 + disc * 0.16.
		{name: "ring moved along x", text: draw("C,0.4X0.2", "X10000D01*"), area: 0.4 + disc*0.16, box: [4]float64{-0.2, -0.2, 1.2, 0.2}},
		{name: "no size", text: draw("C,0", "X10000D01*")},
		// A square of side s along a way that only goes left and up by 1 each
		// covers s*s + s * (1 + 1), as along a straight way.
		{name: "square along an arc", text: draw("R,0.2X0.2", "G75*G03X-10000Y10000I-10000J0D01*"), area: 0.04 + 0.4, box: [4]float64{-1.1, -0.1, 0.1, 1.1}},
		{name: "a draw of no length", text: draw("R,0.4X0.2", "X0Y0D01*"), area: 0.08, box: [4]float64{-0.2, -0.1, 0.2, 0.1}},
		{name: "flash of a disc", text: fs24 + "%ADD10C,1*%D10*X0Y0D03*M02*", area: disc, box: [4]float64{-0.5, -0.5, 0.5, 0.5}},
		{name: "rectangle of one number", text: fs24 + "%ADD10R,1*%D10*X0Y0D03*M02*", area: 1, box: [4]float64{-0.5, -0.5, 0.5, 0.5}},
		// 21 strokes of a square of 0.1 mm at a pitch of 0.05 mm.
		{name: "stroked fill", text: fs24 + "%ADD10R,0.1X0.1*%D10*G01" + rows(21, 500) + "M02*", area: 2.1 * 1.1, box: [4]float64{-0.05, -0.05, 2.05, 1.05}},
	} {
		f.check(t)
	}
}

// rows draws n lines of 2 mm at a pitch in 100 nm.
func rows(n, pitch int) string {
	var b strings.Builder
	for k := range n {
		y := itoa(k * pitch)
		b.WriteString("X0Y" + y + "D02*X20000Y" + y + "D01*")
	}
	return b.String()
}

func itoa(n int) string { return strconv.Itoa(n) }

// TestFills: regions, cut-ins and arcs in them.
func TestFills(t *testing.T) {
	fill := func(text string) string { return fs24 + "G36*" + text + "G37*M02*" }
	for _, f := range []feature{
		// An L of 2 x 2 less 1 x 1.
		{name: "concave", text: fill("X0Y0D02*G01X20000D01*Y10000D01*X10000D01*Y20000D01*X0D01*Y0D01*"), area: 3, box: [4]float64{0, 0, 2, 2}},
		// 3 x 3 with a hole of 1 x 1 reached by a cut-in that runs in and back
		// along one line.
		{name: "cut-in", text: fill("X0Y0D02*G01X30000D01*Y30000D01*X0D01*Y10000D01*X10000D01*Y20000D01*X20000D01*Y10000D01*X0D01*Y0D01*"), area: 8, box: [4]float64{0, 0, 3, 3}},
		// The same with two holes, one cut-in from the other hole's corner.
		{name: "chained cut-ins", text: fill("X0Y0D02*G01X50000D01*Y30000D01*X0D01*Y10000D01*X10000D01*Y20000D01*X20000D01*Y10000D01*" +
			"X30000D01*Y20000D01*X40000D01*Y10000D01*X0D01*Y0D01*"), area: 15 - 2, box: [4]float64{0, 0, 5, 3}},
		// A round hole of diameter 1 by two half circles, cut in from the left.
		{name: "round cut-in", text: fill("X0Y0D02*G01X30000D01*Y30000D01*X0D01*Y15000D01*X10000D01*G75*G02X20000I5000D01*X10000I-5000D01*G01*X0D01*Y0D01*"),
			area: 9 - disc, box: [4]float64{0, 0, 3, 3}},
		// Each contour fills on its own: two that overlap by 1 x 1.
		{name: "overlapping contours", text: fill("X0Y0D02*G01X20000D01*Y20000D01*X0D01*Y0D01*X10000Y10000D02*X30000D01*Y30000D01*X10000D01*Y10000D01*"), area: 7, box: [4]float64{0, 0, 3, 3}},
		{name: "contours that touch in a corner", text: fill("X0Y0D02*G01X10000D01*Y10000D01*X0D01*Y0D01*X10000Y10000D02*X20000D01*Y20000D01*X10000D01*Y10000D01*"), area: 2, box: [4]float64{0, 0, 2, 2}},
		// A bow tie: two triangles of base 1 and height 0.5, filled on both
		// sides of the crossing.
		{name: "crossing itself", text: fill("X0Y0D02*G01X10000Y10000D01*X0D01*X10000Y0D01*X0D01*"), area: 0.5, box: [4]float64{0, 0, 1, 1}},
		{name: "a half disc", text: fill("X-5000Y0D02*G75*G02X5000I5000D01*G01X-5000D01*"), area: disc / 2, box: [4]float64{-0.5, 0, 0.5, 0.5}},
		{name: "a whole disc", text: fill("X5000Y0D02*G75*G03X5000Y0I-5000J0D01*"), area: disc, box: [4]float64{-0.5, -0.5, 0.5, 0.5}},
		{name: "clear over dark", text: fs24 + "%LPD*%G36*X0Y0D02*G01X20000D01*Y20000D01*X0D01*Y0D01*G37*%LPC*%%ADD10C,1*%D10*X10000Y10000D03*%LPD*%%ADD11C,0.5*%D11*X10000Y10000D03*M02*",
			area: 4 - disc + disc/4, box: [4]float64{0, 0, 2, 2}},
		{name: "modal D01 in a region", text: fill("X0Y0D02*G01X10000D01*Y10000*X0*Y0*"), area: 1, box: [4]float64{0, 0, 1, 1}},
		{name: "D02 that goes nowhere", text: fill("X0Y0D02*X0Y0D02*G01X10000D01*Y10000D01*X0D01*Y0D01*X0Y0D02*"), area: 1, box: [4]float64{0, 0, 1, 1}},
		{name: "G36 in the line of a move", text: fs24 + "G36*G01X0Y0D02*X10000D01*Y10000D01*X0D01*Y0D01*G37*M02*", area: 1, box: [4]float64{0, 0, 1, 1}},
		{name: "closed by hand", text: fill("X0Y0D02*G01X10000D01*Y10000D01*X0D01*"), area: 1, box: [4]float64{0, 0, 1, 1}, warns: "not closed"},
	} {
		f.check(t)
	}
}

// TestQuarterArcs: G74 in every quadrant and both directions. A pen of
// 0.2 mm along a quarter circle of radius 1 covers 0.2 * pi/2 and a disc; I
// and J carry no sign, so the centre is the one that makes a quarter turn.
func TestQuarterArcs(t *testing.T) {
	area := 0.2*math.Pi/2 + disc*0.04
	for _, c := range []struct{ from, code, to, ij string }{
		{"X10000Y0", "G03", "X0Y10000", "I10000J0"}, {"X0Y10000", "G03", "X-10000Y0", "I0J10000"},
		{"X-10000Y0", "G03", "X0Y-10000", "I10000J0"}, {"X0Y-10000", "G03", "X10000Y0", "I0J10000"},
		{"X0Y10000", "G02", "X10000Y0", "I0J10000"}, {"X-10000Y0", "G02", "X0Y10000", "I10000J0"},
		{"X0Y-10000", "G02", "X-10000Y0", "I0J10000"}, {"X10000Y0", "G02", "X0Y-10000", "I10000J0"},
	} {
		img := mustRead(t, fs24+"%ADD10C,0.2*%D10*G74*"+c.from+"D02*"+c.code+c.to+c.ij+"D01*M02*")
		near(t, c.code+" to "+c.to, square(painted(img)), area, 1e-5)
		b := img.Bounds
		for _, o := range img.Objects {
			for _, p := range o.Via { // the middle must lie on the circle about the origin
				near(t, "radius", math.Hypot(float64(p.X), float64(p.Y))*1e-6, 1, 0.25e-3)
			}
		}
		if b.Max.X-b.Min.X > 1_200_500 || b.Max.Y-b.Min.Y > 1_200_500 {
			t.Errorf("%s to %s: extents %v", c.code, c.to, b)
		}
	}
	// An eighth, and an arc of a few nanometres, which must not become a turn.
	near(t, "an eighth", square(painted(mustRead(t, fs24+"%ADD10C,0.2*%D10*G74*X10000Y0D02*G03X7071Y7071I10000J0D01*M02*"))), 0.2*math.Pi/4+disc*0.04, 2e-5)
	near(t, "a few nanometres", square(painted(mustRead(t, "%FSLAX36Y36*%%MOMM*%%ADD10C,0.2*%D10*G75*X1000000Y0D02*G03X1000000Y5I-1000000J0D01*M02*"))), disc*0.04, 1e-5)
}

// TestCopies: step and repeat, aperture blocks and turned apertures.
func TestCopies(t *testing.T) {
	for _, f := range []feature{
		{name: "a grid", text: fs24 + "%ADD10R,1X1*%D10*%SRX3Y2I2J3*%X0Y0D03*%SR*%M02*", area: 6, box: [4]float64{-0.5, -0.5, 4.5, 3.5}},
		{name: "never closed", text: fs24 + "%ADD10R,1X1*%D10*%SRX3Y1I2J0*%X0Y0D03*M02*", area: 3, box: [4]float64{-0.5, -0.5, 4.5, 0.5}},
		{name: "closed by the next", text: fs24 + "%ADD10R,1X1*%D10*%SRX2Y1I2J0*%X0Y0D03*%SRX1Y2I0J5*%Y20000D03*%SR*%M02*", area: 4, box: [4]float64{-0.5, -0.5, 2.5, 7.5}},
		// A block of two squares, stepped twice inside a block, flashed twice.
		{name: "steps in a block", text: fs24 + "%ADD10R,1X1*%%ABD11*%D10*%SRX2Y1I2J0*%X0Y0D03*%SR*%%AB*%D11*X0Y0D03*Y20000D03*M02*", area: 4, box: [4]float64{-0.5, -0.5, 2.5, 2.5}},
		{name: "a block in steps", text: fs24 + "%ADD10R,1X1*%%ABD11*%D10*X0Y0D03*X0Y20000D03*%AB*%D11*%SRX2Y1I2J0*%X0Y0D03*%SR*%M02*", area: 4, box: [4]float64{-0.5, -0.5, 2.5, 2.5}},
		{name: "a block of a block", text: fs24 + "%ADD10R,1X1*%%ABD11*%D10*X0Y0D03*%AB*%%ABD12*%D11*X0Y0D03*X20000D03*%AB*%D12*X0Y0D03*Y20000D03*M02*", area: 4, box: [4]float64{-0.5, -0.5, 2.5, 2.5}},
		// Squares of 1 at a pitch of 1, each followed by a clear one half a
		// pitch to the left, which clears its left half and the right half of
		// the copy before it: the right half of the last is left.
		{name: "clear in steps", text: fs24 + "%ADD10R,1X1*%D10*%SRX3Y1I1J0*%X0Y0D03*%LPC*%X-5000D03*%LPD*%%SR*%M02*", area: 0.5, box: [4]float64{-0.5, -0.5, 2.5, 0.5}},
		{name: "mirrored", text: fs24 + "%AMA*21,1,2,1,1,0.5,0*%%ADD10A*%D10*%LMX*%X0Y0D03*M02*", area: 2, box: [4]float64{-2, 0, 0, 1}},
		{name: "turned", text: fs24 + "%AMA*21,1,2,1,1,0.5,0*%%ADD10A*%D10*%LR90*%X0Y0D03*M02*", area: 2, box: [4]float64{-1, 0, 0, 2}},
		{name: "scaled", text: fs24 + "%AMA*21,1,2,1,1,0.5,0*%%ADD10A*%D10*%LS0.5*%X0Y0D03*M02*", area: 0.5, box: [4]float64{0, 0, 1, 0.5}},
		{name: "turned back", text: fs24 + "%ADD10R,2X1*%D10*%LR90*%%LR0*%X0Y0D03*M02*", area: 2, box: [4]float64{-1, -0.5, 1, 0.5}},
		{name: "a block turned by 30 degrees", text: fs24 + "%ADD10C,1*%%ABD11*%D10*X20000Y0D03*%AB*%D11*%LR30*%X0Y0D03*M02*", area: disc,
			box: [4]float64{math.Sqrt(3) - 0.5, 0.5, math.Sqrt(3) + 0.5, 1.5}},
	} {
		f.check(t)
	}
}

// TestListApart: files of the time when apertures came in a list of their own
// cannot be painted, and say so.
func TestListApart(t *testing.T) {
	for name, text := range map[string]string{
		"no format, no apertures": "G90*G70*D10*X1000Y1000D02*X2000D01*M02*",
		"no apertures":            fs24 + "D10*X1000Y1000D02*X2000D01*M02*",
		"a flash":                 "D10*X1000Y1000D03*M02*",
	} {
		_, err := Read(strings.NewReader(text), "old.gbr")
		if err == nil || !strings.Contains(err.Error(), "list of its own") || !strings.Contains(err.Error(), "old.gbr:1") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
