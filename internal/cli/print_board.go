package cli

import (
	"fmt"
	"ohmward/internal/bench"
	"sort"
	"strings"
)

func boardText(p *page, a *bench.BoardAnswer) {
	p.Headline("%s: %.1f × %.1f mm, %s, %s, %s", a.Name, a.Size[0], a.Size[1],
		many(len(a.Layers), "copper layer"), many(len(a.Nets), "net"), many(len(a.Parts), "part"))
	copyTable(p, a)
	p.Heading("Layers")
	rows := make([][]string, len(a.Layers))
	for i, l := range a.Layers {
		rows[i] = []string{l.Name, l.Side, fmt.Sprintf("%.4g µm", l.CopperUM), l.File}
	}
	p.Table([]string{"layer", "side", ">copper", "file"}, rows)
	p.Heading("Holes: %d plated, %d unplated", a.Holes.Plated, a.Holes.Unplated)
	netTable(p, a.Nets)
	tieTable(p, a.Ties)
	metalTable(p, a.Metal)
	if len(a.At) > 0 {
		placedTable(p, a.At)
	}
	p.Heading("Files")
	rows = make([][]string, len(a.Files))
	for i, f := range a.Files {
		rows[i] = []string{f.Role, f.Path, f.Why}
	}
	p.Table([]string{"taken for", "file", "because"}, rows)
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
	var rows [][]string
	for i, c := range a.Copies {
		if i == most {
			rows = append(rows, []string{"…"})
			break
		}
		rows = append(rows, []string{fmt.Sprint(c.Number), fmt.Sprintf("%.2f,%.2f", c.X, c.Y), fmt.Sprintf("%.1f × %.1f mm", c.Width, c.Height)})
	}
	p.Table([]string{">copy", "lower left at", "size"}, rows)
}

// netTable shows the nets that the user named, then the largest by copper.
func netTable(p *page, nets []bench.Net) {
	const most = 12
	byCopper := append([]bench.Net(nil), nets...)
	sort.SliceStable(byCopper, func(i, j int) bool {
		if a, b := byCopper[i].Was != "", byCopper[j].Was != ""; a != b {
			return a
		}
		return byCopper[i].Copper > byCopper[j].Copper
	})
	if len(byCopper) > most {
		byCopper = byCopper[:most]
		p.Heading("Nets (the %d with most copper of %d; --json lists all)", most, len(nets))
	} else {
		p.Heading("Nets")
	}
	rows := make([][]string, len(byCopper))
	for i, n := range byCopper {
		if n.Was != "" {
			n.Name += " (was " + n.Was + ")"
		}
		rows[i] = []string{n.Name, fmt.Sprint(n.Pads), fmt.Sprintf("%.1f mm²", n.Copper), strings.Join(n.Layers, " ")}
	}
	p.Table([]string{"net", ">pads", ">copper", "layers"}, rows)
}

func placedTable(p *page, at []bench.PlacedNet) {
	p.Heading("Places")
	rows := make([][]string, len(at))
	for i, a := range at {
		net := "(bare laminate)"
		switch {
		case a.Error != "":
			net = a.Error
		case a.Net != nil:
			net = *a.Net
		}
		rows[i] = []string{where(a.Layer, a.X, a.Y), a.Pin, net}
	}
	p.Table([]string{"place", "pin", "net"}, rows)
}

// doubtLines shows what a practitioner should look at.
func doubtLines(p *page, doubts []bench.Doubt) {
	if len(doubts) == 0 {
		return
	}
	const most = 20
	p.Heading("Doubts")
	for i, d := range doubts {
		if i == most {
			p.Line("and %d more; --json lists all", len(doubts)-most)
			return
		}
		switch {
		case d.File != "" && d.Line > 0:
			p.Line("- %s:%d: %s", d.File, d.Line, d.What+ways[d.Code])
		case d.File != "":
			p.Line("- %s: %s", d.File, d.What+ways[d.Code])
		default:
			p.Line("- %s", d.What+ways[d.Code])
		}
	}
}

// ways says of the codes of doubts how the command line settles them.
var ways = map[string]string{"panel": ": --copy 1 takes one alone, --copy all settles it", "hairline": "; --close 20um fills them"}

// where prints a place as it may be typed again.
func where(layer string, x, y float64) string { return fmt.Sprintf("%s@%.2f,%.2f", layer, x, y) }

// many counts things: "1 net", "40 nets".
func many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
