package cli

import (
	"fmt"
	"ohmward/internal/bench"
	"ohmward/unit"
)

// sensitivityText prints what a resistance is made of, where that was asked.
func sensitivityText(p *page, s *bench.Sensitivity, ohms float64) {
	if s == nil {
		return
	}
	p.Heading("What it is made of")
	sensitivityRows(p, s, ohms)
}

func sensitivityRows(p *page, s *bench.Sensitivity, ohms float64) {
	var rows [][]string
	row := func(what string, part float64, note string) {
		if part > leastShare*ohms {
			rows = append(rows, []string{what, unit.Resistance(part).String(), fmt.Sprintf("%.1f %%", 100*part/ohms), note})
		}
	}
	for _, l := range s.Layers {
		row("copper on "+l.Layer, l.Ohms, addsFor(0.1*l.Ohms, "10 % less thickness"))
	}
	row("plated holes", s.Holes, addsFor(0.1*s.Plating, "10 % less plating"))
	for _, t := range s.Parts {
		row(t.Part, t.Ohms, fmt.Sprintf("known within a factor of %.3g", t.Factor))
	}
	p.Table([]string{"where", ">ohms", ">share", "that is"}, rows)
	p.Line("a kelvin in all copper adds %s", perKelvin(s.PerKelvin))
	for _, spot := range s.Spots {
		p.Line("a kelvin within %.3g mm of %s adds %s", spot.Radius, spot.Place, perKelvin(spot.PerKelvin))
	}
}

// leastShare is the share of a resistance from which a part has a row.
const leastShare = 5e-4

func addsFor(ohms float64, change string) string {
	return fmt.Sprintf("%v more for %s", unit.Resistance(ohms), change)
}

// perKelvin prints ohms per kelvin, down to a hundredth of a microhm.
func perKelvin(ohms float64) string {
	switch {
	case ohms < 1e-12:
		return "nothing: no current runs there"
	case ohms < 1e-8:
		return "less than 0.01 µΩ"
	}
	return unit.Resistance(ohms).String()
}
