package session

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"ohmward/internal/answer"
	"ohmward/internal/record"
	"ohmward/unit"
)

// readingTouches is how many touches make one reading where the tips are set
// down by themselves (BENCH.md, Readings).
const readingTouches = 3

// parseTouches reads one value or several, one behind the other: "18.7m 18.9m
// 18.6m". A unit behind the last holds for those that have none.
func parseTouches(text string) ([]unit.Resistance, error) {
	var words []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || r == ';' }) {
		w = strings.TrimSuffix(w, ",")
		if n := len(words); n > 0 && isUnit(w) {
			words[n-1] += w
		} else if w != "" {
			words = append(words, w)
		}
	}
	if len(words) < 2 {
		one, err := unit.ParseReading(text)
		return []unit.Resistance{one}, err
	}
	last := words[len(words)-1]
	suffix := last[len(strings.TrimRight(last, unitLetters)):]
	var out []unit.Resistance
	for i, w := range words {
		if i < len(words)-1 && strings.Trim(w, bareNumber) == "" {
			w += suffix
		}
		v, err := unit.ParseReading(w)
		if err != nil {
			return nil, err
		}
		if v.IsOpen() {
			return nil, fmt.Errorf("%.40q: an overload is no touch: type it alone", text)
		}
		out = append(out, v)
	}
	if len(out) > record.MostTouches {
		return nil, fmt.Errorf("%d values for one reading; at most %d", len(out), record.MostTouches)
	}
	return out, nil
}

const (
	bareNumber  = "0123456789.,+-"
	unitLetters = "nukKMGRohmsOHS\u03a9\u2126\u00b5\u03bc"
)

// isUnit tells whether a word is a unit by itself, as in "18.7 mΩ".
func isUnit(w string) bool {
	return strings.Trim(w, unitLetters) == "" && !strings.EqualFold(w, "ol")
}

// takeTyped takes what was typed: several values are the touches of one reading.
func (j *Session) takeTyped(next *record.Case, list []unit.Resistance) error {
	if len(list) == 1 {
		return j.take(next, list[0], false)
	}
	if s := j.step(); s != stepRead && s != stepRepair {
		return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("%d values where one is asked for", len(list)),
			Hint: "several values are the touches of one reading"}
	}
	return j.addReading(next, list, false)
}

// touchOn notes a steady touch of a reading, and tells whether the tips go down
// once more: three touches make a reading, unless it is one that is touched again.
func (j *Session) touchOn(ohms unit.Resistance) bool {
	if j.step() != stepRead || j.retouch > 0 {
		return false
	}
	j.live.touches = append(j.live.touches, ohms)
	if j.wire != nil {
		return j.wantsTouch()
	}
	if len(j.live.touches) >= readingTouches || j.sim.putDownAgain() != nil {
		return false
	}
	j.live.steady = steady{}
	j.heardValue = ""
	return true
}

// takeSteady takes what the meter streamed.
func (j *Session) takeSteady(next *record.Case, ohms unit.Resistance) error {
	if len(j.live.touches) < 2 {
		return j.take(next, ohms, true)
	}
	list := slices.Clone(j.live.touches)
	for i := range list {
		list[i] -= j.leads(next)
	}
	return j.addReading(next, list, true)
}

// hear notes the values that were taken, to be said: whoever looks through a
// microscope sees no screen.
func (j *Session) hear(four bool, values ...unit.Resistance) {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = j.ohms(v, four)
	}
	j.heardValue = strings.Join(words, ", ")
}

// taken is the value that counts of what the meter gave: of a new reading its own,
// without the leads.
func taken(c *record.Case, before int, ohms unit.Resistance) unit.Resistance {
	if n := len(c.Readings); n > before {
		return c.Readings[n-1].Ohms
	}
	return ohms
}

// sayValue puts the last value before what is said; while a reading's touches
// go on, only the touch.
func (j *Session) sayValue(c *answer.Card) {
	n := len(j.live.touches)
	switch {
	case j.wire != nil && j.wire.lost != "":
		c.Speak = "The meter is not heard. " + c.Speak
	case (j.live.stop != nil || j.wire != nil) && n > 0:
		c.Speak = fmt.Sprintf("Touch %d: %s.", n, j.ohms(j.live.touches[n-1], j.live.now.FourWire))
	case j.heardValue != "":
		c.Speak = strings.TrimSpace(j.heardValue + ". " + c.Speak)
	}
}
