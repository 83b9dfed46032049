package cli

import (
	"cmp"
	"fmt"
	"ohmward/internal/bench"
	"slices"
	"strings"
)

func boardText(p *page, a *bench.BoardAnswer) {
	p.Headline("%s: %.1f × %.1f mm, %s, %s, %s", a.Name, a.Size[0], a.Size[1],
		many(len(a.Layers), "copper layer"), many(len(a.Nets), "net"), many(len(a.Parts), "part"))
	copyTable(p, a)
	p.Heading("Layers")
	table(p, "layer|side|>copper|file", a.Layers, all, func(l bench.Layer) []string {
		return []string{l.Name, l.Side, fmt.Sprintf("%.4g µm", l.CopperUM), l.File}
	})
	p.Heading("Holes: %d plated, %d unplated", a.Holes.Plated, a.Holes.Unplated)
	netTable(p, a.Nets)
	tieTable(p, a.Ties)
	metalTable(p, a.Metal)
	if len(a.At) > 0 {
		placedTable(p, a.At)
	}
	p.Heading("Files")
	table(p, "taken for|file|because", a.Files, all, func(f bench.File) []string {
		return []string{f.Role, f.Path, f.Why}
	})
	doubtLines(p, a.Doubts)
}

// copyTable shows where the copies of a panel are.
func copyTable(p *page, a *bench.BoardAnswer) {
	if len(a.Copies) == 0 {
		return
	}
	read := "all of them were read; --copy 1 takes one alone"
	if a.Copy > 0 {
		read = fmt.Sprintf("copy %d alone was read", a.Copy)
	}
	p.Heading("A panel of %d copies: %s", len(a.Copies), read)
	const most = 24
	copies := a.Copies[:min(most+1, len(a.Copies))]
	table(p, ">copy|lower left at|size", copies, all, func(c bench.Copy) []string {
		if c.Number > most {
			return []string{"…"}
		}
		return []string{fmt.Sprint(c.Number), fmt.Sprintf("%.2f,%.2f", c.X, c.Y),
			fmt.Sprintf("%.1f × %.1f mm", c.Width, c.Height)}
	})
}

// netTable shows the nets that the user named, then the largest by copper.
func netTable(p *page, nets []bench.Net) {
	const most = 12
	byCopper := slices.SortedStableFunc(slices.Values(nets), func(a, b bench.Net) int {
		if named := a.Was != ""; named == (b.Was != "") {
			return cmp.Compare(b.Copper, a.Copper)
		} else if named {
			return -1
		}
		return 1
	})
	if len(byCopper) > most {
		byCopper = byCopper[:most]
		p.Heading("Nets (the %d with most copper of %d; --json lists all)", most, len(nets))
	} else {
		p.Heading("Nets")
	}
	table(p, "net|>pads|>copper|layers", byCopper, all, func(n bench.Net) []string {
		if n.Was != "" {
			n.Name += " (was " + n.Was + ")"
		}
		return []string{n.Name, fmt.Sprint(n.Pads), fmt.Sprintf("%.1f mm²", n.Copper), strings.Join(n.Layers, " ")}
	})
}

func placedTable(p *page, at []bench.PlacedNet) {
	p.Heading("Places")
	table(p, "place|pin|net", at, all, func(a bench.PlacedNet) []string {
		net := cmp.Or(a.Error, "(bare laminate)")
		if a.Net != nil {
			net = *a.Net
		}
		return []string{where(a.Layer, a.X, a.Y), a.Pin, net}
	})
}

// doubtLines shows what a practitioner should look at.
func doubtLines(p *page, doubts []bench.Doubt) {
	if len(doubts) == 0 {
		return
	}
	const most = 20
	p.Heading("Doubts")
	for _, d := range doubts[:min(most, len(doubts))] {
		at := ""
		if d.File != "" {
			at = d.File + ": "
			if d.Line > 0 {
				at = fmt.Sprintf("%s:%d: ", d.File, d.Line)
			}
		}
		p.Line("- %s%s%s", at, d.What, ways[d.Code])
	}
	p.More(len(doubts) - most)
}

// ways says of the codes of doubts how the command line settles them.
var ways = map[string]string{
	"panel":    ": --copy 1 takes one alone, --copy all settles it",
	"hairline": "; --close 20um fills them",
}

// where prints a place as it may be typed again.
func where(layer string, x, y float64) string { return fmt.Sprintf("%s@%.2f,%.2f", layer, x, y) }

// many counts things: "1 net", "40 nets".
func many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
