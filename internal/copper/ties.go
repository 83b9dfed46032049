package copper

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/unit"
)

// Tie is a part of low resistance that joins two nets for direct current.
// Its resistance is taken as log-normal: Ohms is the median, Sigma the
// standard deviation of the natural logarithm.
type Tie struct {
	Part       string
	Kind       string // "bead", "inductor", "fuse", "link" or "shunt"
	PinA, PinB string // "FB1.1"
	NetA, NetB int
	Ohms       unit.Resistance
	Sigma      float64
}

// Usual resistances of parts whose value does not tell it (common practice,
// no source; a user may edit each tie).
const (
	beadOhms     = 0.1
	inductorOhms = 0.1
	fuseOhms     = 0.05
	linkOhms     = 0.01
	// mostShunt is the largest resistance of a resistor that counts as a
	// tie: a volt across more is more than a milliohm meter's current.
	mostShunt = 1.0
)

var (
	byTwo     = math.Log(2)
	byThree   = math.Log(3)
	beadRef   = regexp.MustCompile(`^(FB|BEAD|FER)\d`)
	coilRef   = regexp.MustCompile(`^L\d`)
	fuseRef   = regexp.MustCompile(`^(F|FUSE|PTC)\d`)
	resistRef = regexp.MustCompile(`^(R|RS|RSH|RSENSE)\d`)
)

// Ties lists the board's low-ohm parts with two pins on different nets, in
// order of reference; parts said to be not fitted join nothing. Jumpers that are made by soldering are left out: the
// files do not tell whether they are closed.
func (n *Nets) Ties() []Tie {
	var out []Tie
	for i := range n.Board.Parts {
		part := &n.Board.Parts[i]
		kind, ohms, sigma := tieKind(part)
		if kind == "" || part.Absent {
			continue
		}
		pins, nets := n.pinNets(part)
		if len(pins) != 2 || nets[0] < 0 || nets[1] < 0 || nets[0] == nets[1] {
			continue
		}
		out = append(out, Tie{
			Part: part.Ref, Kind: kind, Ohms: ohms, Sigma: sigma,
			PinA: part.Ref + "." + pins[0], PinB: part.Ref + "." + pins[1],
			NetA: nets[0], NetB: nets[1],
		})
	}
	return out
}

// pinNets lists a part's pins and the net of each; -1 where pads of one pin
// lie on different nets or none.
func (n *Nets) pinNets(part *board.Part) (pins []string, nets []int) {
	for _, i := range part.Pads {
		pin, net := n.Board.Pads[i].Pin, n.padNet[i]
		k := slices.Index(pins, pin)
		if k < 0 {
			pins, nets = append(pins, pin), append(nets, net)
		} else if nets[k] != net {
			nets[k] = -1
		}
	}
	return pins, nets
}

// tieKind tells from reference and value whether a part is a tie.
func tieKind(p *board.Part) (kind string, ohms unit.Resistance, sigma float64) {
	ref := strings.ToUpper(p.Ref)
	switch {
	case beadRef.MatchString(ref):
		return "bead", beadOhms, byTwo
	case coilRef.MatchString(ref):
		return "inductor", inductorOhms, byThree
	case fuseRef.MatchString(ref):
		return "fuse", fuseOhms, byTwo
	case resistRef.MatchString(ref):
		r, ok := lowOhms(p.Value)
		switch {
		case !ok:
		case r == 0:
			return "link", linkOhms, byTwo
		default:
			return "shunt", r, 0.05
		}
	}
	return "", 0, 0
}

// packageCode is a chip's size, as 0402 or 2512, which is no resistance.
var packageCode = regexp.MustCompile(`^[0-3][0-9]{3}$`)

// lowOhms reads the first resistance among the words of a value such as "0R",
// "10mR 1 %" or "0402, 0", and tells whether it is at most mostShunt.
func lowOhms(value string) (unit.Resistance, bool) {
	words := strings.FieldsFunc(value, func(c rune) bool { return strings.ContainsRune(" ,;/_", c) })
	for i, w := range words {
		if i+1 < len(words) { // "10 mohm"
			if r, err := unit.ParseReading(w + " " + words[i+1]); err == nil {
				return r, r >= 0 && r <= mostShunt
			}
		}
		// "5mR" and "10mΩ" are milliohms; "0R" and "R005" plain ones.
		if t := strings.TrimSuffix(w, "R"); strings.HasSuffix(t, "m") {
			w = t
		}
		if r, err := unit.ParseReading(w); err == nil && !packageCode.MatchString(w) {
			return r, r >= 0 && r <= mostShunt
		}
	}
	return 0, false
}

// Groups joins the nets that ties connect. Every net is in exactly one group;
// groups and their nets are in the order of net numbers.
func (n *Nets) Groups(ties []Tie) [][]int {
	s := newSets(len(n.Nets))
	for _, t := range ties {
		s.join(t.NetA, t.NetB)
	}
	var out [][]int
	at := make([]int, len(n.Nets))
	for i := range n.Nets {
		if r := s.root(i); r != i {
			at[i] = at[r]
			out[at[i]] = append(out[at[i]], i)
			continue
		}
		at[i] = len(out)
		out = append(out, []int{i})
	}
	return out
}
