package bench

import (
	"slices"

	"ohmward/internal/locate"
)

// sharpen gives the readings with what the copper predicts at a few sites taken
// from mended contacts: those of a short are as the mesh has them otherwise,
// there being thousands. A reading that cannot be predicted so stays as it is.
func (w *work) sharpen(readings []locate.Reading, sites []int) []locate.Reading {
	out := slices.Clone(readings)
	for k := range out[:min(len(out), len(w.readings))] {
		if out[k].SameNet {
			continue
		}
		if better, err := w.predictedAt(w.within(k), w.taken[k], sites); err == nil {
			out[k].C = overlaid(out[k].C, better.C, sites)
		}
	}
	return out
}

// overlaid puts the values at some sites in place of a reading's, component by
// component; what the contacts cannot reach stays out of reach.
func overlaid(rows, better [][]float64, sites []int) [][]float64 {
	if len(rows) != len(better) {
		return rows
	}
	far := make([]bool, len(sites))
	for k, s := range sites {
		var sum float64
		for _, row := range rows {
			sum += row[min(s, len(row)-1)]
		}
		far[k] = sum >= locate.Unreached
	}
	out := slices.Clone(rows)
	for l, row := range rows {
		if len(row) == 1 || len(better[l]) != len(sites) {
			continue
		}
		out[l] = slices.Clone(row)
		for k, s := range sites {
			if !far[k] {
				out[l][s] = better[l][k]
			}
		}
	}
	return out
}
