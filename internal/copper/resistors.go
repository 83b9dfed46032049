package copper

import (
	"strings"

	"ohmward/unit"
)

// Resistor is a fitted part between two nets whose value tells more ohms than
// a tie's: what a good unit reads across them is at most that.
type Resistor struct {
	Part       string          // its reference
	NetA, NetB int             // indices into Nets.Nets
	Ohms       unit.Resistance // its nominal value
}

// Resistors lists them in order of reference.
func (n *Nets) Resistors() []Resistor {
	var out []Resistor
	for i := range n.Board.Parts {
		part := &n.Board.Parts[i]
		if part.Absent || refKind(part.Ref) != "resistor" {
			continue
		}
		ohms, _, known := valueOhms(spellings.Replace(part.Value))
		if !known || ohms <= mostShunt || strings.EqualFold(strings.TrimSpace(part.Value), part.Ref) {
			continue
		}
		if pairs := n.tiedPins(part, lowOhm{}); len(pairs) == 1 && pairs[0][0].net != pairs[0][1].net {
			out = append(out, Resistor{part.Ref, pairs[0][0].net, pairs[0][1].net, ohms})
		}
	}
	return out
}
