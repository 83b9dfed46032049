package cli

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"ohmward/internal/bench"
	"ohmward/unit"
)

// within parses and then wants ok of the value, else it is wrong.
func within[T any](parse func(string) (T, error), ok func(T) bool, wrong string) func(string) (T, error) {
	return func(text string) (T, error) {
		v, err := parse(text)
		if err == nil && !ok(v) {
			err = fmt.Errorf("%q is %s", text, wrong)
		}
		return v, err
	}
}

// between reads a length that has a sense, as the case file bounds it too.
func between(least, most unit.Length,
	parse func(string) (unit.Length, error)) func(string) (unit.Length, error) {
	return func(text string) (unit.Length, error) {
		l, err := parse(text)
		if err == nil {
			err = unit.CheckLength(text, l, least, most)
		}
		return l, err
	}
}

// length reads a length from least to most.
func length(least, most unit.Length) func(string) (unit.Length, error) {
	return between(least, most, unit.ParseLength)
}

// What flags take beside lengths.
var (
	temperature = within(unit.ParseTemperature, func(t unit.Temperature) bool {
		return t >= unit.Celsius(-60) && t <= unit.Celsius(200)
	}, "out of range: -60C to 200C")
	current = within(bareCurrent, func(i unit.Current) bool { return i >= 1e-6 && i <= 1000 },
		"out of range: 1uA to 1000A")
	shortOhms = within(unit.ParseReading, func(r unit.Resistance) bool { return r > 0 && !r.IsOpen() },
		"not the resistance of a short: above zero, as in 2m")
	partOhms = within(unit.ParseReading, func(r unit.Resistance) bool { return r >= 0 && r <= 1000 },
		"out of range: 0 to 1000 ohms, or open")
	accuracy = within(ratio, func(a float64) bool { return a >= 0.0005 && a <= 0.1 },
		"no accuracy from 0.05% to 10%")
	seed  = whole(0, math.MaxUint64, "not a whole number of 0 or more")
	count = whole(1, math.MaxInt, "not a whole number of 1 or more")
	port  = whole(0, 65535, "no port: a whole number from 0 to 65535")
)

// bareCurrent reads a current, in amperes where it has no unit.
func bareCurrent(text string) (unit.Current, error) {
	if amps, err := strconv.ParseFloat(text, 64); err == nil {
		return unit.Current(amps), nil
	}
	return unit.ParseCurrent(text)
}

// ratio reads "0.1%" or "0.001"; what is neither is not a number.
func ratio(text string) (float64, error) {
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	r, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil {
		r = math.NaN()
	}
	return r / either(percent, 100, 1.0), nil
}

// whole reads a whole number.
func whole(least, most uint64, wrong string) func(string) (uint64, error) {
	return func(text string) (uint64, error) {
		n, err := strconv.ParseUint(text, 10, 64)
		if err != nil || n < least || n > most {
			return 0, fmt.Errorf("%q is %s", text, wrong)
		}
		return n, nil
	}
}

// anyText reads a text that may not be empty.
func anyText(text string) (string, error) {
	if text == "" {
		return "", fmt.Errorf("is empty")
	}
	return text, nil
}

// picture reads the name of a picture to be drawn.
func picture(name string) (string, error) {
	if end := strings.ToLower(filepath.Ext(name)); name != "" && end != ".png" && end != ".svg" {
		return "", fmt.Errorf("%s ends in neither .png nor .svg", name)
	}
	return anyText(name)
}

// oneOf reads one of a few words.
func oneOf(words ...string) func(string) (string, error) {
	end := len(words) - 1
	wrong := "none of " + strings.Join(words[:end], ", ") + " and " + words[end]
	if end == 1 {
		wrong = "neither " + words[0] + " nor " + words[1]
	}
	return func(text string) (string, error) {
		if !slices.Contains(words, text) {
			return "", fmt.Errorf("%q is %s", text, wrong)
		}
		return text, nil
	}
}

// panelCopy reads which copy of a panel is meant.
func panelCopy(text string) (string, error) {
	if n, err := strconv.Atoi(text); text != "all" && (err != nil || n < 1) {
		return "", fmt.Errorf("%q is neither all nor a copy's number from 1", text)
	}
	return text, nil
}

// fileRole reads what a file is, as "plane.art=copper L2".
func fileRole(text string) (string, error) {
	file, role, ok := strings.Cut(text, "=")
	if !ok || strings.TrimSpace(file) == "" || strings.TrimSpace(role) == "" {
		return "", fmt.Errorf("%q is not FILE=ROLE, as in \"plane.art=copper L2\"", text)
	}
	return text, nil
}

// takenReading reads two or four places and what was read there.
func takenReading(text string) (bench.Reading, error) {
	where, value, ok := cutLast(text, "=")
	places := splitNets(where) // a comma within a place's coordinates splits nothing
	if !ok || len(places) != 2 && len(places) != 4 || slices.Contains(places, "") {
		return bench.Reading{}, fmt.Errorf("%q is not two or four places and a value, as in C9.1,C9.2=18.7m", text)
	}
	ohms, err := unit.ParseReading(value)
	if err != nil {
		return bench.Reading{}, err
	}
	if len(places) == 4 {
		return bench.Reading{FourWire: true, Current: [2]string(places[:2]), Sense: [2]string(places[2:]),
			Ohms: ohms}, nil
	}
	return bench.Reading{From: places[0], To: places[1], Ohms: ohms}, nil
}

func cutLast(text, sep string) (before, after string, found bool) {
	i := strings.LastIndex(text, sep)
	if i < 0 {
		return text, "", false
	}
	return text[:i], text[i+len(sep):], true
}

// tie reads the resistance of a part between two nets.
func tie(text string) (bench.TieEdit, error) {
	who, ohms, ok := strings.Cut(text, "=")
	who, ohms = strings.TrimSpace(who), strings.TrimSpace(ohms)
	if !ok || who == "" || ohms == "" {
		return bench.TieEdit{}, fmt.Errorf("%q is not a part and its resistance, as in FB1=0.2ohm or F1=open", text)
	}
	e := bench.TieEdit{Part: who, Open: strings.EqualFold(ohms, "open")}
	if a, b, two := strings.Cut(who, ","); two {
		e.Part, e.Pins = "", [2]string{strings.TrimSpace(a), strings.TrimSpace(b)}
	}
	if e.Open {
		return e, nil
	}
	var err error
	e.Ohms, err = partOhms(ohms)
	return e, err
}
