package bench

import (
	"errors"
	"fmt"

	"ohmward/geom"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/unit"
)

// Sensitivity is what a resistance is made of. Its parts add up to the
// resistance, and each is by how much the resistance changes for a relative
// change of its own, to first order: copper on a layer that is 1 % thinner
// adds 1 % of that layer's part.
type Sensitivity struct {
	Layers    []LayerPart `json:"layers"`
	Holes     float64     `json:"holes_ohms"`
	Plating   float64     `json:"plating_ohms"`
	Parts     []TiePart   `json:"parts"`
	PerKelvin float64     `json:"ohms_per_kelvin"`
	Spots     []SpotPart  `json:"spots,omitempty"`
}

// LayerPart is one layer's copper.
type LayerPart struct {
	Layer string  `json:"layer"`
	Ohms  float64 `json:"ohms"`
}

// TiePart is one low-ohm part.
type TiePart struct {
	Part   string  `json:"part"`
	Ohms   float64 `json:"ohms"`
	Factor float64 `json:"factor"` // two times out of three the truth lies within this factor
}

// SpotPart is what a kelvin at a spot does.
type SpotPart struct {
	Place     string  `json:"place"`
	X         float64 `json:"x_mm"`
	Y         float64 `json:"y_mm"`
	Radius    float64 `json:"radius_mm"`
	PerKelvin float64 `json:"ohms_per_kelvin"`
}

// warmSpot is a spot to be warmed, through all layers.
type warmSpot struct {
	text   string
	at     geom.Point
	radius int64 // nanometres
}

// warmSpots finds the spots that a person asks about.
func (p *opened) warmSpots(o Options) ([]warmSpot, error) {
	radius := int64(warmRadius * 1e9)
	if o.WarmRadius > 0 {
		radius = nanometres(o.WarmRadius)
	}
	var out []warmSpot
	for _, text := range o.Warm {
		place, err := copper.ParsePlace(text)
		if err != nil {
			return nil, err
		}
		at := place.At
		if place.Pin != "" {
			spot, err := p.nets.Resolve(place)
			if err != nil {
				return nil, err
			}
			at = spot.At
		}
		out = append(out, warmSpot{text, at, radius})
	}
	return out, nil
}

// explainPath says through which parts the current of a path goes and, where
// parts is set, what its resistance is made of.
func (p *opened) explainPath(path *Path, r *Resistor, parts bool, spots []warmSpot) error {
	flow, err := path.Flow()
	if errors.Is(err, conduct.ErrTouching) { // no current, nothing it is made of
		return nil
	}
	if err != nil {
		return fmt.Errorf("%s to %s: %w", named(r.From), named(r.To), err)
	}
	for i, ohms := range flow.Ties {
		if ohms > leastPart*flow.Ohms {
			r.Through = append(r.Through, path.Links[i].Part)
		}
	}
	if parts {
		r.Sensitivity = p.sensitivity(flow, path.Links, spots)
	}
	return nil
}

// leastPart is the share of a resistance below which a part is rounding.
const leastPart = 1e-9

// named writes a place for an error message.
func named(p *Place) string {
	if p.Pin != "" {
		return p.Pin
	}
	return fmt.Sprintf("%s@%.3f,%.3f", p.Layer, p.X, p.Y)
}

// sensitivity writes a flow's parts. A net's pieces on one layer are one.
func (p *opened) sensitivity(flow *conduct.Flow, links []tieLink, spots []warmSpot) *Sensitivity {
	alpha := copperAlpha / unit.CopperFactor(p.material.Temp)
	s := &Sensitivity{Layers: []LayerPart{}, Holes: flow.InHoles, Plating: flow.Plating, Parts: []TiePart{}}
	copperOhms := flow.InHoles
	for _, sheet := range flow.Sheets {
		s.Layers = append(s.Layers, LayerPart{p.board.Layers[sheet.Layer].Name, sheet.Ohms})
		copperOhms += sheet.Ohms
	}
	for i, ohms := range flow.Ties {
		if ohms <= leastPart*flow.Ohms {
			continue
		}
		s.Parts = append(s.Parts, TiePart{links[i].Part, ohms, p.factorOf(links[i].Part)})
	}
	s.PerKelvin = alpha * copperOhms
	for _, spot := range spots {
		x, y := spot.at.MM()
		s.Spots = append(s.Spots, SpotPart{spot.text, x, y, float64(spot.radius) * 1e-6,
			conduct.Warmed(flow, flow, spot.at, spot.radius, alpha)})
	}
	return s
}

// factorOf is how far off a low-ohm part's resistance may be.
func (p *opened) factorOf(part string) float64 {
	for _, t := range p.ties {
		if t.Part == part {
			return t.Factor()
		}
	}
	return 1
}
