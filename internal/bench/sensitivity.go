package bench

import (
	"errors"
	"fmt"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/unit"
)

// warmSpot is a spot to be warmed, through all layers.
type warmSpot struct {
	text   string
	at     geom.Point
	radius int64 // nanometres
}

// warmSpots finds the spots that a person asks about.
func warmSpots(p *engine.Board, o engine.Options) ([]warmSpot, error) {
	radius := int64(engine.WarmRadius * 1e9)
	if o.WarmRadius > 0 {
		radius = engine.Nanometres(o.WarmRadius)
	}
	var out []warmSpot
	for _, text := range o.Warm {
		place, err := copper.ParsePlace(text)
		if err != nil {
			return nil, err
		}
		at := place.At
		if place.Pin != "" {
			spot, err := p.Nets.Resolve(place)
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
func explainPath(p *engine.Board, path *engine.Path, r *answer.Resistor, parts bool, spots []warmSpot) error {
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
		r.Sensitivity = sensitivity(p, flow, path.Links, spots)
	}
	return nil
}

// leastPart is the share of a resistance below which a part is rounding.
const leastPart = 1e-9

// named writes a place for an error message.
func named(p *answer.Place) string {
	if p.Pin != "" {
		return p.Pin
	}
	return fmt.Sprintf("%s@%.3f,%.3f", p.Layer, p.X, p.Y)
}

// sensitivity writes a flow's parts. A net's pieces on one layer are one.
func sensitivity(p *engine.Board, flow *conduct.Flow, links []engine.TieLink,
	spots []warmSpot) *answer.Sensitivity {
	alpha := engine.CopperAlpha / unit.CopperFactor(p.Material.Temp)
	s := &answer.Sensitivity{Layers: []answer.LayerPart{}, Holes: flow.InHoles, Plating: flow.Plating,
		Parts: []answer.TiePart{}}
	copperOhms := flow.InHoles
	for _, sheet := range flow.Sheets {
		s.Layers = append(s.Layers, answer.LayerPart{Layer: p.Layout.Layers[sheet.Layer].Name, Ohms: sheet.Ohms})
		copperOhms += sheet.Ohms
	}
	for i, ohms := range flow.Ties {
		if ohms <= leastPart*flow.Ohms {
			continue
		}
		s.Parts = append(s.Parts, answer.TiePart{Part: links[i].Part, Ohms: ohms,
			Factor: factorOf(p, links[i].Part)})
	}
	s.PerKelvin = alpha * copperOhms
	for _, spot := range spots {
		x, y := spot.at.MM()
		s.Spots = append(s.Spots, answer.SpotPart{Place: spot.text, X: x, Y: y, Radius: float64(spot.radius) * 1e-6,
			PerKelvin: conduct.Warmed(flow, flow, spot.at, spot.radius, alpha)})
	}
	return s
}

// factorOf is how far off a low-ohm part's resistance may be.
func factorOf(p *engine.Board, part string) float64 {
	for _, t := range p.Ties {
		if t.Part == part {
			return t.Factor()
		}
	}
	return 1
}
