package copper

import (
	"regexp"
	"slices"
	"strings"

	"ohmward/internal/board"
)

// MetalHint is a part that seems to have a metal body: the files tell of its
// tabs, not of the metal.
type MetalHint struct {
	Part string   // its reference
	Net  int      // that its tabs are soldered to
	Pins []string // the tabs
}

var (
	// shellPin are the names of pins that hold a shell or a shield, on any part.
	shellPin = regexp.MustCompile(`(?i)^(SH|SHLD|SHIELD|SHELL|CHASSIS|CASE)[_-]?\d*$`)
	// tabPin are such names on connectors and holders only: elsewhere S1 is a
	// source.
	tabPin       = regexp.MustCompile(`(?i)^(S|MP|MNT|MH|M|TAB|G|P\$S)[_-]?\d{0,2}$`)
	connectorRef = regexp.MustCompile(`(?i)^(J|CN|CON|CONN|USB|HDMI|RJ|SD|BT|BAT|X|P|XS|K)\d`)
	shieldRef    = regexp.MustCompile(`(?i)^(SH|SHD|SHLD|SHIELD|CAN)\d`)
)

// MetalHints lists the parts whose pins are named like a shell's tabs, and
// shield cans, in order of reference. A part whose tabs lie on several nets
// gives one hint for each.
func (n *Nets) MetalHints() (out []MetalHint) {
	for i := range n.Board.Parts {
		part := &n.Board.Parts[i]
		if part.Absent || recognise(part.Ref, part.Value).kind != "" {
			continue
		}
		out = append(out, n.metalHints(part)...)
	}
	return out
}

func (n *Nets) metalHints(part *board.Part) (out []MetalHint) {
	can := shieldRef.MatchString(part.Ref)
	for _, i := range part.Pads {
		pin, net := n.Board.Pads[i].Pin, n.padNet[i]
		tab := can || shellPin.MatchString(pin) || connectorRef.MatchString(part.Ref) && tabPin.MatchString(pin)
		if net < 0 || !tab || n.leadsNowhere(part.Ref, net) {
			continue
		}
		k := slices.IndexFunc(out, func(h MetalHint) bool { return h.Net == net })
		if k < 0 {
			k = len(out)
			out = append(out, MetalHint{Part: part.Ref, Net: net})
		}
		if pin != "" && !slices.Contains(out[k].Pins, pin) {
			out[k].Pins = append(out[k].Pins, pin)
		}
	}
	for _, h := range out {
		slices.SortFunc(h.Pins, func(a, b string) int {
			return board.CompareRefs(strings.ToUpper(a), strings.ToUpper(b))
		})
	}
	return out
}
