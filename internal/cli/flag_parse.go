package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"ohmward/internal/bench"
	"ohmward/unit"
)

// length reads a length above zero.
func length(most unit.Length) func(string) (unit.Length, error) {
	return inRange(most, unit.ParseLength)
}

// foil reads a copper thickness, also in ounces.
func foil(most unit.Length) func(string) (unit.Length, error) {
	return inRange(most, unit.ParseFoil)
}

func inRange(most unit.Length, parse func(string) (unit.Length, error)) func(string) (unit.Length, error) {
	return func(text string) (unit.Length, error) {
		l, err := parse(text)
		if err == nil && (l <= 0 || l > most*(1+1e-9)) { // 0.1mm is 100um
			err = fmt.Errorf("%q is out of range: above zero and at most %v", text, most)
		}
		return l, err
	}
}

// temperature reads a temperature that a board can have.
func temperature(text string) (unit.Temperature, error) {
	t, err := unit.ParseTemperature(text)
	if err == nil && (t < unit.Celsius(-60) || t > unit.Celsius(200)) {
		err = fmt.Errorf("%q is out of range: -60C to 200C", text)
	}
	return t, err
}

// current reads a current, in amperes where it has no unit.
func current(text string) (unit.Current, error) {
	amps, err := strconv.ParseFloat(text, 64)
	a := unit.Current(amps)
	if err != nil {
		if a, err = unit.ParseCurrent(text); err != nil {
			return 0, err
		}
	}
	if !(a >= 1e-6 && a <= 1000) {
		return 0, fmt.Errorf("%q is out of range: 1uA to 1000A", text)
	}
	return a, nil
}

// shortOhms reads the resistance of a short.
func shortOhms(text string) (unit.Resistance, error) {
	r, err := unit.ParseReading(text)
	if err == nil && (r <= 0 || r.IsOpen()) {
		err = fmt.Errorf("%q is no short's resistance: above zero, as in 2m", text)
	}
	return r, err
}

// accuracy reads a relative accuracy such as "0.1%" or "0.001".
func accuracy(text string) (float64, error) {
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	a, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if percent {
		a /= 100
	}
	if err != nil || !(a >= 0.0005 && a <= 0.1) {
		return 0, fmt.Errorf("%q is no accuracy from 0.05%% to 10%%", text)
	}
	return a, nil
}

// seed reads what sets the draws of an invented fault.
func seed(text string) (uint64, error) {
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is not a whole number of 0 or more", text)
	}
	return n, nil
}

// count reads how many of something.
func count(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%q is not a whole number of 1 or more", text)
	}
	return n, nil
}

// port reads a TCP port.
func port(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > 65535 {
		return 0, fmt.Errorf("%q is no port: a whole number from 0 to 65535", text)
	}
	return n, nil
}

// anyText reads a text that may not be empty.
func anyText(text string) (string, error) {
	if text == "" {
		return "", fmt.Errorf("is empty")
	}
	return text, nil
}

// pictureFile reads the name of a picture to be drawn.
func pictureFile(text string) (string, error) {
	if text == "" {
		return anyText(text)
	}
	if end := strings.ToLower(filepath.Ext(text)); end != ".png" && end != ".svg" {
		return "", fmt.Errorf("%s ends in neither .png nor .svg", text)
	}
	return text, nil
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
	if e.Ohms, err = unit.ParseReading(ohms); err == nil && !(e.Ohms >= 0 && e.Ohms <= 1000) {
		err = fmt.Errorf("%q is out of range: 0 to 1000 ohms, or open", ohms)
	}
	return e, err
}
