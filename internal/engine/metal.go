package engine

import (
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/board"
)

// unboundMetal notes marked bodies that list no place where they could touch:
// of a part that is not there, or that no pad ties to the net named.
func (s *Pair) unboundMetal(marked []Metal) {
	for _, m := range marked {
		if why := s.whyNoMetal(m); why != "" {
			s.Notes = append(s.Notes, board.Doubt{What: fmt.Sprintf("[[metal]] part = %q, net = %q lists no place: %s",
				m.Part, m.Net, why)})
		}
	}
}

func (s *Pair) whyNoMetal(m Metal) string {
	at := s.partNamed(m.Part)
	if at < 0 {
		if name, near := s.Layout.NearestRef(m.Part); near {
			return "no part of that name is on the board; did you mean " + name + "?"
		}
		return "no part of that name is on the board"
	}
	part := s.Layout.Parts[at]
	group, err := s.groupNamed(m.Net)
	if err != nil {
		return ""
	}
	var on []string
	for _, i := range part.Pads {
		net := s.Nets.PadNet(i)
		if net < 0 {
			continue
		}
		if s.GroupOfNet(net) == group {
			if len(part.Body) < 3 {
				return "its body is not known"
			}
			return ""
		}
		if name := s.Nets.Nets[net].Name; !slices.Contains(on, name) {
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
