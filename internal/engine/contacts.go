package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ohmward/internal/board"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/unit"
)

// With puts one place for another in a reading's contacts.
func (c Contacts) With(was, is copper.Spot) Contacts {
	for _, spot := range []*copper.Spot{&c.In, &c.Out, &c.High, &c.Low} {
		if spot.At == was.At && spot.Layer == was.Layer {
			*spot = is
		}
	}
	return c
}

const (
	besideMM    = 3.0 // a tip that slips lands no further off
	mostBesides = 6
)

// Beside gives the pads of the same group next to a place, nearest first.
func (s *Pair) Beside(spot copper.Spot) []copper.Spot {
	g := s.GroupOfNet(spot.Net)
	var list []copper.Spot
	for _, p := range s.Probes[g] {
		if mm := DistanceMM(p.At, spot.At); mm > 0.05 && mm <= besideMM && p.Sides[s.FaceOf(spot)] {
			list = append(list, p.Spot)
		}
	}
	slices.SortStableFunc(list, func(a, b copper.Spot) int {
		return cmp.Compare(DistanceMM(a.At, spot.At), DistanceMM(b.At, spot.At))
	})
	return list[:min(len(list), mostBesides)]
}

// FaceOf is the side on which a place was touched.
func (s *Pair) FaceOf(spot copper.Spot) board.Side {
	if spot.Layer == len(s.Layout.Layers)-1 && spot.Layer > 0 {
		return board.Bottom
	}
	return board.Top
}

// Contacts is a reading's four contacts; two-wire, volts are taken where the
// current goes in and out.
type Contacts struct {
	FourWire           bool        // current and volts apart
	In, Out, High, Low copper.Spot // current in, current out, volts high, volts low
}

// Spots lists the contacts, each once.
func (c Contacts) Spots() []copper.Spot {
	if c.FourWire {
		return []copper.Spot{c.In, c.Out, c.High, c.Low}
	}
	return []copper.Spot{c.In, c.Out}
}

// ContactsOf finds the places of a case's reading.
func (p *Board) ContactsOf(r record.Reading) (Contacts, error) {
	return p.ContactsNamed(r.FourWire, r.From, r.To, r.Current[:], r.Sense[:])
}

// ContactsNamed finds the places of a reading by their names.
func (p *Board) ContactsNamed(fourWire bool, from, to string, current,
	sense []string) (c Contacts, err error) {
	texts := []string{from, to, from, to}
	if fourWire {
		if len(current) != 2 || len(sense) != 2 {
			return c, fmt.Errorf("a four-wire reading needs two places for the current and two for the volts")
		}
		c.FourWire = true
		texts = append(append([]string{}, current...), sense...)
	}
	for i, into := range []*copper.Spot{&c.In, &c.Out, &c.High, &c.Low} {
		if *into, err = p.Resolve(texts[i]); err != nil {
			return c, err
		}
	}
	return c, nil
}

// OnNets checks that every contact is on one of the two groups.
func (s *Pair) OnNets(c Contacts) error {
	for _, spot := range c.Spots() {
		if s.GroupOfNet(spot.Net) < 0 {
			return fmt.Errorf("%s is on net %s, neither %s nor %s%s", s.spotName(spot), s.Nets.Nets[spot.Net].Name,
				s.Names[0], s.Names[1], s.nearestOn(spot))
		}
	}
	return nil
}

// spotName writes a spot as a person would.
func (p *Board) spotName(s copper.Spot) string {
	if s.Pin != "" {
		return s.Pin
	}
	return copper.Place{Layer: s.Layer, At: s.At}.String()
}

// nearestOn names the probe place of the two nets nearest to a spot.
func (s *Pair) nearestOn(spot copper.Spot) string {
	best, name := math.Inf(1), ""
	for _, p := range slices.Concat(s.Probes[:]...) {
		if d := DistanceMM(p.At, spot.At); d < best {
			best, name = d, s.spotName(p.Spot)
		}
	}
	if name == "" {
		return ""
	}
	return fmt.Sprintf("; the nearest place that is, is %s, %.1f mm away", name, best)
}

// FourContacts gives a reading's contacts to the solver.
func (s *Pair) FourContacts(c Contacts) conduct.Reading {
	return conduct.Reading{In: s.Probe(c.In), Out: s.Probe(c.Out), High: s.Probe(c.High), Low: s.Probe(c.Low)}
}

// readingOf makes a reading, without its coefficients, of what the solver
// predicts for its contacts.
func (s *Pair) readingOf(c Contacts, p Prediction) locate.Reading {
	return locate.Reading{
		FourWire: c.FourWire,
		SameNet:  len(p.Rows[0]) == 1,
		D:        p.Bridge,
		Slope:    []float64{math.Hypot(s.Slope(c.High), s.Slope(c.Low))},
	}
}

// Slope is what a reading changes by, in ohms per metre, as a tip moves on the
// copper it stands on: the sheet's resistance over the width of its pad, or of
// the tip where there is no pad. On a drilled rim it does not matter where the
// tip lands.
func (s *Pair) Slope(spot copper.Spot) float64 {
	if spot.Rim {
		return 0
	}
	width := float64(s.Tip)
	for _, i := range s.Nets.Nets[spot.Net].Pads {
		p := &s.Layout.Pads[i]
		if box := p.Shape.Bounds(); p.Layer == spot.Layer && box.Holds(spot.At) {
			width = float64(min(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y))
			break
		}
	}
	rho := float64(unit.CopperResistivity(s.Material.Temp))
	return rho / float64(s.Layout.Stack.Copper[spot.Layer]) / (width * 1e-9)
}

func (s *Pair) Probe(spot copper.Spot) conduct.Probe {
	return conduct.Probe{Group: s.GroupOfNet(spot.Net), Disc: s.Disc(spot)}
}
