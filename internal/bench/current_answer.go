package bench

import (
	"fmt"
	"math"

	"ohmward/internal/answer"
	"ohmward/internal/conduct"
	"ohmward/internal/engine"
	"ohmward/unit"
)

// What an injected current may do: a rise of 2 K in the weakest track, in
// steps, and under voltage limits that leave silicon and Schottky diodes shut;
// heat shows from about 50 mW in one place (BENCH.md, "Injecting current" and
// "Inject and look").
const (
	safeRise      = 2.0
	limitVolts    = 0.3
	schottkyVolts = 0.2
	visibleWatts  = 0.05
)

var testSteps = []float64{0.01, 0.1, 0.5}

const currentCaution = "Output off while clipping; never burn a short out. The limit is a curve fit to the " +
	"charts of " +
	"IPC-2221, far from other heat: where your own rules are stricter, they hold."

func currentAnswer(p *engine.Board, c CurrentOptions, legs []leg) *answer.Current {
	amps := float64(c.Amps)
	a := &answer.Current{Header: answer.NewHeader(), From: PlaceAt(p, legs[0].from),
		To:   PlaceAt(p, legs[len(legs)-1].to),
		Amps: amps, Caution: currentCaution, Doubts: Doubts(p)}
	for _, l := range legs {
		a.Nets = append(a.Nets, p.Nets.Nets[l.from.Net].Name)
		a.Ohms += l.flow.Ohms
		a.Low += l.flow.Low
		a.High += l.flow.High
	}
	a.Drop, a.Watts = amps*a.Ohms, amps*amps*a.Ohms
	for _, l := range legs {
		for _, s := range l.flow.Sheets {
			share(a, p.Nets.Nets[l.from.Net].Name, p.Layout.Layers[s.Layer].Name, s.Ohms)
		}
		if len(l.flow.Barrels) > 0 {
			share(a, p.Nets.Nets[l.from.Net].Name, "holes", l.flow.InHoles)
		}
	}
	most, weakest := weakest(p, legs)
	weakest.Rise = conduct.TrackRise(weakest.Width*1e-3*weakest.Thickness*1e-6, unit.Current(weakest.Amps*amps),
		weakest.outer)
	weakest.Amps *= amps
	weakest.Density *= amps
	a.Hottest = weakest.Hottest
	a.Safe = safeSteps(most, amps, a.Drop, a.Ohms)
	a.Heat = heatAt(amps, float64(c.ShortOhms), most)
	return a
}

// share takes in a part of the resistance; what is only rounding is nothing.
func share(a *answer.Current, net, where string, ohms float64) {
	if ohms < 1e-12*a.Ohms {
		ohms = 0
	}
	a.Shares = append(a.Shares, answer.Share{Net: net, Where: where, Ohms: ohms, Drop: a.Amps * ohms,
		Watts: a.Amps * a.Amps * ohms, Fraction: ohms / a.Ohms})
}

func outer(p *engine.Board, layer int) bool { return layer == 0 || layer == len(p.Layout.Layers)-1 }

// weakSpot is a track or hole at 1 A in all, and whether it cools as an outer
// layer does.
type weakSpot struct {
	answer.Hottest
	outer bool
}

// weakest finds what comes first to the safe rise, and at what current in all.
func weakest(p *engine.Board, legs []leg) (most float64, weakest weakSpot) {
	most = math.Inf(1)
	for _, l := range legs {
		for _, w := range []weakSpot{hottestTrack(p, l), hottestHole(p, l)} {
			if all := w.Limit / w.Amps; all < most {
				most, weakest = all, w
			}
		}
	}
	return most, weakest
}

// hottestTrack looks for the weakest track, at 1 A in all.
func hottestTrack(p *engine.Board, l leg) weakSpot {
	limit := func(layer int, width float64) float64 {
		return float64(conduct.TrackCurrent(width*float64(p.Layout.Stack.Copper[layer]), safeRise, outer(p, layer)))
	}
	spot, _ := l.flow.Weakest(limit)
	x, y := spot.At.MM()
	return weakSpot{outer: outer(p, spot.Layer), Hottest: answer.Hottest{
		Kind: "track", Net: p.Nets.Nets[l.from.Net].Name, Layer: p.Layout.Layers[spot.Layer].Name, X: x, Y: y,
		Amps: spot.Current, Width: spot.Width * 1e3, Thickness: p.Layout.Stack.Copper[spot.Layer].UM(),
		Density: spot.Density() * 1e-3, Limit: limit(spot.Layer, spot.Width),
	}}
}

// hottestHole looks for the weakest plated hole, at 1 A in all. Its wall, cut
// open, is a track as wide as its section over the plating; it counts as an
// inner track.
func hottestHole(p *engine.Board, l leg) weakSpot {
	worst, found := math.Inf(1), weakSpot{Hottest: answer.Hottest{Limit: 1}}
	rho := float64(unit.CopperResistivity(p.Material.Temp))
	for b, amps := range l.flow.Barrels {
		barrel := l.group.Barrels[b]
		for k, through := range amps {
			area := rho * float64(p.Layout.Stack.Gap[barrel.FirstLayer+k]) / barrel.Ohms[k]
			limit := float64(conduct.TrackCurrent(area, safeRise, false))
			through = math.Abs(through)
			if through == 0 || limit/through >= worst {
				continue
			}
			worst = limit / through
			x, y := barrel.At.MM()
			plating := float64(p.Layout.Stack.Plating)
			found.Hottest = answer.Hottest{
				Kind: "hole", Net: p.Nets.Nets[l.from.Net].Name, Layer: p.Layout.Layers[barrel.FirstLayer+k].Name, X: x,
				Y:    y,
				Amps: through, Width: area / plating * 1e3, Thickness: plating * 1e6,
				Density: through * plating / area * 1e-3, Limit: limit,
			}
		}
	}
	return found
}

// safeSteps gives the steps up to what the weakest place bears.
func safeSteps(most, amps, drop, ohms float64) answer.Safe {
	s := answer.Safe{Rise: safeRise, MostAmps: most, Steps: []float64{}, LimitVolts: limitVolts,
		SchottkyVolt: schottkyVolts, Within: amps <= most}
	for _, step := range testSteps {
		if step <= most {
			s.Steps = append(s.Steps, step)
		}
	}
	if last := roundDown(most); len(s.Steps) == 0 || len(s.Steps) < len(testSteps) &&
		last > s.Steps[len(s.Steps)-1] {
		s.Steps = append(s.Steps, last)
	}
	top := s.Steps[len(s.Steps)-1]
	switch {
	case top*ohms > limitVolts:
		s.Note = fmt.Sprintf("the copper alone drops %v at %v: the voltage limit holds the current down",
			unit.Voltage(top*ohms), unit.Current(top))
	case !s.Within:
		s.Note = fmt.Sprintf("%v is too much here", unit.Current(amps))
	case drop > limitVolts:
		s.Note = fmt.Sprintf("%v is over the voltage limit", unit.Voltage(drop))
	default:
		s.Note = "watch the volts at each step"
	}
	return s
}

// roundDown keeps two figures, never more than there was.
func roundDown(x float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Floor(x/step) * step
}

// heatAt says whether a short of some resistance shows by its heat, at the
// current asked about and, where that is too much, at the most that is safe.
func heatAt(amps, ohms, most float64) answer.Heat {
	h := answer.Heat{VisibleWatts: visibleWatts, ShortOhms: ohms, ShortWatts: amps * amps * ohms,
		OhmsNeeded: visibleWatts / (amps * amps)}
	h.Shows = h.ShortWatts >= visibleWatts
	safe := roundDown(most)
	h.OhmsNeededSafe = visibleWatts / (safe * safe)
	made := fmt.Sprintf("%v through a short of %v makes %v", unit.Current(amps), unit.Resistance(ohms),
		unit.Power(h.ShortWatts))
	if h.Shows {
		h.Note = made + ": that may show as heat"
	} else {
		h.Note = fmt.Sprintf("%s: it will not show as heat; that takes about %v in one place, a short of %v or "+
			"more",
			made, unit.Power(visibleWatts), unit.Resistance(h.OhmsNeeded))
	}
	if amps > most {
		h.Note += fmt.Sprintf("; at the %v that is safe here, a short of %v or more", unit.Current(safe),
			unit.Resistance(h.OhmsNeededSafe))
	}
	return h
}
