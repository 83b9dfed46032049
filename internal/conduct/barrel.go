package conduct

import "math"

// SolderResistivity is that of tin-silver-copper solder (SAC305) at 20 C, in
// ohm metres; tin-lead has 10 % more (REFERENCES A12).
const SolderResistivity = 0.132e-6

// Section is a plated hole or slot cut across: all lengths in metres.
type Section struct {
	Diameter, Slot, Plating float64 // outside; distance between a slot's ends; thickness
	Filled                  bool    // with solder, from side to side
}

// areas gives the cross-sections of the plating and of the space inside it,
// in square metres, and what the plating gains for a relative growth of its
// thickness, which is what the inside loses: the annulus
// pi((d/2)^2-(d/2-t)^2) + 2 t slot, or the solid section where d <= 2t.
func (s Section) areas() (plating, inside, gain float64) {
	outer := s.Diameter / 2
	whole := math.Pi*outer*outer + s.Slot*s.Diameter
	inner := outer - s.Plating
	if inner <= 0 {
		return whole, 0, 0
	}
	inside = math.Pi*inner*inner + 2*inner*s.Slot
	return whole - inside, inside, s.Plating * (2*math.Pi*inner + 2*s.Slot)
}

// Conductance gives the barrel's conductance times its height, and the
// derivative of its logarithm by that of the plating's thickness: near 1 in a
// thin wall, 0 in a solid one, less where solder takes part.
func (s Section) Conductance(resistivity, solder float64) (siemensMetre, follows float64) {
	plating, inside, gain := s.areas()
	siemensMetre = plating / resistivity
	slope := gain / resistivity
	if s.Filled {
		siemensMetre += inside / solder
		slope -= gain / solder
	}
	return siemensMetre, slope / siemensMetre
}
