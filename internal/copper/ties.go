package copper

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/unionfind"
	"ohmward/unit"
)

// Tie is a part of low resistance that joins two nets for direct current.
// Its resistance is taken as log-normal: Ohms is the median, Sigma the
// standard deviation of the natural logarithm.
type Tie struct {
	Part       string          // its reference
	Kind       string          // "bead", "inductor", "fuse", "link", "shunt", "jumper", "net tie" or "said"
	PinA, PinB string          // "FB1.1"
	NetA, NetB int             // indices into Nets.Nets
	Ohms       unit.Resistance // the median
	Sigma      float64         // of the natural logarithm of the resistance
	Open       bool            // it joins nothing: a jumper that may be closed, or said to be open
	Why        string          // what told
}

// TieEdit is what a user says of a part's resistance.
type TieEdit struct {
	Part  string          // or
	Pins  [2]string       // of parts with more than two nets, as "Q1.2" and "Q1.3"
	Open  bool            // it joins nothing
	Ohms  unit.Resistance // the median; 0: not said
	Sigma float64         // 0: not said
}

// givenSigma is for a resistance that a user gives without its spread.
const givenSigma = 0.2

// Ties lists the board's low-ohm parts that join two different nets, in order
// of reference; parts said to be not fitted join nothing.
func (n *Nets) Ties() []Tie {
	return slices.DeleteFunc(n.LowOhmParts(), func(t Tie) bool { return t.Open })
}

// LowOhmParts lists Ties and beside them, as open, what may be closed: jumpers
// and solder bridges between two nets.
func (n *Nets) LowOhmParts() []Tie {
	var out []Tie
	for i := range n.Board.Parts {
		part := &n.Board.Parts[i]
		low := recognise(part.Ref, part.Value)
		if low.kind == "" || part.Absent {
			continue
		}
		for _, pair := range n.tiedPins(part, low) {
			out = append(out, n.tie(part.Ref, low, pair))
		}
	}
	return out
}

func (n *Nets) tie(ref string, low lowOhm, p [2]pinNet) Tie {
	return Tie{Part: ref, Kind: low.kind, Ohms: low.ohms, Sigma: low.sigma, Open: low.open, Why: low.why,
		PinA: ref + "." + p[0].pin, PinB: ref + "." + p[1].pin, NetA: p[0].net, NetB: p[1].net}
}

// EditTies gives the list as a user corrects it. An edit replaces what is
// listed of its part, or adds a tie; its error is one line.
func (n *Nets) EditTies(list []Tie, edits []TieEdit) ([]Tie, error) {
	list = slices.Clone(list)
	for _, e := range edits {
		t, err := n.edited(e)
		if err != nil {
			return nil, err
		}
		at := slices.IndexFunc(list, t.same)
		switch {
		case at >= 0 && e.Open:
			for i := range list {
				list[i].Open = list[i].Open || list[i].Part == t.Part
			}
		case at >= 0:
			if e.Sigma == 0 && t.Ohms == list[at].Ohms {
				t.Sigma = list[at].Sigma
			}
			t.Kind = list[at].Kind
			list[at] = t
		default:
			list = append(list, t)
		}
	}
	slices.SortStableFunc(list, func(a, b Tie) int { return board.CompareRefs(a.Part, b.Part) })
	return list, nil
}

// same tells whether two ties join the same pins.
func (t Tie) same(u Tie) bool {
	return t.PinA == u.PinA && t.PinB == u.PinB || t.PinA == u.PinB && t.PinB == u.PinA
}

// edited makes the tie that an edit asks for.
func (n *Nets) edited(e TieEdit) (Tie, error) {
	low := lowOhm{kind: "said", ohms: e.Ohms, sigma: cmp.Or(e.Sigma, givenSigma), why: "you say so",
		open: e.Open}
	if e.Part == "" {
		return n.editedPins(e, low)
	}
	at := slices.IndexFunc(n.Board.Parts, func(p board.Part) bool { return p.Ref == e.Part })
	if at < 0 {
		hint := ""
		if name, near := n.Board.NearestRef(e.Part); near {
			hint = "\ndid you mean " + name + "?"
		}
		return Tie{}, fmt.Errorf("no part %q on the board to join nets%s", e.Part, hint)
	}
	part := &n.Board.Parts[at]
	pairs := n.tiedPins(part, lowOhm{kind: "said"})
	if len(pairs) != 1 {
		nets := map[int]bool{}
		for _, p := range n.pinNets(part) {
			nets[p.net] = true
		}
		delete(nets, -1)
		if len(nets) < 2 {
			return Tie{}, fmt.Errorf("%s does not lie between two nets, so that it joins none", e.Part)
		}
		return Tie{}, fmt.Errorf("%s lies on %d nets\nname the two pins that it joins, as %s.1,%s.2", e.Part,
			len(nets), e.Part, e.Part)
	}
	return n.tie(part.Ref, low, pairs[0]), nil
}

func (n *Nets) editedPins(e TieEdit, low lowOhm) (Tie, error) {
	t := Tie{Kind: low.kind, Ohms: low.ohms, Sigma: low.sigma, Open: low.open, Why: low.why, PinA: e.Pins[0],
		PinB: e.Pins[1]}
	var nets [2]int
	for i, pin := range e.Pins {
		pads := n.pins[pin]
		if len(pads) == 0 {
			return Tie{}, fmt.Errorf("no pin %q on the board to join nets", pin)
		}
		if nets[i] = n.padNet[pads[0]]; nets[i] < 0 {
			return Tie{}, fmt.Errorf("pin %s has no copper", pin)
		}
	}
	if nets[0] == nets[1] {
		return Tie{}, fmt.Errorf("%s and %s are on one net already", e.Pins[0], e.Pins[1])
	}
	t.Part = n.Board.Pads[n.pins[e.Pins[0]][0]].Ref
	t.NetA, t.NetB = nets[0], nets[1]
	return t, nil
}

// pinNet is a pin and its net; -1 where its pads lie on several or none.
type pinNet struct {
	pin string
	net int
}

// pinNets lists a part's pins.
func (n *Nets) pinNets(part *board.Part) (out []pinNet) {
	for _, i := range part.Pads {
		pin, net := n.Board.Pads[i].Terminal(), n.padNet[i]
		k := slices.IndexFunc(out, func(p pinNet) bool { return p.pin == pin })
		if k < 0 {
			out = append(out, pinNet{pin, net})
		} else if out[k].net != net {
			out[k].net = -1
		}
	}
	return out
}

// tiedPins are the pairs of pins that a low-ohm part joins: the two of a part
// between two nets, be they several pads each or beside pins that lead
// nowhere; of an array of links, those that face each other.
func (n *Nets) tiedPins(part *board.Part, low lowOhm) [][2]pinNet {
	pins := n.pinNets(part)
	if low.kind == "link" && len(pins) >= 4 {
		if pairs := facing(pins); pairs != nil {
			return pairs
		}
	}
	var first []pinNet
	for _, p := range pins {
		if p.net < 0 || len(pins) > 2 && n.leadsNowhere(part.Ref, p.net) {
			continue
		}
		if !slices.ContainsFunc(first, func(q pinNet) bool { return q.net == p.net }) {
			first = append(first, p)
		}
	}
	if len(first) != 2 {
		return nil
	}
	return [][2]pinNet{{first[0], first[1]}}
}

// leadsNowhere tells whether all pads of a net are one part's.
func (n *Nets) leadsNowhere(ref string, net int) bool {
	return !slices.ContainsFunc(n.Nets[net].Pads, func(i int) bool { return n.Board.Pads[i].Ref != ref })
}

// facing pairs the pins 1 to n of an array of separate links as they are
// numbered: the first with the last. nil where the pins are none such.
func facing(pins []pinNet) (pairs [][2]pinNet) {
	count := len(pins)
	by := map[int]pinNet{}
	for _, p := range pins {
		if i, err := strconv.Atoi(strings.TrimSpace(p.pin)); err == nil && i >= 1 && i <= count {
			by[i] = p
		}
	}
	if len(by) != count || count%2 != 0 {
		return nil
	}
	for i := 1; i <= count/2; i++ {
		a, b := by[i], by[count+1-i]
		if a.net >= 0 && b.net >= 0 && a.net != b.net {
			pairs = append(pairs, [2]pinNet{a, b})
		}
	}
	return pairs
}

// Factor is the spread as a factor: two times out of three the resistance
// lies within this factor of Ohms.
func (t Tie) Factor() float64 { return math.Exp(t.Sigma) }

// Groups joins the nets that ties connect. Every net is in exactly one group;
// groups and their nets are in the order of net numbers. Open ties join
// nothing.
func (n *Nets) Groups(ties []Tie) [][]int {
	s := unionfind.New(len(n.Nets))
	for _, t := range ties {
		if !t.Open {
			s.Join(t.NetA, t.NetB)
		}
	}
	var out [][]int
	at := map[int]int{}
	for i := range n.Nets {
		k, known := at[s.Find(i)]
		if !known {
			k = len(out)
			at[s.Find(i)], out = k, append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}
