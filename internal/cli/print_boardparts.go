package cli

import (
	"fmt"
	"strings"

	"ohmward/internal/bench"
	"ohmward/unit"
)

// tieTable shows what joins nets for direct current, and what might.
func tieTable(p *page, ties []bench.Tie) {
	if len(ties) == 0 {
		return
	}
	const most = 20
	p.Heading("Parts of low resistance between two nets")
	var rows [][]string
	for _, t := range ties[:min(len(ties), most)] {
		ohms := "open"
		if t.Joins {
			ohms = fmt.Sprintf("%v ×÷ %.1f", unit.Resistance(t.Ohms), t.Range)
		}
		rows = append(rows, []string{t.Part, t.Kind, t.Nets[0] + " – " + t.Nets[1], ohms, t.Why})
	}
	p.Table([]string{"part", "kind", "nets", ">ohms", "because"}, rows)
	if len(ties) > most {
		p.Line("and %d more; --json lists all", len(ties)-most)
	}
	p.Line("--tie %s=0.2ohm or --tie %s=open, or [[tie]] in a case, corrects one", ties[0].Part, ties[0].Part)
}

// metalTable shows the parts that seem to have a metal body.
func metalTable(p *page, metal []bench.Metal) {
	if len(metal) == 0 {
		return
	}
	const most = 20
	p.Heading("Perhaps metal bodies (a case marks one with [[metal]])")
	var rows [][]string
	for _, m := range metal[:min(len(metal), most)] {
		rows = append(rows, []string{m.Part, m.Net, strings.Join(m.Pins, " ")})
	}
	p.Table([]string{"part", "net", "tabs"}, rows)
	if len(metal) > most {
		p.Line("and %d more; --json lists all", len(metal)-most)
	}
}
