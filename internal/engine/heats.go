package engine

import (
	"math"
	"slices"

	"ohmward/internal/board"
	"ohmward/internal/record"
)

// heating are the actions that melt solder.
var heating = []string{"removed", "lifted", "refitted", "replaced", "reflowed", "wicked", "split"}

// How far heat reaches, in millimetres: common practice, no source. A part of
// more pins than two irons take off at once comes off with hot air.
const (
	ironMM       = 1.5
	hotAirMM     = 5.0
	mostIronPins = 2
)

// Heats tells whether an action melts solder.
func Heats(done string) bool { return slices.Contains(heating, done) }

// HotAir tells whether an action on a part is done with hot air.
func (p *Board) HotAir(done, part string) bool {
	i := p.partNamed(part)
	return i >= 0 && slices.Contains([]string{"removed", "refitted", "replaced"}, done) &&
		p.Pins(p.Layout.Parts[i]) > mostIronPins
}

// HeatedBy lists whose pads an action heats: parts by their reference ("C7"), all
// of their pads; single pins as "U3.5". What the action is done to comes first,
// neighbours of hot air after it.
func (p *Board) HeatedBy(f record.Finding) (out []string) {
	if !Heats(f.Done) {
		return nil
	}
	add := func(name string) {
		if name != "" && !slices.Contains(out, name) && len(out) < record.MostHeated {
			out = append(out, name)
		}
	}
	if i := p.partNamed(f.Part); i >= 0 {
		add(f.Part)
		if p.HotAir(f.Done, f.Part) {
			for _, ref := range p.beside(p.Layout.Parts[i]) {
				add(ref)
			}
		}
		return out
	}
	at, layer, err := p.PlaceOf(f.Place)
	if f.Place == "" || err != nil {
		return nil
	}
	for i := range p.Layout.Pads {
		q := &p.Layout.Pads[i]
		if (q.Layer == layer || q.Hole >= 0) && (q.Shape.Contains(at) || DistanceMM(q.At, at) <= ironMM) {
			add(q.PinName())
		}
	}
	return out
}

// beside are the parts that hot air on a part heats too: of the same side, with a
// pad near one of its pads.
func (p *Board) beside(q board.Part) (out []string) {
	for i := range p.Layout.Parts {
		other := &p.Layout.Parts[i]
		if other.Ref == q.Ref || other.Side != q.Side || other.Absent {
			continue
		}
		least := math.Inf(1)
		for _, a := range q.Pads {
			for _, b := range other.Pads {
				least = min(least, DistanceMM(p.Layout.Pads[a].At, p.Layout.Pads[b].At))
			}
		}
		if least <= hotAirMM {
			out = append(out, other.Ref)
		}
	}
	return out
}

// HeatCounts counts how often the findings of a case heated the pads of each part
// and pin; a finding that does not say whose heated those that its action does.
func (p *Board) HeatCounts(findings []record.Finding) HeatCount {
	out := HeatCount{}
	for _, f := range findings {
		list := f.Heated
		if list == nil {
			list = p.HeatedBy(f)
		}
		for _, name := range list {
			out[name]++
		}
	}
	return out
}

// HeatCount is how often pads were heated, by part or pin.
type HeatCount map[string]int

// Of is the most that a pad of the part or the pin was heated.
func (h HeatCount) Of(p *Board, name string) int {
	n := h[name]
	if i := p.partNamed(name); i >= 0 {
		most := 0
		for _, k := range p.Layout.Parts[i].Pads {
			most = max(most, h[p.Layout.Pads[k].PinName()])
		}
		return n + most
	}
	for i := range p.Layout.Parts {
		q := &p.Layout.Parts[i]
		if slices.ContainsFunc(q.Pads, func(k int) bool { return p.Layout.Pads[k].PinName() == name }) {
			return n + h[q.Ref]
		}
	}
	return n
}

// FactoryPasses is how often the factory's oven melted the solder: once for each
// side that carries parts.
func (p *Board) FactoryPasses() int {
	sides := map[board.Side]bool{}
	for _, q := range p.Layout.Parts {
		if !q.Absent && len(q.Pads) > 0 {
			sides[q.Side] = true
		}
	}
	return max(1, len(sides))
}
