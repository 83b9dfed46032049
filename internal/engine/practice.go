package engine

import (
	"math"

	"ohmward/internal/conduct"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
)

// NoiseOf is how a meter errs in practice. Its display steps, so what the steps
// leave of the null is not drawn once more.
func NoiseOf(m locate.Meter) practice.Noise {
	n := practice.Noise{TwoWire: m.NoiseOhms, FourWire: m.NoiseFourWireOhms, Fraction: m.ReadingFraction,
		HandHeld: m.HandHeld, Step: m.Spec.ResolutionOhms, FourWireStep: m.Spec.FourWireStepOhms}
	if m.VoltStep > 0 {
		n.FourWireStep, n.Differenced = n.FourWireStep/math.Sqrt2, true
	}
	n.Null = math.Sqrt(max(0, m.NullOhms*m.NullOhms-n.Step*n.Step/12))
	return n
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
