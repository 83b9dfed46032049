package cli

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"
)

// currentFlags is what the flags of the command current set.
type currentFlags struct {
	amps      unit.Current
	short     string
	shortOhms unit.Resistance
}

// exampleShort is the short that heat is told for unless one is given.
const exampleShort = unit.Resistance(0.002)

func currentCommand() *command {
	return &command{
		name: "current", operands: []string{"BOARD"},
		purpose: "where an injected current flows, and how much is safe",
		about: boardOperand + `
Both places are on one net: pins, as C7.1, or L1@12.30,45.60. Or they are on
the two nets of a short, and --short says where those touch: the answer is then
the copper alone, without the short's own resistance. Safe is the current that
warms the weakest track by 2 K, by the curve fit of IPC-2221.`,
		flags: withCommon(
			&option{"from", "PLACE", "where the current goes in", text(func(s *settings) *string { return &s.from })},
			&option{"to", "PLACE", "where it comes out", text(func(s *settings) *string { return &s.to })},
			&option{"amps", "A", "the current, as 0.5 or 100mA", setAmps},
			&option{"short", "PLACE/PLACE", "where the two nets touch,\nas L1@1.00,2.00/L1@1.20,2.00", text(func(s *settings) *string { return &s.current.short })},
			&option{"short-ohms", "OHMS", "the short's own resistance, for its heat\n(default 2m)", setShortOhms},
			&option{"picture", "FILE", "draw the current's density as a .png or .svg",
				text(func(s *settings) *string { return &s.picture })}),
		example: `ohmward current demo --from C3.2 --to C25.1 --amps 0.5
500 mA drops 34.76 mV over 69.5 mΩ of copper
…
Where the drop is
…
Hottest
…
Safe test current
…`,
		run: runCurrent,
	}
}

func setAmps(s *settings, v string) error {
	amps, err := strconv.ParseFloat(v, 64)
	if err != nil {
		a, err := unit.ParseCurrent(v)
		if err != nil {
			return err
		}
		amps = float64(a)
	}
	if !(amps >= 1e-6 && amps <= 1000) {
		return misuse("", "%q is out of range: 1uA to 1000A", v)
	}
	s.current.amps = unit.Current(amps)
	return nil
}

func setShortOhms(s *settings, v string) error {
	r, err := unit.ParseReading(v)
	if err != nil {
		return err
	}
	if r <= 0 || r.IsOpen() {
		return misuse("", "%q is no short's resistance: above zero, as in 2m", v)
	}
	s.current.shortOhms = r
	return nil
}

func runCurrent(ctx context.Context, k *call) error {
	s := k.set
	if s.from == "" || s.to == "" || s.current.amps == 0 {
		return misuse(k.command.usageHint(), "name two places and a current: --from PLACE, --to PLACE and --amps A")
	}
	if err := pictureName(s.picture); err != nil {
		return err
	}
	ask := bench.CurrentOptions{From: s.from, To: s.to, Amps: s.current.amps, Short: s.current.short,
		ShortOhms: s.current.shortOhms, Picture: s.picture}
	if ask.ShortOhms == 0 {
		ask.ShortOhms = exampleShort
	}
	a, err := work(k, func(o bench.Options) (*answer.Current, error) {
		return bench.Current(ctx, k.operands[0], ask, o)
	})
	if !usable(err) {
		return err
	}
	if failed := k.print(a, func(p *page) { currentText(p, a) }); failed != nil {
		return failed
	}
	return err
}

func currentText(p *page, a *answer.Current) {
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

func hottestText(p *page, a *answer.Current) {
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
