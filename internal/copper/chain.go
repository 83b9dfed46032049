package copper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/board"
)

// Chain finds the fewest low-ohm parts through which two nets are one for
// direct current, in order from the first net; nil where there are none. Open
// ties join nothing.
func (n *Nets) Chain(ties []Tie, from, to int) []Tie {
	by := map[int]int{} // the tie through which a net was reached
	reached := []int{from}
	for k := 0; k < len(reached); k++ {
		if reached[k] == to {
			return backTo(ties, by, from, to)
		}
		for i, t := range ties {
			next := t.beyond(reached[k])
			if _, known := by[next]; t.Open || next < 0 || known || next == from {
				continue
			}
			by[next] = i
			reached = append(reached, next)
		}
	}
	return nil
}

// beyond is the net at the tie's other end; -1 where the net is at neither.
func (t Tie) beyond(net int) int {
	switch net {
	case t.NetA:
		return t.NetB
	case t.NetB:
		return t.NetA
	}
	return -1
}

func backTo(ties []Tie, by map[int]int, from, to int) (chain []Tie) {
	for to != from {
		t := ties[by[to]]
		chain = append(chain, t)
		to = t.beyond(to)
	}
	slices.Reverse(chain)
	return chain
}

// ChainText writes a chain with the nets between its parts: "+3V3 - R12 - SENSE
// - R13 - SG1".
func (n *Nets) ChainText(chain []Tie, from int) string {
	words := []string{n.Nets[from].Name}
	for _, t := range chain {
		from = t.beyond(from)
		words = append(words, t.Part, n.Nets[from].Name)
	}
	return strings.Join(words, " - ")
}

// likelyOption ranks kinds of ties by how likely a design leaves the part out.
var likelyOption = []string{"jumper", "net tie", "link", "said", "bead", "shunt", "fuse", "inductor"}

// Untie lists what must be left open so that no low-ohm parts join two nets,
// each a part, or two pins of a part that joins several pairs. Of a chain the
// part goes that is likeliest an option.
func (n *Nets) Untie(ties []Tie, from, to int) (open []TieEdit) {
	ties = slices.Clone(ties)
	for chain := n.Chain(ties, from, to); chain != nil; chain = n.Chain(ties, from, to) {
		t := slices.MinFunc(chain, func(a, b Tie) int {
			return cmp.Compare(slices.Index(likelyOption, a.Kind), slices.Index(likelyOption, b.Kind))
		})
		e := TieEdit{Part: t.Part, Open: true}
		edited, err := n.EditTies(ties, []TieEdit{e})
		if err != nil {
			e = TieEdit{Pins: [2]string{t.PinA, t.PinB}, Open: true}
			edited, err = n.EditTies(ties, []TieEdit{e})
		}
		if err != nil || slices.Equal(edited, ties) {
			return nil // a tie that no edit opens
		}
		open, ties = append(open, e), edited
	}
	return open
}

// Flags writes what Untie gives as a command line takes it.
func Flags(open []TieEdit) string {
	var out []string
	for _, e := range open {
		out = append(out, "--tie "+cmp.Or(e.Part, e.Pins[0]+","+e.Pins[1])+"=open")
	}
	return strings.Join(out, " ")
}

// DoubtChains doubts low-ohm parts that join a supply with ground: options of
// which one is not fitted, as a rule, for else the board would be shorted by
// design.
func (n *Nets) DoubtChains(ties []Tie) (out []board.Doubt) {
	if !slices.ContainsFunc(ties, func(t Tie) bool { return !t.Open }) {
		return nil
	}
	told := map[string]bool{}
	for _, group := range n.Groups(ties) {
		for _, s := range group {
			for _, g := range group {
				if n.RailOf(s) != Supply || n.RailOf(g) != Ground {
					continue
				}
				chain := n.Chain(ties, s, g)
				key := Flags(n.Untie(ties, s, g))
				if told[key] || chain == nil {
					continue
				}
				told[key] = true
				out = append(out, board.Doubt{What: fmt.Sprintf("parts of low resistance join a supply with ground: "+
					"%s. One that is not fitted? %s takes it out, or a parts list that marks it as not fitted",
					n.ChainText(chain, s), key)})
			}
		}
	}
	return grouped(out, "supplies are joined with ground by parts of low resistance")
}
