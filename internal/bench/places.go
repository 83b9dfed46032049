package bench

import (
	"ohmward/internal/answer"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
)

// PlaceAt writes a spot as the answers have it.
func PlaceAt(p *engine.Board, s copper.Spot) *answer.Place {
	x, y := s.At.MM()
	return &answer.Place{Layer: p.Layout.Layers[s.Layer].Name, X: x, Y: y, Pin: s.Pin, Rim: p.Nets.InHole(s)}
}
