package meter

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ohmward/unit"
)

// State is what a sample's number stands for.
type State uint8

// The states of a sample.
const (
	Valid            State = iota // a number
	Overload                      // more than the range holds: open, lifted, or too low a range
	NegativeOverload              // less than the range holds: volts on the net, never an open
	NoValue                       // the instrument's not-a-number
)

// value is one number of an answer.
type value struct {
	state  State
	number float64
}

// SCPI-99 volume 1, 7.2.1: infinity is sent as 9.9E37, negative infinity as
// -9.9E37, not-a-number as 9.91E37. Numbers that large mean nothing else.
const (
	sentInfinity = 9.9e37
	sentNaN      = 9.91e37
	leastSpecial = 9.9e36
)

// mostValues is how many values one answer may hold.
const mostValues = 10_000

// parseValues reads an answer of one or several numbers, comma between them,
// each in the form NR1, NR2 or NR3 (IEEE 488.2, 8.7.2 to 8.7.4).
func parseValues(line string) (list []value, err error) {
	parts := strings.Split(line, ",")
	if len(parts) > mostValues {
		return nil, fmt.Errorf("an answer of %d values", len(parts))
	}
	for _, text := range parts {
		v, err := parseValue(strings.Trim(text, " "))
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}

func parseValue(text string) (value, error) {
	if !isNumber(text) {
		return value{}, fmt.Errorf("%s is not a number", clip(text))
	}
	x, err := strconv.ParseFloat(text, 64)
	near := func(sent float64) bool { return math.Abs(x-sent) < 1e-4*sentInfinity }
	switch {
	case err != nil:
		return value{}, fmt.Errorf("%s is not a number", clip(text))
	case near(sentNaN):
		return value{state: NoValue}, nil
	case x >= leastSpecial:
		return value{state: Overload}, nil
	case x <= -leastSpecial:
		return value{state: NegativeOverload}, nil
	}
	return value{number: x}, nil
}

// isNumber tells whether text is of the form NR1, NR2 or NR3.
func isNumber(text string) bool {
	mantissa, exponent, has := strings.Cut(strings.ToUpper(text), "E")
	whole, fraction, point := strings.Cut(strings.TrimLeft(mantissa, "+-"), ".")
	switch {
	case len(mantissa)-len(strings.TrimLeft(mantissa, "+-")) > 1, !isDigits(whole), point && !isDigits(fraction):
		return false
	case !has:
		return true
	case exponent != "" && strings.ContainsRune("+-", rune(exponent[0])):
		exponent = exponent[1:]
	}
	return isDigits(exponent)
}

func isDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// resistance is the value in ohms; unit.Open for an overload.
func (v value) resistance() unit.Resistance {
	if v.state == Overload {
		return unit.Open
	}
	return unit.Resistance(v.number)
}

// instrumentError is one entry of the instrument's error queue.
type instrumentError struct {
	code int
	text string
}

// parseInstrumentError reads an answer to SYST:ERR?, as -113,"Undefined
// header" (SCPI-99 volume 2, 21.8).
func parseInstrumentError(line string) (e instrumentError, err error) {
	number, text, has := strings.Cut(line, ",")
	if number = strings.TrimSpace(number); !has || !isDigits(strings.TrimLeft(number, "+-")) {
		return e, fmt.Errorf("%s is not an error's number and text", clip(line))
	}
	if e.code, err = strconv.Atoi(number); err != nil {
		return e, fmt.Errorf("%s is not an error's number and text", clip(line))
	}
	text, closed := strings.CutSuffix(strings.TrimSpace(text), `"`)
	text, opened := strings.CutPrefix(text, `"`)
	if !opened || !closed {
		return e, fmt.Errorf("%s is not an error's number and text", clip(line))
	}
	e.text = strings.ReplaceAll(text, `""`, `"`)
	return e, nil
}

// Error says the error in words, the class of its number before the text.
func (e instrumentError) Error() string {
	return fmt.Sprintf("%s: %s (%d)", e.class(), e.text, e.code)
}

// unknown tells whether the instrument does not know what it was sent.
func (e instrumentError) unknown() bool { return e.code > -200 && e.code <= -100 }

// class is what the hundreds of an error's number stand for (SCPI-99 volume 2,
// 21.8.4).
func (e instrumentError) class() string {
	switch {
	case e.code == 0:
		return "no error"
	case e.code > 0:
		return "an error of the instrument's own"
	case e.code > -100:
		return "an error of no class"
	case e.code > -200:
		return "it does not know the command"
	case e.code > -300:
		return "it cannot carry out the command"
	case e.code > -400:
		return "a fault of the device"
	case e.code > -500:
		return "a question and its answer did not fit"
	}
	return "an event"
}

// Identity is who an instrument says it is (IEEE 488.2, 10.14).
type Identity struct {
	Maker, Model, SerialNo, Firmware string
}

// parseIdentity reads an answer to *IDN?: four fields, commas between them.
func parseIdentity(line string) (Identity, error) {
	f := strings.SplitN(line, ",", 4)
	if len(f) < 4 || strings.TrimSpace(f[0]) == "" || strings.TrimSpace(f[1]) == "" || isNumber(f[0]) {
		return Identity{}, fmt.Errorf("%s is not a maker, a model, a serial number and a firmware", clip(line))
	}
	for i := range f {
		f[i] = strings.TrimSpace(f[i])
	}
	return Identity{f[0], f[1], f[2], f[3]}, nil
}

// String is the identity as sent.
func (i Identity) String() string {
	return strings.Join([]string{i.Maker, i.Model, i.SerialNo, i.Firmware}, ",")
}
