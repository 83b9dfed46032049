package bench

import (
	"fmt"
	"math"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/unit"
)

// contacts is a reading's four contacts; two-wire, volts are taken where the
// current goes in and out.
type contacts struct {
	fourWire           bool
	in, out, high, low copper.Spot
}

// spots lists the contacts, each once.
func (c contacts) spots() []copper.Spot {
	if c.fourWire {
		return []copper.Spot{c.in, c.out, c.high, c.low}
	}
	return []copper.Spot{c.in, c.out}
}

// contactsOf finds the places of a case's reading.
func (p *opened) contactsOf(r record.Reading) (contacts, error) {
	return p.contactsNamed(r.FourWire, r.From, r.To, r.Current[:], r.Sense[:])
}

// contactsNamed finds the places of a reading by their names.
func (p *opened) contactsNamed(fourWire bool, from, to string, current, sense []string) (c contacts, err error) {
	texts := []string{from, to, from, to}
	if fourWire {
		if len(current) != 2 || len(sense) != 2 {
			return c, fmt.Errorf("a four-wire reading needs two places for the current and two for the volts")
		}
		c.fourWire = true
		texts = append(append([]string{}, current...), sense...)
	}
	for i, into := range []*copper.Spot{&c.in, &c.out, &c.high, &c.low} {
		if *into, err = p.resolve(texts[i]); err != nil {
			return c, err
		}
	}
	return c, nil
}

// onNets checks that every contact is on one of the two groups.
func (s *session) onNets(c contacts) error {
	for _, spot := range c.spots() {
		if s.groupOfNet(spot.Net) < 0 {
			return fmt.Errorf("%s is on net %s, neither %s nor %s%s", s.spotName(spot), s.nets.Nets[spot.Net].Name,
				s.names[0], s.names[1], s.nearestOn(spot))
		}
	}
	return nil
}

// spotName writes a spot as a person would.
func (p *opened) spotName(s copper.Spot) string {
	if s.Pin != "" {
		return s.Pin
	}
	return copper.Place{Layer: s.Layer, At: s.At}.String()
}

// nearestOn names the probe place of the two nets nearest to a spot.
func (s *session) nearestOn(spot copper.Spot) string {
	best, name := 0.0, ""
	for _, probes := range s.probes {
		for _, p := range probes {
			if d := distanceMM(p.At, spot.At); name == "" || d < best {
				best, name = d, s.spotName(p.Spot)
			}
		}
	}
	if name == "" {
		return ""
	}
	return fmt.Sprintf("; the nearest place that is, is %s, %.1f mm away", name, best)
}

// fourContacts gives a reading's contacts to the solver.
func (s *session) fourContacts(c contacts) conduct.Reading {
	return conduct.Reading{In: s.probe(c.in), Out: s.probe(c.out), High: s.probe(c.high), Low: s.probe(c.low)}
}

// readingOf makes a reading, without its coefficients, of what the solver
// predicts for its contacts.
func (s *session) readingOf(c contacts, p predicted) locate.Reading {
	return locate.Reading{
		FourWire: c.fourWire,
		SameNet:  len(p.rows[0]) == 1,
		D:        p.bridge,
		Slope:    []float64{math.Hypot(s.slope(c.high), s.slope(c.low))},
	}
}

// slope is what a reading changes by, in ohms per metre, as a tip moves on the
// copper it stands on: the sheet's resistance over the width of its pad, or of
// the tip where there is no pad. On a drilled rim it does not matter where the
// tip lands.
func (s *session) slope(spot copper.Spot) float64 {
	if spot.Rim {
		return 0
	}
	width := float64(s.tip)
	for _, i := range s.nets.Nets[spot.Net].Pads {
		p := &s.board.Pads[i]
		if box := p.Shape.Bounds(); p.Layer == spot.Layer && box.Holds(spot.At) {
			width = float64(min(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y))
			break
		}
	}
	rho := float64(unit.CopperResistivity(s.material.Temp))
	return rho / float64(s.board.Stack.Copper[spot.Layer]) / (width * 1e-9)
}

func (s *session) probe(spot copper.Spot) conduct.Probe {
	return conduct.Probe{Group: s.groupOfNet(spot.Net), Disc: s.disc(spot)}
}
