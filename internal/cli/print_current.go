package cli

import (
	"fmt"
	"math"
	"ohmward/internal/bench"
	"ohmward/unit"
	"strings"
)

func currentText(p *page, a *bench.CurrentAnswer) {
	p.Headline("%v drops %v over %v of copper", unit.Current(a.Amps), unit.Voltage(a.Drop), unit.Resistance(a.Ohms))
	p.Facts(
		"net", strings.Join(a.Nets, " and "),
		"from", named(a.From),
		"to", named(a.To),
		"bracket", bracket(&a.Low, &a.High),
	)
	p.Heading("Where the drop is")
	rows := make([][]string, 0, len(a.Shares))
	for _, s := range a.Shares {
		if s.Fraction < 0.0005 {
			continue
		}
		where := s.Where
		if len(a.Nets) > 1 {
			where += " of " + s.Net
		}
		rows = append(rows, []string{where, fmt.Sprintf("%.1f %%", s.Fraction*100), unit.Voltage(s.Drop).String(), unit.Power(s.Watts).String()})
	}
	p.Table([]string{"where", ">share", ">drop", ">heat"}, rows)
	hottestText(p, a)
	p.Heading("Safe test current")
	steps := make([]string, len(a.Safe.Steps))
	for i, s := range a.Safe.Steps {
		steps[i] = unit.Current(s).String()
	}
	p.Line("%s, with the voltage limit at %v (%v where a Schottky diode stands across): %s", strings.Join(steps, ", "),
		unit.Voltage(a.Safe.LimitVolts), unit.Voltage(a.Safe.SchottkyVolt), a.Safe.Note)
	p.Line("the weakest place is %.0f K warmer at %s", a.Safe.Rise, roughAmps(a.Safe.MostAmps))
	p.Heading("Heat at a short")
	p.Line("%s", a.Heat.Note)
	p.Line("%s", a.Caution)
	if a.Picture != "" {
		p.Line("picture: %s", a.Picture)
	}
	doubtLines(p, a.Doubts)
}

func hottestText(p *page, a *bench.CurrentAnswer) {
	h := a.Hottest
	p.Heading("Hottest")
	p.Line("a %s of %s at %s: %v through %.2f mm × %.0f µm, %.3g A per mm of width; about %s warmer",
		h.Kind, h.Net, where(h.Layer, h.X, h.Y), unit.Current(h.Amps), h.Width, h.Thickness, h.Density, kelvins(h.Rise))
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
