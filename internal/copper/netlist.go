package copper

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ohmward/internal/board"
)

// Doubts of one kind that a netlist gives are told one by one up to a few,
// else in one line with a count.
const mostLines = 4

// placesOfList is what the netlist beside the copper says of every net.
type placesOfList struct {
	claims [][]claim        // by net, most places first
	nets   map[string][]int // by name, the nets its places lie on, most places first
	off    []board.Label    // places without copper
}

// listNets finds the nets on which the netlist's places lie.
func (n *Nets) listNets() (l placesOfList) {
	l.nets = map[string][]int{}
	l.claims, l.off = n.claimed(n.Board.Netlist)
	for id, c := range l.claims {
		for _, k := range c {
			l.nets[k.name] = append(l.nets[k.name], id)
		}
	}
	return l
}

// claimOf gives the claim of a name on a net.
func (l placesOfList) claimOf(id int, name string) claim {
	k := slices.IndexFunc(l.claims[id], func(c claim) bool { return c.name == name })
	return l.claims[id][k]
}

// compareNetlist doubts what netlist and copper say differently: nets of the
// list on one piece of copper, a net of the list on several, places without
// copper, and other names. Nets of which the attributes tell the same already
// are left out.
func (n *Nets) compareNetlist(l placesOfList, fromList map[int]bool) {
	var shorts, opens, renamed []board.Doubt
	for id, c := range l.claims {
		net := &n.Nets[id]
		other := 0
		for _, k := range c {
			if k.name == net.Data {
				continue
			}
			other++
			if !slices.Contains(net.Also, k.name) {
				net.Also = append(net.Also, k.name)
			}
		}
		switch {
		case len(c) > 1 && !(len(net.Also) >= len(c) && !fromList[id] && n.attributed(id, c)):
			shorts = append(shorts, n.listedApart(id, c))
		case len(c) == 1 && other == 1 && !sameName(c[0].name, net.Data):
			renamed = append(renamed, doubtOf(c[0].first, "net %s is called %s in the netlist", net.Data, c[0].name))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(l.nets)) {
		ids := l.nets[name]
		if len(ids) < 2 || n.splitByAttributes(ids, fromList) {
			continue
		}
		var where []string
		first := l.claimOf(ids[len(ids)-1], name).first
		for _, id := range ids[:min(len(ids), 4)] {
			c := l.claimOf(id, name)
			where = append(where, fmt.Sprintf("%s at %s", layerName(c.first.Layer), millimetres(c.first.At)))
		}
		if len(ids) > 4 {
			where = append(where, "…")
		}
		opens = append(opens, doubtOf(first, "net %s of the netlist lies on %d separate pieces of copper: %s: "+
			"open in the data or joined elsewhere", name, len(ids), strings.Join(where, ", ")))
	}
	n.Doubts = slices.Concat(n.Doubts, grouped(shorts, "pieces of copper carry several nets of the netlist"),
		grouped(opens, "nets of the netlist lie on several pieces of copper"),
		grouped(renamed, "nets have another name in the netlist, which may be used as well"))
	if len(l.off) > 0 {
		p := l.off[0]
		n.Doubts = append(n.Doubts, doubtOf(p, "%d of %d places of the netlist have no copper, as %s on %s at %s",
			len(l.off), len(n.Board.Netlist), p.Net, layerName(p.Layer), millimetres(p.At)))
	}
}

// attributed tells whether the copper's own attributes name the same several
// nets, so that the doubt is told already.
func (n *Nets) attributed(id int, c []claim) bool {
	unnamed := func(k claim) bool {
		return !slices.ContainsFunc(n.labelled[id], func(l claim) bool { return sameName(k.name, l.name) })
	}
	return len(n.labelled[id]) > 1 && !slices.ContainsFunc(c, unnamed)
}

// splitByAttributes tells whether nets carry one name by attributes, so that
// the split is told already.
func (n *Nets) splitByAttributes(ids []int, fromList map[int]bool) bool {
	return !slices.ContainsFunc(ids, func(id int) bool {
		return fromList[id] || n.Nets[id].Data != n.Nets[ids[0]].Data || !n.Nets[id].Named()
	})
}

// sameName tells whether a netlist's name stands for a copper's: writers
// of netlists put names into capitals, cut them off after 14 characters and
// change what is no letter nor digit.
func sameName(listed, data string) bool {
	a, b := plainName(listed), plainName(data)
	return a == b || len(a) >= 8 && (strings.HasPrefix(b, a) || strings.HasSuffix(b, a))
}

func plainName(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '+' || r == '-' || r > 127 {
			return r
		}
		return -1
	}, strings.ToUpper(strings.ReplaceAll(s, "{slash}", "/")))
}

func placedClaims(c []claim) string {
	var names []string
	for _, k := range c[:min(len(c), 6)] {
		names = append(names, fmt.Sprintf("%s (%s at %s)", k.name, layerName(k.first.Layer),
			millimetres(k.first.At)))
	}
	if len(c) > 6 {
		names = append(names, "…")
	}
	return strings.Join(names, ", ")
}

// grouped makes one line of many doubts of a kind.
func grouped(ds []board.Doubt, kind string) []board.Doubt {
	if len(ds) <= mostLines {
		return ds
	}
	ds[0].What = fmt.Sprintf("%d %s; the first: %s", len(ds), kind, ds[0].What)
	return ds[:1]
}

// mostNames is how many doubts of a kind that attributes give are told one by
// one; a panel's copies or a lost drill file make hundreds.
const mostNames = 12

func fewOrGrouped(ds []board.Doubt, kind string) []board.Doubt {
	if len(ds) <= mostNames {
		return ds
	}
	return grouped(ds, kind)
}
