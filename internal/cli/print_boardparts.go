package cli

import (
	"fmt"
	"strings"

	"ohmward/internal/bench"
	"ohmward/unit"
)

const mostParts = 20 // in a table

// tieTable shows what joins nets for direct current, and what might.
func tieTable(p *page, ties []bench.Tie) {
	if len(ties) == 0 {
		return
	}
	p.Heading("Parts of low resistance between two nets")
	table(p, "part|kind|nets|>ohms|because", ties, mostParts, func(t bench.Tie) []string {
		ohms := either(t.Joins, fmt.Sprintf("%v ×÷ %.1f", unit.Resistance(t.Ohms), t.Range), "open")
		return []string{t.Part, t.Kind, t.Nets[0] + " – " + t.Nets[1], ohms, t.Why}
	})
	p.Line("--tie %s=0.2ohm or --tie %s=open, or [[tie]] in a case, corrects one", ties[0].Part, ties[0].Part)
}

// metalTable shows the parts that seem to have a metal body.
func metalTable(p *page, metal []bench.Metal) {
	if len(metal) == 0 {
		return
	}
	p.Heading("Perhaps metal bodies (a case marks one with [[metal]])")
	table(p, "part|net|tabs", metal, mostParts, func(m bench.Metal) []string {
		return []string{m.Part, m.Net, strings.Join(m.Pins, " ")}
	})
}
