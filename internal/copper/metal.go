package copper

import (
	"regexp"
	"slices"
	"strings"

	"ohmward/geom"
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
// gives one hint for each; rows of a connector's grid are no tabs.
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
	rows := n.rowsOf(part)
	for _, i := range part.Pads {
		pin, net := n.Board.Pads[i].Pin, n.padNet[i]
		tab := can || shellPin.MatchString(pin) || connectorRef.MatchString(part.Ref) && tabPin.MatchString(pin)
		if net < 0 || !tab || n.leadsNowhere(part.Ref, net) || !can && rows[family(pin)] {
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

// family is a pin's name without its number: what the tabs of a shell, or the
// pins of a grid's row, have in common.
func family(pin string) string {
	return strings.ToUpper(strings.TrimRight(pin, "0123456789_-"))
}

// Bounds on a family of tabs.
const (
	mostShellNets = 4 // a shell's tabs lie on few nets
	gridRow       = 4 // pins in a row of a grid at least
)

// rowsOf tells the families of a part's pins that are rows of contacts and no
// tabs: those on many nets, or on some with a single tab on most, and those
// with a neighbour in the alphabet, as in a grid of letters and numbers.
func (n *Nets) rowsOf(part *board.Part) map[string]bool {
	type count struct {
		places map[int]map[geom.Point]bool // by net
		pins   map[string]bool
	}
	families := map[string]*count{}
	for _, i := range part.Pads {
		pad, net := &n.Board.Pads[i], n.padNet[i]
		f := families[family(pad.Pin)]
		if f == nil {
			f = &count{map[int]map[geom.Point]bool{}, map[string]bool{}}
			families[family(pad.Pin)] = f
		}
		f.pins[pad.Pin] = true
		if net < 0 || n.leadsNowhere(part.Ref, net) {
			continue
		}
		if f.places[net] == nil {
			f.places[net] = map[geom.Point]bool{}
		}
		f.places[net][pad.At] = true
	}
	rows := map[string]bool{}
	row := func(letter byte) bool {
		f := families[string(letter)]
		return f != nil && len(f.pins) >= gridRow
	}
	for name, f := range families {
		single := 0
		for _, places := range f.places {
			if len(places) == 1 {
				single++
			}
		}
		nets := len(f.places)
		rows[name] = nets > mostShellNets || nets > 2 && 2*single > nets ||
			len(name) == 1 && row(name[0]) && (row(name[0]-1) || row(name[0]+1))
	}
	return rows
}
