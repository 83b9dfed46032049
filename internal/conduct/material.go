package conduct

import (
	"cmp"
	"math"

	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/unit"
)

// Material is what the copper of a board is made of, beside the stack-up that
// the board carries.
type Material struct {
	Temp    unit.Temperature // of the copper
	Layer   []float64        // factor on each layer's thickness; nil: 1
	Plating float64          // factor on the plating's thickness; 0: 1
	Filled  []bool           // by the board's holes: filled with solder; nil: none
	Solder  float64          // resistivity of that solder, ohm metres; 0: SolderResistivity
}

// Link is a low-ohm part that joins two nets of a group.
type Link struct {
	Part string  // its reference
	A, B int     // pads, by their place in the board's list
	Ohms float64 // its resistance
}

// FromNets gathers the copper of some nets, and the parts that join them,
// into a group that conducts as one.
func FromNets(nets *copper.Nets, members []int, links []Link, mat Material) Group {
	b := nets.Board
	rho := float64(unit.CopperResistivity(mat.Temp))
	g := Group{Name: nets.Nets[members[0]].Name}
	for l := range b.Layers {
		sheet := Sheet{Layer: l, Conductance: float64(b.Stack.Copper[l]) * mat.layer(l) / rho}
		for _, n := range members {
			sheet.Copper = append(sheet.Copper, nets.Copper(n, l)...)
		}
		if len(sheet.Copper) > 0 {
			g.Sheets = append(g.Sheets, sheet)
		}
	}
	for _, n := range members {
		for _, h := range nets.Nets[n].Holes {
			g.Barrels = append(g.Barrels, newBarrel(b, h, rho, mat))
		}
	}
	for _, l := range links {
		g.Ties = append(g.Ties, Tie{Part: l.Part, Ohms: l.Ohms, A: terminal(b, l.A), B: terminal(b, l.B)})
	}
	return g
}

func (m Material) layer(l int) float64 {
	if l < len(m.Layer) {
		return m.Layer[l]
	}
	return 1
}

func terminal(b *board.Board, pad int) Terminal {
	return Terminal{b.Pads[pad].Layer, b.Pads[pad].At}
}

func newBarrel(b *board.Board, hole int, rho float64, mat Material) Barrel {
	h := b.Holes[hole]
	dx, dy := float64(h.To.X-h.At.X)*1e-9, float64(h.To.Y-h.At.Y)*1e-9
	section := Section{
		Diameter: float64(h.Diameter) * 1e-9, Slot: math.Hypot(dx, dy), Plating: float64(b.Stack.Plating),
		Filled: hole < len(mat.Filled) && mat.Filled[hole],
	}
	if mat.Plating > 0 {
		section.Plating *= mat.Plating
	}
	out := Barrel{At: h.At, To: h.To, Diameter: h.Diameter, FirstLayer: h.First, LastLayer: h.Last}
	var g float64
	g, out.PlatingExponent = section.Conductance(rho, cmp.Or(mat.Solder, SolderResistivity))
	for l := h.First; l < h.Last; l++ {
		out.Ohms = append(out.Ohms, float64(b.Stack.Gap[l])/g)
	}
	return out
}
