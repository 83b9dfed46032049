package cli

import (
	"fmt"
	"math"
	"strings"

	"ohmward/internal/answer"
	"ohmward/unit"
)

func currentText(p *page, a *answer.Current) {
	p.Headline("%v drops %v over %v of copper",
		unit.Current(a.Amps), unit.Voltage(a.Drop), unit.Resistance(a.Ohms))
	p.Facts(
		"net", strings.Join(a.Nets, " and "),
		"from", named(a.From),
		"to", named(a.To),
		"bracket", bracket(&a.Low, &a.High),
	)
	var rows [][]any
	for _, s := range a.Shares {
		if s.Fraction >= leastShare {
			where := s.Where + either(len(a.Nets) > 1, " of "+s.Net, "")
			rows = append(rows, []any{where, percent(s.Fraction), unit.Voltage(s.Drop), unit.Power(s.Watts)})
		}
	}
	table(p, "Where the drop is", "where|>share|>drop|>heat", rows, all, asIs)
	hottestText(p, a)
	p.Heading("Safe test current")
	steps := make([]string, len(a.Safe.Steps))
	for i, s := range a.Safe.Steps {
		steps[i] = unit.Current(s).String()
	}
	p.Line("%s, with the voltage limit at %v (%v where a Schottky diode stands across): %s",
		strings.Join(steps, ", "), unit.Voltage(a.Safe.LimitVolts), unit.Voltage(a.Safe.SchottkyVolt), a.Safe.Note)
	p.Line("the weakest place is %.0f K warmer at %s", a.Safe.Rise, roughAmps(a.Safe.MostAmps))
	p.Heading("Heat at a short")
	p.Notes(a.Heat.Note, a.Caution)
	p.Notes(either(a.Picture != "", "picture: "+a.Picture, ""))
	doubtLines(p, a.Doubts)
}

func hottestText(p *page, a *answer.Current) {
	h := a.Hottest
	p.Heading("Hottest")
	p.Line("a %s of %s at %s: %v through %.2f mm × %.0f µm, %.3g A per mm of width; about %s warmer",
		h.Kind, h.Net, about(h.Layer, h.X, h.Y),
		unit.Current(h.Amps), h.Width, h.Thickness, h.Density, kelvins(h.Rise))
}

// roughAmps prints a limit to two figures, as finely as the curve fit knows,
// and never more than it is.
func roughAmps(amps float64) string {
	step := math.Pow(10, math.Floor(math.Log10(amps))-1)
	return unit.Current(math.Floor(amps/step) * step).String()
}

// kelvins prints a rise as coarsely as the curve fit knows it.
func kelvins(rise float64) string {
	switch {
	case rise < 0.1:
		return "less than 0.1 K"
	case rise > 100:
		return "over 100 K"
	}
	return fmt.Sprintf("%.2g K", rise)
}
