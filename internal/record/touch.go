package record

import (
	"slices"

	"ohmward/unit"
)

// mostTouches bounds the touches of one reading.
const mostTouches = 100

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

// touches takes a list of values of one reading.
func (d *decoder) touches(into *[]unit.Resistance) setter {
	return func(key string, n *node) {
		list, isList := n.value.([]*node)
		switch {
		case !isList || len(list) == 0:
			d.fail(n.line, "%s is not a list of values, as [0.0187, 0.0191, 0.0188]", key)
		case len(list) > mostTouches:
			d.fail(n.line, "%s has %d values; at most %d", key, len(list), mostTouches)
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
