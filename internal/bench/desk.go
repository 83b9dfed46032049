package bench

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"sync"

	"ohmward/geom"
	"ohmward/internal/artwork"
	"ohmward/internal/copper"
)

// Desk is a board that stays open, for whoever works on it for longer than
// one command. It may be used by several goroutines.
type Desk struct {
	*opened
	prone   func() ([]Site, error)
	drawing func() ([]byte, error)
}

// OpenDesk reads a board and keeps it.
func OpenDesk(ctx context.Context, path string, o Options) (*Desk, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	p.progress = func(string) {} // who opened it listens no longer
	d := &Desk{opened: p}
	d.prone = sync.OnceValues(func() ([]Site, error) { return p.proneSites(context.Background()) })
	d.drawing = sync.OnceValues(func() ([]byte, error) { return artwork.Pack(p.nets) })
	return d, nil
}

// Drawing is the board's geometry, packed as package artwork has it.
func (d *Desk) Drawing() ([]byte, error) {
	block, err := d.drawing()
	if err != nil {
		return nil, bad(err)
	}
	return block, nil
}

// Answer says what was read of the board.
func (d *Desk) Answer() *BoardAnswer {
	a := &BoardAnswer{
		Header: NewHeader(), Name: d.board.Name, Doubts: d.doubts(),
		Layers: []Layer{}, Nets: []Net{}, Parts: []Part{}, Files: []File{},
	}
	d.describe(a)
	return a
}

// PronePair is two nets that could well touch, and where the likeliest place
// is.
type PronePair struct {
	Nets   [2]string `json:"nets"`
	Chance float64   `json:"chance"` // share of all places of the design
	Places int       `json:"places"`
	Where  string    `json:"where"`
	Layer  string    `json:"layer"`
	X      float64   `json:"x_mm"`
	Y      float64   `json:"y_mm"`
	Touch  [2]string `json:"touch"`          // a place on each that a tip reaches, in words; "" for none
	Good   string    `json:"good,omitempty"` // what a good unit read across them, in words; "": not known
}

// mostPairs is how many pairs of nets a person would check.
const mostPairs = 24

// PronePairs lists the pairs of nets most likely to touch, in order of risk.
func (d *Desk) PronePairs() ([]PronePair, error) {
	sites, err := d.prone()
	if err != nil {
		return nil, bad(err)
	}
	at := map[[2]string]int{}
	out := []PronePair{}
	for _, s := range sites {
		i, seen := at[*s.Nets]
		if !seen {
			at[*s.Nets] = len(out)
			out = append(out, PronePair{Nets: *s.Nets, Where: siteWords(s), Layer: s.Layer, X: s.X, Y: s.Y})
			i = len(out) - 1
		}
		out[i].Chance += s.Probability
		out[i].Places++
	}
	sortPairs(out)
	out = out[:min(len(out), mostPairs)]
	for i := range out {
		for k, net := range out[i].Nets {
			out[i].Touch[k] = d.easiest(net)
		}
	}
	return out, nil
}

// easiest says where a net is most easily touched, "" where it cannot be.
func (d *Desk) easiest(net string) string {
	n, err := d.nets.ByName(net)
	if err != nil {
		return ""
	}
	places := d.nets.ProbePlaces(n)
	if len(places) == 0 {
		return ""
	}
	return d.saySpot(places[0].Spot).Words
}

// sortPairs puts the riskiest first.
func sortPairs(pairs []PronePair) {
	slices.SortStableFunc(pairs, func(a, b PronePair) int { return cmp.Compare(b.Chance, a.Chance) })
}

// Found is a net or a pin that a search found.
type Found struct {
	Net  string `json:"net"`
	Pin  string `json:"pin,omitempty"` // "" for the net itself
	Pads int    `json:"pads"`
}

const mostFound = 12

// Find searches nets and pins by what a person begins to type; names that
// begin so come first.
func (d *Desk) Find(text string) []Found {
	want := strings.ToUpper(strings.TrimSpace(text))
	out := []Found{}
	if want == "" {
		return out
	}
	for _, begins := range []bool{true, false} {
		for i := range d.nets.Nets {
			n := &d.nets.Nets[i]
			if matches(n.Name, want, begins) {
				out = append(out, Found{Net: n.Name, Pads: len(n.Pads)})
			}
		}
		for i := range d.board.Pads {
			p := &d.board.Pads[i]
			if pin := p.Ref + "." + p.Pin; matches(pin, want, begins) && d.nets.PadNet(i) >= 0 {
				n := &d.nets.Nets[d.nets.PadNet(i)]
				out = append(out, Found{Net: n.Name, Pin: pin, Pads: len(n.Pads)})
			}
		}
	}
	return out[:min(len(out), mostFound)]
}

func matches(name, want string, begins bool) bool {
	i := strings.Index(strings.ToUpper(name), want)
	return begins && i == 0 || !begins && i > 0
}

// Spot is what lies at a place that was pointed at.
type Spot struct {
	Net   string `json:"net"`
	Place string `json:"place"` // as a case file takes it
	Words string `json:"words"`
	Layer string `json:"layer"`
	X     float64
	Y     float64
}

// At tells what lies on a face of the board at a point in millimetres, or
// nearest to it within reach; nil on bare laminate.
func (d *Desk) At(bottom bool, x, y, reach float64) *Spot {
	layer := 0
	if bottom {
		layer = len(d.board.Layers) - 1
	}
	at := geom.FromMM(x, y)
	if pad := d.padNear(layer, at, reach); pad >= 0 {
		p := d.board.Pads[pad]
		if spot, err := d.resolve(copper.Place{Layer: layer, At: p.At}.String()); err == nil {
			spot.Pin = p.Ref + "." + p.Pin
			return d.pointed(spot)
		}
	}
	spot, err := d.resolve(copper.Place{Layer: layer, At: at}.String())
	if err != nil {
		return nil
	}
	return d.pointed(spot)
}

func (d *Desk) pointed(spot copper.Spot) *Spot {
	x, y := spot.At.MM()
	return &Spot{Net: d.nets.Nets[spot.Net].Name, Place: d.placeText(spot), Words: d.saySpot(spot).Words,
		Layer: d.board.Layers[spot.Layer].Name, X: x, Y: y}
}

// padNear gives the pad on a layer that holds a point, else the nearest
// within reach millimetres, or -1.
func (d *Desk) padNear(layer int, at geom.Point, reach float64) int {
	best, least := -1, reach
	for i := range d.board.Pads {
		p := &d.board.Pads[i]
		if p.Layer != layer || d.nets.PadNet(i) < 0 {
			continue
		}
		if p.Shape.Bounds().Holds(at) && p.Shape.Contains(at) {
			return i
		}
		if mm := distanceMM(p.At, at); mm < least {
			best, least = i, mm
		}
	}
	return best
}
