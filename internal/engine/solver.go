package engine

import (
	"sync"

	"ohmward/geom"
	"ohmward/internal/cache"
	"ohmward/internal/conduct"
	"ohmward/internal/locate"
)

// solver is the copper of both groups in one state of the network. It is
// meshed and factored when something is first asked for that is not cached: an
// answer that was given before needs no matrix.
type solver struct {
	build  func() (*conduct.Bridge, *conduct.LayerSketch, error)
	once   sync.Once
	bridge *conduct.Bridge
	layers *conduct.LayerSketch
	err    error

	cache *cache.Store // nil: nothing of it is cached
	base  cache.Key    // stands for all that it is solved from
}

// presolved is a solver of what is solved already, of which nothing is cached.
func presolved(b *conduct.Bridge, l *conduct.LayerSketch) *solver {
	return &solver{build: func() (*conduct.Bridge, *conduct.LayerSketch, error) { return b, l, nil }}
}

// Solved gives the copper itself.
func (v *solver) Solved() (*conduct.Bridge, *conduct.LayerSketch, error) {
	v.once.Do(func() { v.bridge, v.layers, v.err = v.build() })
	return v.bridge, v.layers, v.err
}

// key is that of something that is asked of the copper.
func (v *solver) key(kind string, asked ...any) cache.Key {
	return keyOf(kind, append([]any{v.base}, asked...)...)
}

// Prediction is what a reading is made of: a row for what belongs to no set of
// layers and one for each set, then one for each low-ohm part, and how the
// short's own resistance enters.
type Prediction struct {
	Rows, Ties [][]float64
	Bridge     float64
}

// predict gives a reading's parts at every site.
func (v *solver) predict(r conduct.Reading) (Prediction, error) {
	key := func() cache.Key { return v.key("predicted", r) }
	return cache.Value(v.cache, key, func() (out Prediction, err error) {
		_, layers, err := v.Solved()
		if err != nil {
			return out, err
		}
		rows, p, err := layers.Predict(r)
		if err != nil {
			return out, err
		}
		return Prediction{rows, p.Ties, p.Bridge}, nil
	})
}

// Within gives the part of a reading that arises within a radius (metres) of a
// point on a layer, as conduct.Bridge.Within does.
func (v *solver) Within(r conduct.Reading, layer int, at geom.Point, radius float64,
	sites []int) ([]float64, error) {
	key := func() cache.Key { return v.key("within", r, layer, at, radius, sites == nil, sites) }
	return cache.Value(v.cache, key, func() ([]float64, error) {
		b, _, err := v.Solved()
		if err != nil {
			return nil, err
		}
		return b.Within(r, layer, at, radius, sites)
	})
}

// Loop is the copper between two sites on both nets. Copper that cannot be
// solved any more leaves no loop that current would take.
func (v *solver) Loop(s, t int) float64 {
	b, _, err := v.Solved()
	if err != nil {
		return locate.Unreached
	}
	return b.Loop(s, t)
}

// surveyed is what planning rests on.
type surveyed struct {
	Reached []bool // of the sites, those that both nets' meshes reach
	Tables  [2]conduct.Table
}
