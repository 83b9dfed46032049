package bench

import (
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/suspect"
)

// unboundMetal notes marked bodies that list no place where they could touch:
// of a part that is not there, or that no pad ties to the net named.
func (s *session) unboundMetal(marked []metalBody) {
	for _, m := range marked {
		if why := s.whyNoMetal(m); why != "" {
			s.notes = append(s.notes, Doubt{What: fmt.Sprintf("[[metal]] part = %q, net = %q lists no place: %s", m.part, m.net, why)})
		}
	}
}

func (s *session) whyNoMetal(m metalBody) string {
	at := slices.IndexFunc(s.board.Parts, func(p board.Part) bool { return p.Ref == m.part })
	if at < 0 {
		if name, near := s.board.NearestRef(m.part); near {
			return "no part of that name is on the board; did you mean " + name + "?"
		}
		return "no part of that name is on the board"
	}
	part := s.board.Parts[at]
	group, err := s.groupNamed(m.net)
	if err != nil {
		return ""
	}
	var on []string
	for _, i := range part.Pads {
		net := s.nets.PadNet(i)
		if net < 0 {
			continue
		}
		if s.groupOfNet(net) == group {
			if len(part.Body) < 3 {
				return "its body is not known"
			}
			return ""
		}
		if name := s.nets.Nets[net].Name; !slices.Contains(on, name) {
			on = append(on, name)
		}
	}
	if len(on) == 0 {
		return "the part has no pad"
	}
	slices.Sort(on)
	const most = 5
	if len(on) > most {
		on = append(on[:most], "…")
	}
	return fmt.Sprintf("none of its pads is on that net, they are on %s", strings.Join(on, ", "))
}

// cautions are those before the first reading; where parts seem to have a
// metal body on one of the groups and are not marked, one line asks.
func (s *session) cautions() []string {
	var bodies []string
	for _, h := range s.hints() {
		marked := slices.ContainsFunc(s.bodies, func(b suspect.Body) bool { return b.Part == h.Part })
		if marked || s.groupOfNet(h.Net) < 0 {
			continue
		}
		bodies = append(bodies, fmt.Sprintf("%s (%s on %s)", h.Part, strings.Join(h.Pins, " "), s.nets.Nets[h.Net].Name))
	}
	if len(bodies) == 0 {
		return beforeProbes
	}
	const most = 6
	if len(bodies) > most {
		bodies = append(bodies[:most], "…")
	}
	return append(slices.Clone(beforeProbes), "These seem to have a metal body, which the files do not show: "+strings.Join(bodies, ", ")+
		". Where it is metal, say so in the case with [[metal]]: solder creeps under shells.")
}
