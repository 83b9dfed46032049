package session

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"sync"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/artwork"
	"ohmward/internal/bench"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
)

// LoadedBoard is a board that stays open, for whoever works on it for longer than
// one command. It may be used by several goroutines.
type LoadedBoard struct {
	*engine.Board
	prone   func() ([]answer.Site, error)
	drawing func() ([]byte, error)
}

// LoadBoard reads a board and keeps it.
func LoadBoard(ctx context.Context, path string, o engine.Options) (*LoadedBoard, error) {
	p, err := engine.Open(ctx, path, o)
	if err != nil {
		return nil, answer.AsError(err)
	}
	p.Progress = func(string) {} // who opened it listens no longer
	d := &LoadedBoard{Board: p}
	d.prone = sync.OnceValues(func() ([]answer.Site, error) { return bench.ProneSites(context.Background(), p) })
	d.drawing = sync.OnceValues(func() ([]byte, error) { return artwork.Pack(p.Nets) })
	return d, nil
}

// Drawing is the board's geometry, packed as package artwork has it.
func (d *LoadedBoard) Drawing() ([]byte, error) {
	block, err := d.drawing()
	if err != nil {
		return nil, answer.AsError(err)
	}
	return block, nil
}

// mostPairs is how many pairs of nets a person would check.
const mostPairs = 24

// PronePairs lists the pairs of nets most likely to touch, in order of risk.
func (d *LoadedBoard) PronePairs() ([]answer.PronePair, error) {
	sites, err := d.prone()
	if err != nil {
		return nil, answer.AsError(err)
	}
	at := map[[2]string]int{}
	out := []answer.PronePair{}
	for _, s := range sites {
		i, seen := at[*s.Nets]
		if !seen {
			at[*s.Nets] = len(out)
			out = append(out, answer.PronePair{Nets: *s.Nets, Where: siteWords(s), Layer: s.Layer, X: s.X, Y: s.Y})
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
func (d *LoadedBoard) easiest(net string) string {
	n, err := d.Nets.ByName(net)
	if err != nil {
		return ""
	}
	places := d.Nets.ProbePlaces(n)
	if len(places) == 0 {
		return ""
	}
	return SpotWords(d.Board, places[0].Spot).Words
}

// sortPairs puts the riskiest first.
func sortPairs(pairs []answer.PronePair) {
	slices.SortStableFunc(pairs, func(a, b answer.PronePair) int { return cmp.Compare(b.Chance, a.Chance) })
}

const mostFound = 12

// Find searches nets and pins by what a person begins to type; names that
// begin so come first.
func (d *LoadedBoard) Find(text string) []answer.Found {
	want := strings.ToUpper(strings.TrimSpace(text))
	out := []answer.Found{}
	if want == "" {
		return out
	}
	for _, begins := range []bool{true, false} {
		for i := range d.Nets.Nets {
			n := &d.Nets.Nets[i]
			if matches(n.Name, want, begins) {
				out = append(out, answer.Found{Net: n.Name, Pads: len(n.Pads)})
			}
		}
		for i := range d.Layout.Pads {
			p := &d.Layout.Pads[i]
			if pin := p.PinName(); pin != "" && matches(pin, want, begins) && d.Nets.PadNet(i) >= 0 {
				n := &d.Nets.Nets[d.Nets.PadNet(i)]
				out = append(out, answer.Found{Net: n.Name, Pin: pin, Pads: len(n.Pads)})
			}
		}
	}
	return out[:min(len(out), mostFound)]
}

func matches(name, want string, begins bool) bool {
	i := strings.Index(strings.ToUpper(name), want)
	return begins && i == 0 || !begins && i > 0
}

// At tells what lies on a face of the board at a point in millimetres, or
// nearest to it within reach; nil on bare laminate.
func (d *LoadedBoard) At(bottom bool, x, y, reach float64) *answer.Spot {
	layer := 0
	if bottom {
		layer = len(d.Layout.Layers) - 1
	}
	at := geom.FromMM(x, y)
	if pad := d.padNear(layer, at, reach); pad >= 0 {
		p := d.Layout.Pads[pad]
		if spot, err := d.Resolve(copper.Place{Layer: layer, At: p.At}.String()); err == nil {
			spot.Pin = p.PinName()
			return d.spotAt(spot)
		}
	}
	spot, err := d.Resolve(copper.Place{Layer: layer, At: at}.String())
	if err != nil {
		return nil
	}
	return d.spotAt(spot)
}

func (d *LoadedBoard) spotAt(spot copper.Spot) *answer.Spot {
	x, y := spot.At.MM()
	return &answer.Spot{Net: d.Nets.Nets[spot.Net].Name, Place: d.PlaceText(spot),
		Words: SpotWords(d.Board, spot).Words,
		Layer: d.Layout.Layers[spot.Layer].Name, X: x, Y: y}
}

// padNear gives the pad on a layer that holds a point, else the nearest
// within reach millimetres, or -1.
func (d *LoadedBoard) padNear(layer int, at geom.Point, reach float64) int {
	best, least := -1, reach
	for i := range d.Layout.Pads {
		p := &d.Layout.Pads[i]
		if p.Layer != layer || d.Nets.PadNet(i) < 0 {
			continue
		}
		if p.Shape.Bounds().Holds(at) && p.Shape.Contains(at) {
			return i
		}
		if mm := engine.DistanceMM(p.At, at); mm < least {
			best, least = i, mm
		}
	}
	return best
}
