package record

import (
	"slices"

	"ohmward/unit"
)

// MostTouches bounds the touches of one reading.
const MostTouches = 100

// repeatOhms is how near two touches must be to count as repeating: about a
// milliohm (BENCH.md, Readings).
const repeatOhms = 1.0e-3

// Believed is the touch to go by: the lowest that another repeats, for a tip
// on flux or a slipped tip only adds resistance. Where none repeats it is the
// lowest.
func Believed(touches []unit.Resistance) unit.Resistance {
	sorted := slices.Clone(touches)
	slices.Sort(sorted)
	for i := 1; i < len(sorted); i++ {
		if sorted[i]-sorted[i-1] <= repeatOhms {
			return sorted[i-1]
		}
	}
	return sorted[0]
}

// Settle makes the value of a reading that of its touches: two-wire the one to
// believe; four-wire, where errors go both ways, the median (BENCH.md, Readings).
func (r *Reading) Settle() {
	switch n := len(r.Touches); {
	case n == 0:
	case !r.FourWire:
		r.Ohms = Believed(r.Touches)
	default:
		sorted := slices.Clone(r.Touches)
		slices.Sort(sorted)
		r.Ohms = (sorted[(n-1)/2] + sorted[n/2]) / 2
	}
}

// touches takes a list of values of one reading.
func (d *decoder) touches(into *[]unit.Resistance) setter {
	return func(key string, n *node) {
		list, isList := n.value.([]*node)
		switch {
		case !isList || len(list) == 0:
			d.fail(n.line, "%s is not a list of values, as [0.0187, 0.0191, 0.0188]", key)
		case len(list) > MostTouches:
			d.fail(n.line, "%s has %d values; at most %d", key, len(list), MostTouches)
		default:
			for _, e := range list {
				var r *unit.Resistance
				d.ohms(&r)(key, e)
				if r != nil {
					*into = append(*into, *r)
				}
			}
		}
	}
}

// truth takes true or false.
func (d *decoder) truth(into **bool) setter {
	return func(key string, n *node) {
		b, isBool := n.value.(bool)
		if !isBool {
			d.fail(n.line, "%s is neither true nor false", key)
			return
		}
		*into = &b
	}
}

func touchList(touches []unit.Resistance) []float64 {
	out := make([]float64, len(touches))
	for i, t := range touches {
		out[i] = tidy(float64(t))
	}
	return out
}
