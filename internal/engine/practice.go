package engine

import (
	"ohmward/internal/conduct"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
)

func NoiseOf(m locate.Meter) practice.Noise {
	return practice.Noise{TwoWire: m.NoiseOhms, FourWire: m.NoiseFourWireOhms, Fraction: m.ReadingFraction,
		Null: m.NullOhms, HandHeld: m.HandHeld}
}

// PracticeBench says what the unit is made from.
func (s *Pair) PracticeBench(kind string) practice.Bench {
	b := practice.Bench{Nets: s.Nets, Groups: s.Groups,
		Links: [2][]conduct.Link{s.PlainLinks(0), s.PlainLinks(1)}, Material: s.Material, Kind: kind,
		Bodies: s.Bodies}
	for g := range s.Probes {
		for _, p := range s.Probes[g] {
			b.Probes = append(b.Probes, conduct.Probe{Group: g, Disc: s.Disc(p.Spot)})
		}
	}
	return b
}
