package picture

import (
	"fmt"
	"math"

	"ohmward/unit"
)

// Check is one reading against what the best place predicts, for the chart
// under the map; ohms. Those without a prediction are left out by the caller.
type Check struct {
	Sign                   string  // its number on the map
	Measured, Predicted, U float64 // ohms; U is the standard uncertainty
}

// Sizes of the chart.
const (
	chartMargin = 260.0
	chartTall   = 120.0 // from -mostOff to mostOff
	mostOff     = 4.0   // deviations that the chart shows; beyond, an arrow stands at the edge
	mostShown   = 24    // readings; the last ones
)

// chartHeight is what the chart takes.
func chartHeight(s *Scene) float64 {
	if len(s.Checks) == 0 {
		return 0
	}
	return chartMargin
}

// drawChart sets each reading's distance from its prediction, in standard
// uncertainties, beside the two values.
func drawChart(c canvas, s *Scene, top float64) {
	checks := s.Checks[max(0, len(s.Checks)-mostShown):]
	if len(checks) == 0 {
		return
	}
	const side = 170.0
	wide := width - 2*margin - side
	middleY := top + 40 + chartTall/2
	off := func(n float64) float64 { return middleY - n*chartTall/2/mostOff }
	c.text(pt{margin, top + 22}, left, 20, true, "Readings against prediction, in standard uncertainties", words)
	c.fill([]path{frameRing(rect{margin + side, off(2), wide, off(-2) - off(2)})}, laminate)
	for _, n := range []float64{-2, 0, 2} {
		c.line([]pt{{margin + side, off(n)}, {margin + side + wide, off(n)}}, false, 1, edge)
		label := fmt.Sprintf("%+.0f", n)
		if n == 0 {
			label = "as predicted"
		}
		c.text(pt{margin + side - 10, off(n) + 6}, right, 17, false, label, quiet)
	}
	each := wide / float64(len(checks))
	small := min(16, each/6.5)
	for i, k := range checks {
		x := margin + side + (float64(i)+0.5)*each
		n := (k.Measured - k.Predicted) / k.U
		within := func(n float64) float64 { return max(-mostOff, min(mostOff, n)) }
		clamped := within(n)
		ink := netInks[0]
		if math.Abs(n) > 3 {
			ink = heat
		}
		c.line([]pt{{x, off(within(clamped - 1))}, {x, off(within(clamped + 1))}}, false, 2, ink)
		c.disc(pt{x, off(clamped)}, 6, ink)
		c.text(pt{x, top + 40 + chartTall + 24}, middle, 17, true, k.Sign, words)
		if small >= 9 {
			measured, predicted := unit.Resistance(k.Measured).String(), unit.Resistance(k.Predicted).String()
			c.text(pt{x, top + 40 + chartTall + 46}, middle, small, false, measured, words)
			c.text(pt{x, top + 40 + chartTall + 66}, middle, small, false, predicted, quiet)
		}
	}
	if small >= 9 {
		c.text(pt{margin, top + 40 + chartTall + 46}, left, 16, false, "read", words)
		c.text(pt{margin, top + 40 + chartTall + 66}, left, 16, false, "predicted", quiet)
	}
}
