package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/answer"
	"ohmward/unit"
)

func boardText(p *page, a *answer.Board) {
	p.Headline("%s: %.1f × %.1f mm, %s, %s, %s", a.Name, a.Size[0], a.Size[1],
		many(len(a.Layers), "copper layer"), many(len(a.Nets), "net"), many(len(a.Parts), "part"))
	copyTable(p, a)
	table(p, "Layers", "layer|side|>copper|file", a.Layers, all, func(l answer.Layer) []any {
		return []any{l.Name, l.Side, fmt.Sprintf("%.4g µm", l.CopperUM), l.File}
	})
	p.Heading("Holes: %d plated, %d unplated", a.Holes.Plated, a.Holes.Unplated)
	netTable(p, a.Nets)
	tieTable(p, a.Ties)
	metalTable(p, a.Metal)
	placedTable(p, a.At)
	table(p, "Files", "taken for|file|because", a.Files, all, func(f answer.File) []any {
		return []any{f.Role, f.Path, f.Why}
	})
	doubtLines(p, a.Doubts)
}

// copyTable shows where the copies of a panel are.
func copyTable(p *page, a *answer.Board) {
	const most = 24
	read := "all of them were read; --copy 1 takes one alone"
	if a.Copy > 0 {
		read = fmt.Sprintf("copy %d alone was read", a.Copy)
	}
	heading := fmt.Sprintf("A panel of %d copies: %s", len(a.Copies), read)
	listed := a.Copies[:min(most+1, len(a.Copies))]
	table(p, heading, ">copy|lower left at|size", listed, all, func(c answer.Copy) []any {
		if c.Number > most {
			return []any{"…"}
		}
		return []any{c.Number, fmt.Sprintf("%.1f,%.1f", c.X, c.Y),
			fmt.Sprintf("%.1f × %.1f mm", c.Width, c.Height)}
	})
}

// netTable shows the nets that the user named, then the largest by copper.
func netTable(p *page, nets []answer.Net) {
	const most = 12
	byCopper := slices.SortedStableFunc(slices.Values(nets), func(a, b answer.Net) int {
		if named := a.Was != ""; named != (b.Was != "") {
			return either(named, -1, 1)
		}
		return cmp.Compare(b.Copper, a.Copper)
	})
	heading := "Nets"
	if len(nets) > most {
		heading = fmt.Sprintf("Nets (the %d with most copper of %d; --json lists all)", most, len(nets))
		byCopper = byCopper[:most]
	}
	table(p, heading, "net|>pads|>copper|layers", byCopper, all, func(n answer.Net) []any {
		was := either(n.Was != "", " (was "+n.Was+")", "")
		return []any{n.Name + was, n.Pads, fmt.Sprintf("%.1f mm²", n.Copper), strings.Join(n.Layers, " ")}
	})
}

func placedTable(p *page, at []answer.PlacedNet) {
	table(p, "Places", "place|pin|net", at, all, func(a answer.PlacedNet) []any {
		net := cmp.Or(a.Error, "(bare laminate)")
		if a.Net != nil {
			net = *a.Net
		}
		return []any{where(a.Layer, a.X, a.Y) + either(a.Rim, " (its hole's rim)", ""), a.Pin, net}
	})
}

// doubtLines shows what a practitioner should look at.
func doubtLines(p *page, doubts []answer.Doubt) {
	const most = 20
	lines(p, "Doubts", doubts[:min(most, len(doubts))], func(_ int, d answer.Doubt) string {
		at := ""
		switch {
		case d.File != "" && d.Line > 0:
			at = fmt.Sprintf("%s:%d: ", d.File, d.Line)
		case d.File != "":
			at = d.File + ": "
		}
		return "- " + at + d.What + ways[d.Code]
	})
	p.More(len(doubts) - most)
}

// ways says of the codes of doubts how the command line settles them.
var ways = map[string]string{
	"panel":    ": --copy 1 takes one alone, --copy all settles it",
	"hairline": "; --close 20um fills them",
}

// where prints a place that a person named, as it may be typed again.
func where(layer string, x, y float64) string { return fmt.Sprintf("%s@%.2f,%.2f", layer, x, y) }

// about prints a place that was worked out. No tip finds a finer one.
func about(layer string, x, y float64) string { return fmt.Sprintf("%s@%.1f,%.1f", layer, x, y) }

// finest is the least length, in millimetres, that is told of a place.
const finest = 0.1

// mm prints how far off a place is, as fine as it means anything.
func mm(v float64) string {
	if v < finest {
		return "<0.1 mm"
	}
	return fmt.Sprintf("%.1f mm", v)
}

// many counts things: "1 net", "40 nets".
func many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

const mostParts = 20 // in a table

// tieTable shows what joins nets for direct current, and what might.
func tieTable(p *page, ties []answer.Tie) {
	if len(ties) == 0 {
		return
	}
	table(p, "Parts of low resistance between two nets", "part|kind|nets|>ohms|because", ties, mostParts,
		func(t answer.Tie) []any {
			ohms := either(t.Joins, fmt.Sprintf("%v ×÷ %.1f", unit.Resistance(t.Ohms), t.Range), "open")
			return []any{t.Part, t.Kind, t.Nets[0] + " – " + t.Nets[1], ohms, t.Why}
		})
	p.Line("--tie %s=0.2ohm or --tie %s=open, or [[tie]] in a case, corrects one", ties[0].Part, ties[0].Part)
}

// metalTable shows the parts that seem to have a metal body.
func metalTable(p *page, metal []answer.Metal) {
	table(p, "Perhaps metal bodies (a case marks one with [[metal]])", "part|net|tabs", metal, mostParts,
		func(m answer.Metal) []any { return []any{m.Part, m.Net, strings.Join(m.Pins, " ")} })
}
