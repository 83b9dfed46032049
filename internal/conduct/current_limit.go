package conduct

import (
	"math"

	"ohmward/unit"
)

// The curve fit to the charts of IPC-2221 (REFERENCES A13):
// I = k dT^0.44 A^0.725, with A in square mils.
const (
	fitRise  = 0.44
	fitArea  = 0.725
	fitOuter = 0.048
	fitInner = 0.024
	mil      = 25.4e-6 // metres
)

// TrackCurrent is the current that warms a track of a cross-section, in square
// metres, by a rise in kelvin, on an outer or an inner layer.
func TrackCurrent(area, rise float64, outer bool) unit.Current {
	return unit.Current(fitFactor(outer) * math.Pow(rise, fitRise) * math.Pow(area/(mil*mil), fitArea))
}

// TrackRise is the rise in kelvin that a current brings to such a track.
func TrackRise(area float64, current unit.Current, outer bool) float64 {
	at1K := TrackCurrent(area, 1, outer)
	return math.Pow(float64(current)/float64(at1K), 1/fitRise)
}

func fitFactor(outer bool) float64 {
	if outer {
		return fitOuter
	}
	return fitInner
}
