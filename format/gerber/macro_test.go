package gerber

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// macroArea flashes one aperture of a macro.
func macroArea(t *testing.T, body, params string) float64 {
	t.Helper()
	return square(painted(mustRead(t, header+"%AMA*"+body+"%\n%ADD10A"+params+"*%\nD10*\nX0Y0D03*\nM02*\n")))
}

// TestPrimitives: closed forms, computed here.
func TestPrimitives(t *testing.T) {
	disc := math.Pi * 0.25
	ring := math.Pi * (1 - 0.25) / 4
	for _, c := range []struct {
		name, body, params string
		want, tol          float64
	}{
		{"circle", "1,1,1,0.3,0.4*", "", disc, 2e-6},
		{"circle turned", "1,1,1,0.3,0.4,45*", "", disc, 2e-6},
		{"vector line", "20,1,0.2,0,0,3,4,0*", "", 1, 1e-5},
		{"vector line, old code", "2,1,0.2,0,0,3,4,30*", "", 1, 1e-5},
		{"centre line", "21,1,2,0.5,1,1,33*", "", 1, 1e-5},
		{"lower left line", "22,1,2,0.5,1,1,33*", "", 1, 1e-5},
		{"outline", "4,1,4,0,0,1,0,1,1,0,1,0,0,0*", "", 1, 1e-9},
		{"outline clockwise", "4,1,4,0,0,0,1,1,1,1,0,0,0,17*", "", 1, 1e-5},
		{"polygon", "5,1,6,0,0,1,0*", "", 0.649519, 1e-5},
		{"moire, rings only", "6,0,0,2,0.25,0.25,2,0,0,0*", "", math.Pi * (1 - 0.5625 + 0.25 - 0.0625), 2e-5},
		{"moire, cross only", "6,0,0,0,0.1,0.1,0,0.1,2,30*", "", 2*0.2 - 0.01, 1e-5},
		{"thermal, gap 0", "7,0,0,1,0.5,0,0*", "", ring, 1e-5},
		{"two dark", "1,1,1,0,0*21,1,1,1,0,0,0*", "", 1, 1e-5},
		{"dark and clear", "21,1,2,2,0,0,0*21,0,1,1,0,0,0*", "", 3, 1e-5},
		{"clear first", "21,0,1,1,0,0,0*21,1,2,2,0,0,0*", "", 4, 1e-5},
		{"dark, clear, dark", "21,1,2,2,0,0,0*21,0,1,1,0,0,0*21,1,0.5,0.5,0,0,0*", "", 3.25, 1e-5},
		{"exposure by variable", "21,1,2,2,0,0,0*21,$1,1,1,0,0,0*", ",0", 3, 1e-5},
		{"missing parameter is 0", "21,1,$1,$2,$3,$4,$5*", ",2X1", 2, 1e-9},
		{"assignment", "$4=$1x2*$5=$4-$2/2*21,1,$4,$5,0,0,0*", ",1X1", 2 * 1.5, 1e-9},
		{"precedence", "21,1,1+2x3,(1+2)X3-8,0,0,0*", "", 7, 1e-9},
		{"unary", "21,1,-(1-3),+1--1,0,0,0*", "", 4, 1e-9},
		{"comment with text", "0 a comment, with $9 and = signs*21,1,1,1,0,0,0*", "", 1, 1e-9},
		{"lines and spaces", "\n0 two\nlines*\n 21, 1,\n1, 1,\r\n0,0,0*\n", "", 1, 1e-9},
	} {
		near(t, c.name, macroArea(t, c.body, c.params), c.want, c.tol)
	}
}

// TestMacroTurnsAboutOrigin: a shape off the origin moves when turned.
func TestMacroTurnsAboutOrigin(t *testing.T) {
	for body, want := range map[string][4]float64{
		"21,1,2,1,3,0,90*":               {-0.5, 2, 0.5, 4},
		"20,1,1,2,0,4,0,90*":             {-0.5, 2, 0.5, 4},
		"22,1,2,1,2,-0.5,90*":            {-0.5, 2, 0.5, 4},
		"1,1,1,3,0,180*":                 {-3.5, -0.5, -2.5, 0.5},
		"4,1,3,1,0,2,0,2,1,1,0,270*":     {0, -2, 1, -1},
		"5,1,4,3,0,2,90*":                {-1, 2, 1, 4},
		"7,0,3,2,1,0,90*":                {-4, -1, -2, 1},
		"6,0,3,2,0.2,0.2,1,0.1,0.5,180*": {-1, -4, 1, -2},
	} {
		img := mustRead(t, header+"%AMA*"+body+"%\n%ADD10A*%D10*X0Y0D03*M02*")
		bounds(t, img.Bounds, want[0], want[1], want[2], want[3])
	}
}

// TestMacroClearStaysInside: exposure off clears within the macro only
// (specification, macro exposure).
func TestMacroClearStaysInside(t *testing.T) {
	img := mustRead(t, header+"%AMA*21,1,2,2,0,0,0*21,0,1,1,0,0,0*%%ADD10R,1X1*%%ADD11A*%D10*X0Y0D03*D11*X0Y0D03*M02*")
	near(t, "square under a frame", square(painted(img)), 4, 1e-9)
}

func TestEvaluate(t *testing.T) {
	vars := map[int]float64{1: 3, 2: 0.5}
	for s, want := range map[string]float64{
		"": 0, "1": 1, "$1": 3, "$7": 0, "1+2x3": 7, "(1+2)x3": 9, "8/4/2": 1, "8-4-2": 2,
		"-$1x$2": -1.5, "1.08239X$1": 3.24717, "((((2))))": 2, "2x-3": -6, "$1+$1": 6,
	} {
		got, err := evaluate(s, vars)
		if err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%q: got %v %v, want %v", s, got, err, want)
		}
	}
	for _, s := range []string{"1+", "(1", "1)", "$", "$x", "1/0", "a", "1..2", "1 e5", "2//3", "$1$2"} {
		if v, err := evaluate(s, vars); err == nil {
			t.Errorf("%q: got %v, want an error", s, v)
		}
	}
	if _, err := evaluate(strings.Repeat("(", 100)+"1"+strings.Repeat(")", 100), vars); !errors.Is(err, errTooLarge) {
		t.Errorf("deep parentheses: %v", err)
	}
}
