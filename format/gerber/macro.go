package gerber

import (
	"fmt"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// macro is an aperture macro as written: comment-free words, evaluated anew
// for every aperture that uses it.
type macro struct {
	name string
	body []macroWord
	size int // bytes
}

type macroWord struct {
	text string
	line int
}

// add takes one word of the macro's body.
func (m *macro) add(text string, line int) error {
	text = strings.ReplaceAll(strings.TrimSpace(text), " ", "")
	if text == "" || isMacroComment(text) {
		return nil
	}
	m.size += len(text)
	if m.size > maxMacro || len(m.body) >= maxPrimitive {
		return fmt.Errorf("macro %s is too large", m.name)
	}
	m.body = append(m.body, macroWord{text, line})
	return nil
}

// isMacroComment tells whether a macro word (spaces gone) is primitive 0,
// whose text may follow without a comma.
func isMacroComment(s string) bool { return s[0] == '0' }

// run evaluates the macro with the given parameters and hands every primitive
// to draw: its code and its modifiers.
func (m *macro) run(params []float64, draw func(code int, mod []float64) error) error {
	vars := make(map[int]float64, len(params))
	for i, v := range params {
		vars[i+1] = v
	}
	for _, w := range m.body {
		if err := m.step(w.text, vars, draw); err != nil {
			return fmt.Errorf("macro %s, line %d: %w", m.name, w.line, err)
		}
	}
	return nil
}

func (m *macro) step(text string, vars map[int]float64, draw func(int, []float64) error) error {
	if text[0] == '$' {
		name, expr, found := strings.Cut(text[1:], "=")
		n, ok := scan.Whole(name)
		if !found || !ok || n < 1 {
			return fmt.Errorf("bad assignment %q", fault.Short(text))
		}
		v, err := evaluate(expr, vars)
		vars[n] = v
		return err
	}
	fields := strings.Split(text, ",")
	code, ok := scan.Whole(fields[0])
	if !ok {
		return fmt.Errorf("bad primitive %q", fault.Short(text))
	}
	mod := make([]float64, len(fields)-1)
	for i, f := range fields[1:] {
		v, err := evaluate(f, vars)
		if err != nil {
			return err
		}
		mod[i] = v
	}
	return draw(code, mod)
}
