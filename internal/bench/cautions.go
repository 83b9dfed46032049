package bench

import (
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/engine"
	"ohmward/internal/suspect"
)

// cautions are those before the first reading; where parts seem to have a
// metal body on one of the groups and are not marked, one line asks.
func cautions(s *engine.Pair) []string {
	var bodies []string
	for _, h := range s.Hints() {
		marked := slices.ContainsFunc(s.Bodies, func(b suspect.Body) bool { return b.Part == h.Part })
		if marked || s.GroupOfNet(h.Net) < 0 {
			continue
		}
		bodies = append(bodies, fmt.Sprintf("%s (%s on %s)", h.Part, strings.Join(h.Pins, " "),
			s.Nets.Nets[h.Net].Name))
	}
	if len(bodies) == 0 {
		return beforeProbes
	}
	const most = 6
	if len(bodies) > most {
		bodies = append(bodies[:most], "…")
	}
	return append(slices.Clone(beforeProbes), "These seem to have a metal body, which the files do not show: "+
		strings.Join(bodies, ", ")+
		". Where it is metal, say so in the case with [[metal]]: solder creeps under shells.")
}
