package session

import (
	"slices"

	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// metalToAsk gives the next part that seems to have a metal body on one of
// the two nets, and that nobody was asked about; nil where there is none left.
// An invented unit states its bodies.
func (d *LoadedBoard) metalToAsk(c *record.Case) *engine.Metal {
	if c.Steps == nil || c.Steps.Practice != nil || c.Nets[0] == "" || len(c.Readings) > 0 {
		return nil
	}
	for _, h := range d.Hints() {
		net := d.Nets.Nets[h.Net].Name
		known := slices.Contains(c.Steps.Asked, h.Part) ||
			slices.ContainsFunc(c.Metal, func(m record.Metal) bool { return m.Part == h.Part })
		if !known && slices.Contains(c.Nets[:], net) {
			return &engine.Metal{Part: h.Part, Net: net}
		}
	}
	return nil
}
