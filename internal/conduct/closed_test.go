package conduct

import (
	"math"
	"testing"
)

// Closed forms, in squares (the sheets here are one ohm per square). Sources:
// REFERENCES B11, B13, B14 (P. M. Hall 1967; duals of the waveguide step and
// diaphragm), B15 and B16 (finite elements, +-0.0003).
func TestClosedForms(t *testing.T) {
	const arm = 4
	step := func(a float64) float64 {
		return math.Log((1-a*a)/(4*a)) + 0.5*(a+1/a)*math.Log((1+a)/(1-a))
	}
	cases := []struct {
		name  string
		strip strip
		want  float64
		slack float64 // of the source
	}{
		{"bar", strip{rectangle(5, 1), [][4]float64{{0, 0, 0, 1}, {5, 0, 5, 1}}}, 5, 1e-9},
		{"bend", strip{
			[][2]float64{{0, 0}, {arm + 1, 0}, {arm + 1, 1}, {1, 1}, {1, arm + 1}, {0, arm + 1}},
			[][4]float64{{arm + 1, 0, arm + 1, 1}, {0, arm + 1, 1, arm + 1}},
		}, 2*arm + 1 - 2/math.Pi*math.Ln2, 1e-5},
		{"step one side, half", strip{
			[][2]float64{{0, 0}, {2 * arm, 0}, {2 * arm, 0.5}, {arm, 0.5}, {arm, 1}, {0, 1}},
			[][4]float64{{0, 0, 0, 1}, {2 * arm, 0, 2 * arm, 0.5}},
		}, arm + 2*arm + 2/math.Pi*step(0.5)*1, 1e-5},
		{"slit, half open, centred", strip{
			[][2]float64{
				{0, 0},
				{4, 0},
				{4, 0.25},
				{4.00002, 0},
				{8, 0},
				{8, 1},
				{4.00002, 1},
				{4, 0.75},
				{4, 1},
				{0, 1},
			},
			[][4]float64{{0, 0, 0, 1}, {8, 0, 8, 1}},
		}, 8 + 2/math.Pi*math.Log(1/math.Sin(math.Pi*0.5/2)), 1e-4},
		{"T through, stub open", strip{
			[][2]float64{
				{0, 0},
				{2*arm + 1, 0},
				{2*arm + 1, 1},
				{arm + 1, 1},
				{arm + 1, arm + 1},
				{arm, arm + 1},
				{arm, 1},
				{0, 1},
			},
			[][4]float64{{0, 0, 0, 1}, {2*arm + 1, 0, 2*arm + 1, 1}},
		}, 2*arm + 0.8469, 0.0003},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r, err := c.strip.model(t, 0.25, true).Resistance(0, 1)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf(
				"want %.6f squares, got %.6f, bracket %.6f to %.6f, bounds %.6f to %.6f", c.want, r.Ohms, r.Low, r.High,
				r.Lower, r.Upper,
			)
			if r.Lower > c.want+c.slack || r.Upper < c.want-c.slack {
				t.Errorf("%.6f is outside the bounds %.6f to %.6f", c.want, r.Lower, r.Upper)
			}
			if r.Low > c.want+c.slack || r.High < c.want-c.slack {
				t.Errorf("%.6f is outside the bracket %.6f to %.6f", c.want, r.Low, r.High)
			}
			if e := math.Abs(r.Ohms/c.want - 1); e > 0.003 {
				t.Errorf("got %.6f squares, want %.6f: %.2g off", r.Ohms, c.want, e)
			}
		})
	}
}
