package copper

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
)

// claim is what the labels say of one net under one name.
type claim struct {
	name  string
	votes int
	first board.Label
}

// claimed gathers what labels say of every net, most votes first, then by
// name, and the labels without copper.
func (n *Nets) claimed(labels []board.Label) (out [][]claim, off []board.Label) {
	out = make([][]claim, len(n.Nets))
	at := map[int]map[string]int{}
	for _, l := range labels {
		id, ok := n.NetAt(l.Layer, l.At)
		if !ok {
			off = append(off, l)
			continue
		}
		if at[id] == nil {
			at[id] = map[string]int{}
		}
		k, seen := at[id][l.Net]
		if !seen {
			k = len(out[id])
			at[id][l.Net] = k
			out[id] = append(out[id], claim{name: l.Net, first: l})
		}
		out[id][k].votes++
	}
	for _, c := range out {
		slices.SortStableFunc(c, func(a, b claim) int {
			return cmp.Or(cmp.Compare(b.votes, a.votes), cmp.Compare(a.name, b.name))
		})
	}
	return out, off
}

// name gives every net the name that the data has for it and notes where names
// and geometry disagree.
func (n *Nets) name() {
	claims, _ := n.claimed(n.Board.Labels)
	n.labelled = claims
	fromList := map[int]bool{}
	list := n.listNets()
	var joined, parted []board.Doubt
	byData := map[string][]int{}
	for id, c := range claims {
		if len(c) == 0 {
			if c = list.claims[id]; len(c) == 0 {
				continue
			}
			fromList[id] = true
		}
		n.Nets[id].Data = c[0].name
		byData[c[0].name] = append(byData[c[0].name], id)
		for _, other := range c[1:] {
			n.Nets[id].Also = append(n.Nets[id].Also, other.name)
		}
		if len(c) > 1 && !fromList[id] {
			joined = append(joined, n.several(id, c))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(byData)) {
		ids := byData[name]
		slices.SortStableFunc(ids, func(a, b int) int { return cmp.Compare(n.Nets[b].Area, n.Nets[a].Area) })
		for k, id := range ids {
			n.Nets[id].Name = name
			if k > 0 {
				n.Nets[id].Name = fmt.Sprintf("%s~%d", name, k+1)
			}
		}
		if len(ids) > 1 && !slices.ContainsFunc(ids, func(id int) bool { return fromList[id] }) {
			parted = append(parted, n.split(name, ids))
		}
	}
	n.Doubts = append(n.Doubts, fewOrGrouped(joined, "pieces of copper carry several net names")...)
	n.Doubts = append(n.Doubts, n.unjoined(parted)...)
	n.compareNetlist(list, fromList)
	n.labelled = nil
}

// sort orders the nets, named ones first, and renumbers what points at them.
func (n *Nets) sort() {
	order := make([]int, len(n.Nets))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &n.Nets[a], &n.Nets[b]
		switch {
		case x.Named() == y.Named():
			return cmp.Compare(x.Name, y.Name)
		case x.Named():
			return -1
		}
		return 1
	})
	now := make([]int, len(order))
	nets := make([]Net, len(order))
	n.byName = map[string]int{}
	for to, from := range order {
		now[from], nets[to] = to, n.Nets[from]
		n.byName[nets[to].Name] = to
	}
	n.Nets = nets
	for _, ids := range slices.Concat(n.pieceNet, [][]int{n.holeNet, n.padNet}) {
		for k, id := range ids {
			if id >= 0 {
				ids[k] = now[id]
			}
		}
	}
	for id := range n.Nets {
		for _, name := range n.Nets[id].Also {
			if _, taken := n.byName[name]; !taken {
				n.byName[name] = id
			}
		}
	}
}

// doubtOf is a doubt about what a label says.
func doubtOf(l board.Label, format string, args ...any) board.Doubt {
	return board.Doubt{File: l.File, Line: l.Line, What: fmt.Sprintf(format, args...)}
}

// joinedDoubt is a doubt about nets that copper joins.
func joinedDoubt(l board.Label, format string, args ...any) board.Doubt {
	d := doubtOf(l, format, args...)
	d.Code = board.Joined
	return d
}

// split is the doubt that copper of one name does not hang together.
func (n *Nets) split(name string, ids []int) board.Doubt {
	var where []string
	for _, id := range ids[:min(len(ids), 6)] {
		s := n.inside(id)
		where = append(where, fmt.Sprintf("%s at %s (%.3f mm2)", layerName(s.Layer), millimetres(s.At),
			n.Nets[id].Area*1e6))
	}
	if len(ids) > 6 {
		where = append(where, "…")
	}
	return doubtOf(n.labelled[ids[1]][0].first, "net %s is %d separate pieces of copper: %s: open in the data "+
		"or split on purpose; the largest keeps the name", name, len(ids), strings.Join(where, ", "))
}

// unjoined tells of nets in several pieces: in one line where no hole joins
// any layers, since all have the one cause.
func (n *Nets) unjoined(parted []board.Doubt) []board.Doubt {
	const kind = "nets are several pieces of copper each"
	plated := slices.ContainsFunc(n.Board.Holes, func(h board.Hole) bool { return h.Plated })
	if len(n.Layers) < 2 || plated || len(parted) < 2 {
		return fewOrGrouped(parted, kind)
	}
	parted[0].What = fmt.Sprintf("%d %s, since no plated hole joins the layers: is the drill file missing? The "+
		"first: %s", len(parted), kind, parted[0].What)
	return parted[:1]
}

func layerName(i int) string { return fmt.Sprintf("L%d", i+1) }

// millimetres prints a point as places are written.
func millimetres(p geom.Point) string {
	x, y := p.MM()
	return fmt.Sprintf("%.3f,%.3f", x, y)
}
