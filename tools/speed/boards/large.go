package boards

import (
	"fmt"
	"math/rand/v2"
)

// Lengths of a large board's cell, in nanometres. Each cell holds one part of
// four pins with a via beside each.
const (
	cellSide   = 5 * mm
	landRow    = 1_000 * um // of the supply pins' lands; the signal pins' are one higher
	viaLow     = 400 * um   // of the supply pins' vias
	viaHigh    = 3_000 * um // of the signal pins' vias
	leftCol    = 600 * um
	rightCol   = 2_400 * um
	windFrom   = 3_450 * um // where a winding track begins to wind
	windStep   = 250 * um
	windReach  = 1_200 * um // of its runs, to the right
	jogReach   = 250 * um   // of a track from part to part, to both sides
	antipad    = 600 * um
	supplyName = "+3V3"
)

// largeRoles are the copper layers of a large board.
var largeRoles = []role{top, ground, across, along, power, across, along, ground, across, along, power,
	bottom}

// Large is a board of many four-pin parts, written as one IPC-2581 file. Its
// nets are a ground and a supply with two planes each, and signals of one or
// two pins.
type Large struct {
	Columns, Rows int       // of parts, and rows
	joined        []int     // by part: the layer of the track from its pin 4 to pin 3 of the next part; 0: none
	jog           []int64   // by part: how far that track keeps beside the straight way
	runs          [][]uint8 // by layer and signal via: runs of the winding track, 0: none
}

// NewLarge lays out a board of so many parts and nets. Of the neighbours in a
// row, as many are joined as the nets ask for.
func NewLarge(columns, rows, nets int, seed uint64) (*Large, error) {
	b := &Large{Columns: columns, Rows: rows}
	var free []int
	for p := range b.Parts() {
		if (p+1)%columns != 0 {
			free = append(free, p)
		}
	}
	joins := 2 + 2*b.Parts() - nets
	if columns < 1 || rows < 1 || joins < 0 || joins > len(free) {
		return nil, fmt.Errorf("boards: %d parts in %d rows have from %d to %d nets, not %d",
			b.Parts(), rows, 2+2*b.Parts()-len(free), 2+2*b.Parts(), nets)
	}
	rng := rand.New(rand.NewPCG(seed, uint64(len(largeRoles))))
	var inner []int
	b.runs = make([][]uint8, len(largeRoles))
	for l, r := range largeRoles {
		if r != across && r != along && r != bottom {
			continue
		}
		if r != bottom {
			inner = append(inner, l)
		}
		b.runs[l] = make([]uint8, 2*b.Parts())
		for v := range b.runs[l] {
			b.runs[l][v] = uint8(rng.IntN(5))
		}
	}
	b.joined, b.jog = make([]int, b.Parts()), make([]int64, b.Parts())
	rng.Shuffle(len(free), func(i, j int) { free[i], free[j] = free[j], free[i] })
	for _, p := range free[:joins] {
		b.joined[p] = inner[rng.IntN(len(inner))]
		b.jog[p] = (rng.Int64N(11) - 5) * jogReach / 5
	}
	return b, nil
}

// Parts counts the parts.
func (b *Large) Parts() int { return b.Columns * b.Rows }

// Layers counts the copper layers.
func (b *Large) Layers() int { return len(largeRoles) }

// Nets counts the nets.
func (b *Large) Nets() int {
	n := 2 + 2*b.Parts()
	for _, l := range b.joined {
		if l > 0 {
			n--
		}
	}
	return n
}

// PartName is the reference of a part.
func (b *Large) PartName(part int) string { return fmt.Sprintf("U%d", part+1) }

// Value is what the bill of materials says of a part.
func (b *Large) Value(part int) string { return fmt.Sprintf("%dk", 1+part%7) }

// NetOf is the net of a part's pin, from 1 to 4.
func (b *Large) NetOf(part, pin int) string {
	switch {
	case pin == 1:
		return groundNet
	case pin == 2:
		return supplyName
	case pin == 3 && part%b.Columns > 0 && b.joined[part-1] > 0:
		return b.NetOf(part-1, 4)
	}
	return fmt.Sprintf("S%d.%d", part+1, pin)
}

func (b *Large) corner(part int) point {
	return point{int64(part%b.Columns) * cellSide, int64(part/b.Columns) * cellSide}
}

func column(pin int) int64 {
	if pin%2 == 1 {
		return leftCol
	}
	return rightCol
}

// land is the place of a pin's land, via that of its via.
func (b *Large) land(part, pin int) point {
	return b.corner(part).plus(column(pin), landRow+int64((pin-1)/2)*mm)
}

func (b *Large) via(part, pin int) point {
	if pin <= 2 {
		return b.corner(part).plus(column(pin), viaLow)
	}
	return b.corner(part).plus(column(pin), viaHigh)
}

// way leads from pin 4 to pin 3 of the next part.
func (b *Large) way(part int) []point {
	from, to, h := b.via(part, 4), b.via(part+1, 3), b.jog[part]
	if h == 0 {
		return []point{from, to}
	}
	a := max(h, -h)
	return []point{from, from.plus(600*um, 0), from.plus(600*um+a, h), to.plus(-600*um-a, h),
		to.plus(-600*um, 0), to}
}

// winding leads up from a signal pin's via, to the right and back; nil where
// it has no run.
func (b *Large) winding(layer, part, pin int) []point {
	runs := b.runs[layer][2*part+pin-3]
	if runs == 0 {
		return nil
	}
	at := b.via(part, pin)
	out := []point{at}
	at = at.plus(0, windFrom-viaHigh)
	side := int64(windReach)
	for range runs {
		out = append(out, at)
		at = at.plus(side, 0)
		out = append(out, at)
		at, side = at.plus(0, windStep), -side
	}
	return out
}
