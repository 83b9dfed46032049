package engine

import (
	"slices"
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
	build  func() (*conduct.Bridge, *conduct.Layers, error)
	once   sync.Once
	bridge *conduct.Bridge
	layers *conduct.Layers
	err    error

	cache *cache.Store // nil: nothing of it is cached
	base  cache.Key    // stands for all that it is solved from
}

// presolved is a solver of what is solved already, of which nothing is cached.
func presolved(b *conduct.Bridge, l *conduct.Layers) *solver {
	return &solver{build: func() (*conduct.Bridge, *conduct.Layers, error) { return b, l, nil }}
}

// Solved gives the copper itself.
func (v *solver) Solved() (*conduct.Bridge, *conduct.Layers, error) {
	v.once.Do(func() { v.bridge, v.layers, v.err = v.build() })
	return v.bridge, v.layers, v.err
}

// key begins the key of something that is asked of the copper.
func (v *solver) key(kind string, asked ...any) cache.Key {
	k := cache.NewKey(kind)
	k.Any(v.base)
	for _, a := range asked {
		k.Any(a)
	}
	return k.Key()
}

// Prediction is what a reading is made of: a row for what belongs to no set of
// layers and one for each set, then one for each low-ohm part, and how the
// short's own resistance enters.
type Prediction struct {
	rows, ties [][]float64
	bridge     float64
}

// predict gives a reading's parts at every site.
func (v *solver) predict(r conduct.Reading) (Prediction, error) {
	compute := func() (out Prediction, err error) {
		_, layers, err := v.Solved()
		if err != nil {
			return out, err
		}
		rows, p, err := layers.Predict(r)
		if err != nil {
			return out, err
		}
		return Prediction{rows, p.Ties, p.Bridge}, nil
	}
	if v.cache == nil {
		return compute()
	}
	return cache.Memo(v.cache, v.key("predicted", r), writePredicted, readPredicted, compute)
}

func writePredicted(w *cache.Writer, p Prediction) {
	writeRows(w, p.rows)
	writeRows(w, p.ties)
	w.Float(p.bridge)
}

func readPredicted(r *cache.Reader) Prediction {
	p := Prediction{readRows(r), readRows(r), r.Float()}
	if len(p.rows) == 0 {
		r.Fail()
	}
	return p
}

// Within gives the part of a reading that arises within a radius (metres) of a
// point on a layer, as conduct.Bridge.Within does.
func (v *solver) Within(r conduct.Reading, layer int, at geom.Point, radius float64,
	sites []int) ([]float64, error) {
	compute := func() ([]float64, error) {
		b, _, err := v.Solved()
		if err != nil {
			return nil, err
		}
		return b.Within(r, layer, at, radius, sites)
	}
	if v.cache == nil {
		return compute()
	}
	return cache.Memo(v.cache, v.key("within", r, layer, at, radius, sites == nil, sites),
		(*cache.Writer).Floats, (*cache.Reader).Floats, compute)
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
	reached []bool // of the sites, those that both nets' meshes reach
	tables  [2]conduct.Table
}

func writeSurveyed(w *cache.Writer, v surveyed) {
	w.Bools(v.reached)
	for _, t := range v.tables {
		writeRows(w, t.R)
		writeRows(w, t.G)
		writeRows(w, t.Own)
	}
}

// readSurveyed reads what writeSurveyed wrote of so many sites and probes.
func readSurveyed(r *cache.Reader, sites int, probes [2]int) surveyed {
	v := surveyed{reached: r.Bools()}
	if len(v.reached) != sites {
		r.Fail()
	}
	left := 0
	for _, yes := range v.reached {
		if yes {
			left++
		}
	}
	for g := range v.tables {
		v.tables[g] = conduct.Table{R: readRows(r), G: readRows(r), Own: readRows(r)}
		for k, rows := range [][][]float64{v.tables[g].R, v.tables[g].G, v.tables[g].Own} {
			wide := left
			if k == 2 {
				wide = probes[g]
			}
			if len(rows) != probes[g] || slices.ContainsFunc(rows,
				func(row []float64) bool { return len(row) != wide }) {
				r.Fail()
			}
		}
	}
	return v
}

func writeRows(w *cache.Writer, rows [][]float64) {
	w.Int(int64(len(rows)))
	for _, row := range rows {
		w.Floats(row)
	}
}

func readRows(r *cache.Reader) [][]float64 {
	rows := make([][]float64, r.Len(1))
	for i := range rows {
		rows[i] = r.Floats()
	}
	return rows
}
