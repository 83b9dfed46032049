package copper

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
)

// mostMeets bounds how many places of contact a doubt tells.
const mostMeets = 4

// several is the doubt that one piece of copper carries several names: a net
// tie, a closed jumper, or a short in the data. It tells where they meet, or,
// where that is not found, a place of each.
func (n *Nets) several(id int, c []claim) board.Doubt {
	const kind = "a net tie, a closed jumper or a short in the data"
	meets := n.meets(id, c)
	if len(meets) == 0 {
		return doubtOf(c[1].first, "one piece of copper carries several net names: %s: %s; called %s here",
			placedClaims(c[:min(len(c), 6)]), kind, c[0].name)
	}
	if n.met == nil {
		n.met = map[string][]meeting{}
	}
	for _, k := range c {
		n.met[k.name] = meets
	}
	return doubtOf(meets[0].label, "one piece of copper carries several net names: %s: %s; called %s here",
		meetTexts(meets), kind, c[0].name)
}

// listedApart is the doubt that one piece of copper carries several nets of the
// netlist. Where they are joined no list says: of each net but the first the place is
// told that is nearest to those before it.
func (n *Nets) listedApart(id int, c []claim) board.Doubt {
	const what = "the netlist has %s apart, the copper joins them: a net tie, a closed jumper or a short in the data"
	near := n.nearestListed(id, c)
	if len(near) == 0 {
		return joinedDoubt(c[1].first, what, placedClaims(c))
	}
	if n.met == nil {
		n.met = map[string][]meeting{}
	}
	var names []string
	for _, k := range c[:min(len(c), 6)] {
		names = append(names, k.name)
	}
	if len(c) > 6 {
		names = append(names, "…")
	}
	for _, k := range c {
		for _, m := range near {
			m.text = "nearest to each other are " + m.text
			n.met[k.name] = append(n.met[k.name], m)
		}
	}
	return joinedDoubt(near[0].label, what+"; nearest to each other: %s", strings.Join(names, ", "), meetTexts(near))
}

// nearestListed finds of each claim but the first the place of the netlist that is
// nearest to those before it on the same piece of copper; none where there are too
// many places.
func (n *Nets) nearestListed(id int, c []claim) (out []meeting) {
	var on []board.Label
	for _, l := range n.Board.Netlist {
		if net, known := n.NetAt(l.Layer, l.At); known && net == id {
			on = append(on, l)
		}
	}
	if len(on) > mostCompared {
		return nil
	}
	before := map[string]bool{c[0].name: true}
	for _, k := range c[1:] {
		var own, other board.Label
		least := math.Inf(1)
		for _, p := range on {
			if p.Net != k.name {
				continue
			}
			for _, q := range on {
				if d := geom.Distance(p.At, q.At); before[q.Net] && d < least {
					least, own, other = d, p, q
				}
			}
		}
		text := fmt.Sprintf("%s on %s at %s and %s on %s at %s", other.Net, layerName(other.Layer), millimetres(other.At),
			own.Net, layerName(own.Layer), millimetres(own.At))
		out = append(out, meeting{[2]string{other.Net, own.Net}, text, own})
		before[k.name] = true
	}
	return out
}

// mostCompared bounds the places that are held against each other.
const mostCompared = 2000

// WhereMet tells where two names of one piece of copper meet, or, where others
// lie between them, where each meets those; "" where that is not known.
func (n *Nets) WhereMet(a, b string) string {
	meets := n.met[a]
	for _, m := range meets {
		if m.nets == [2]string{a, b} || m.nets == [2]string{b, a} {
			return m.text
		}
	}
	if _, too := n.met[b]; !too || a == b {
		return ""
	}
	return meetTexts(slices.DeleteFunc(slices.Clone(meets), func(m meeting) bool {
		return !slices.Contains(m.nets[:], a) && !slices.Contains(m.nets[:], b)
	}))
}

func meetTexts(meets []meeting) string {
	var texts []string
	for _, m := range meets[:min(len(meets), mostMeets)] {
		texts = append(texts, m.text)
	}
	out := strings.Join(texts, ", ")
	if more := len(meets) - mostMeets; more > 0 {
		out += fmt.Sprintf(" and %d more", more)
	}
	return out
}

// meeting is where two names of a net meet, in words.
type meeting struct {
	nets  [2]string
	text  string
	label board.Label // its file and line
}

// meets lists where the names that a net carries meet, each two once: copper
// painted into one on a layer, and plated holes that join layers.
func (n *Nets) meets(id int, c []claim) (out []meeting) {
	carried := func(name string) bool {
		return slices.ContainsFunc(c, func(k claim) bool { return k.name == name })
	}
	known := func(a, b string) bool {
		return slices.ContainsFunc(out, func(m meeting) bool {
			return m.nets == [2]string{a, b} || m.nets == [2]string{b, a}
		})
	}
	for _, k := range n.Board.Contacts {
		on, ok := n.NetAt(k.Layer, k.At[0])
		if !ok || on != id || !carried(k.Nets[0]) || !carried(k.Nets[1]) || known(k.Nets[0], k.Nets[1]) {
			continue
		}
		text := fmt.Sprintf("%s and %s touch on %s at %s", k.Nets[0], k.Nets[1], layerName(k.Layer),
			millimetres(k.At[0]))
		if k.At[0] != k.At[1] {
			text = fmt.Sprintf("%s and %s are joined on %s by copper without a name from %s to %s", k.Nets[0],
				k.Nets[1], layerName(k.Layer), millimetres(k.At[0]), millimetres(k.At[1]))
		}
		out = append(out, meeting{k.Nets, text, board.Label{File: k.File, Line: k.Line}})
	}
	return append(out, n.meetsInHoles(id, known)...)
}

// meetsInHoles lists plated holes of a net that join pieces of different names.
func (n *Nets) meetsInHoles(id int, known func(a, b string) bool) (out []meeting) {
	first := map[Piece]board.Label{}
	for _, l := range n.Board.Labels {
		k := n.locators[l.Layer].Locate(l.At)
		if k < 0 || n.pieceNet[l.Layer][k] != id {
			continue
		}
		if _, seen := first[Piece{l.Layer, k}]; !seen {
			first[Piece{l.Layer, k}] = l
		}
	}
	var told []string
	in := map[int]board.Label{} // by hole, the first piece's
	for _, r := range n.rims {
		l, named := first[r.piece]
		if !named {
			continue
		}
		o, seen := in[r.hole]
		switch pair := strings.Join([]string{min(o.Net, l.Net), max(o.Net, l.Net)}, "\n"); {
		case !seen:
			in[r.hole] = l
		case o.Net != l.Net && !known(o.Net, l.Net) && !slices.Contains(told, pair):
			told = append(told, pair)
			text := fmt.Sprintf("%s on %s and %s on %s meet in the plated hole at %s", o.Net, layerName(o.Layer),
				l.Net, layerName(l.Layer), millimetres(n.Board.Holes[r.hole].Mid()))
			out = append(out, meeting{[2]string{o.Net, l.Net}, text, l})
		}
	}
	return out
}
