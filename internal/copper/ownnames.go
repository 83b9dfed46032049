package copper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
)

// ownPrefix begins the names of copper that the data does not name.
const ownPrefix = "copper@"

// nameRest names copper that the data leaves without a name: after its first
// pin, else after a place inside its largest piece. Neither changes when a
// file without copper or plated holes joins the set.
func (n *Nets) nameRest() {
	used := map[string]bool{}
	for id := range n.Nets {
		if net := &n.Nets[id]; !net.Named() {
			net.Name = n.nameByPin(id, used)
			used[net.Name] = true
		}
	}
	for id := range n.Nets {
		net := &n.Nets[id]
		if net.Name != "" {
			continue
		}
		in := n.inside(id)
		x, y := in.At.MM()
		name := fmt.Sprintf("%s%.2f,%.2f", ownPrefix, x, y)
		if used[name] {
			name += "/" + layerName(in.Layer)
		}
		for k := 2; used[name]; k++ {
			name = fmt.Sprintf("%s%.2f,%.2f/%s~%d", ownPrefix, x, y, layerName(in.Layer), k)
		}
		used[name] = true
		net.Name = name
	}
}

// nameByPin names a net after the first of its pins that names no other; ""
// where it has none.
func (n *Nets) nameByPin(id int, used map[string]bool) string {
	pads := slices.Clone(n.Nets[id].Pads)
	slices.SortStableFunc(pads, func(a, b int) int {
		p, q := &n.Board.Pads[a], &n.Board.Pads[b]
		return cmp.Or(board.CompareRefs(p.Ref, q.Ref), board.CompareRefs(p.Pin, q.Pin))
	})
	for _, i := range pads {
		p := &n.Board.Pads[i]
		if name := ownPrefix + p.Ref + "." + p.Pin; p.Ref != "" && p.Pin != "" && !used[name] {
			return name
		}
	}
	return ""
}

// inside gives a place inside the net's largest piece, away from its holes.
func (n *Nets) inside(id int) Spot {
	var best Piece
	most := -1.0
	for _, p := range n.Nets[id].Pieces {
		if a := n.Layers[p.Layer][p.Polygon].Area(); a > most {
			best, most = p, a
		}
	}
	poly := n.Layers[best.Layer][best.Polygon]
	spot := Spot{Layer: best.Layer, At: poly.Outer[0], Net: id, Hole: -1}
	for _, shape := range [2]geom.Region{{{Outer: poly.Outer}}, {poly}} {
		for _, at := range shape.InsidePoints() {
			if on, ok := n.NetAt(best.Layer, at); ok && on == id {
				spot.At = at
				return spot
			}
		}
	}
	return spot
}

// rename gives nets the names that the user has for them; the old ones go on
// being understood.
func (n *Nets) rename() error {
	if len(n.Board.Names) == 0 {
		return nil
	}
	of := make([]int, len(n.Board.Names))
	for i, s := range n.Board.Names {
		id, err := n.meant(s.Of)
		if err != nil {
			return fmt.Errorf("copper: %s: [nets] %s: %w", s.File, s.Name, err)
		}
		if k := slices.Index(of[:i], id); k >= 0 {
			return fmt.Errorf("copper: %s: [nets] %s and %s are the same net, %s: leave one", s.File,
				n.Board.Names[k].Name, s.Name, n.Nets[id].Name)
		}
		of[i] = id
	}
	for i, s := range n.Board.Names {
		if id, taken := n.byName[s.Name]; taken && id != of[i] && n.Nets[id].Name == s.Name &&
			!slices.Contains(of, id) {
			return fmt.Errorf("copper: %s: [nets] %s: another net has this name already: choose another", s.File,
				s.Name)
		}
	}
	for i, s := range n.Board.Names {
		net := &n.Nets[of[i]]
		if net.Name != s.Name {
			net.Was, net.Name = net.Name, s.Name
			net.Also = append(net.Also, net.Was)
		}
	}
	n.sort()
	return nil
}

// meant finds the net that the user means: by its name, by a pin, or by a
// point as "L1 12.3,4.5".
func (n *Nets) meant(text string) (int, error) {
	text = strings.TrimSpace(text)
	if layer, point, ok := strings.Cut(text, " "); ok && !strings.Contains(text, "@") {
		if p, err := ParsePlace(layer + "@" + strings.TrimSpace(point)); err == nil {
			text = p.String()
		}
	}
	return n.ByName(text)
}

// byOwnName finds copper by a name of ours that it does not have any more,
// since a file with names or plated holes joined the set.
func (n *Nets) byOwnName(name string) (int, bool) {
	rest, ok := strings.CutPrefix(name, ownPrefix)
	if !ok {
		return -1, false
	}
	rest, layer, _ := strings.Cut(rest, "/")
	if !strings.Contains(rest, ",") {
		p, err := ParsePlace(rest)
		if err != nil {
			return -1, false
		}
		s, err := n.Resolve(p)
		return s.Net, err == nil
	}
	layer, _, _ = strings.Cut(layer, "~")
	for l := range n.Layers {
		if layer != "" && layer != layerName(l) {
			continue
		}
		if p, err := ParsePlace(layerName(l) + "@" + rest); err == nil {
			if id, ok := n.NetAt(l, p.At); ok {
				return id, true
			}
		}
	}
	return -1, false
}
