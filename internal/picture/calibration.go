package picture

import "fmt"

// Calibration is how often answers were right against how sure they were.
type Calibration struct {
	Title, Under string  // Under: a line below the title
	Points       []Share // by what was claimed
}

// Share is one lot of answers: the mean probability they were given with, and
// the share that was right with its 95 % interval.
type Share struct {
	Claimed, Right, Low, High float64 // probabilities, 0 to 1
	Answers                   int     // how many there are
}

// Sizes of the calibration chart, in pixels.
const (
	shareSize = 1000
	shareEdge = 110.0
)

// SaveCalibration draws the chart into a file, PNG or SVG by the ending.
func SaveCalibration(path string, k *Calibration) error {
	return drawing{shareSize, shareSize, k.paint}.save(path)
}

func (k *Calibration) paint(c canvas) {
	const span = shareSize - 2*shareEdge
	at := func(x, y float64) pt { return pt{shareEdge + x*span, shareSize - shareEdge - y*span} }
	c.fill([]path{frameRing(rect{0, 0, shareSize, shareSize})}, white)
	c.fill([]path{{at(0, 0), at(1, 0), at(1, 1), at(0, 1)}}, laminate)
	c.text(pt{shareEdge, 48}, left, 26, true, fitted(k.Title, 26, true, span), words)
	c.text(pt{shareEdge, 82}, left, 19, false, fitted(k.Under, 19, false, span), quiet)
	for i := range 6 {
		v := float64(i) / 5
		c.line([]pt{at(v, 0), at(v, 1)}, false, 1, edge)
		c.line([]pt{at(0, v), at(1, v)}, false, 1, edge)
		label := fmt.Sprintf("%.0f %%", 100*v)
		c.text(pt{at(v, 0).x, at(0, 0).y + 30}, middle, 19, false, label, quiet)
		c.text(pt{at(0, v).x - 12, at(0, v).y + 7}, right, 19, false, label, quiet)
	}
	c.line([]pt{at(0, 0), at(1, 1)}, false, 2, quiet)
	for _, p := range k.Points {
		c.line([]pt{at(p.Claimed, p.Low), at(p.Claimed, p.High)}, false, 3, netInks[0])
		c.disc(at(p.Claimed, p.Right), 9, netInks[0])
	}
	c.text(pt{shareSize / 2, shareSize - 40}, middle, 21, true, "probability given to the best place", words)
	c.text(pt{shareEdge + 14, shareEdge + 30}, left, 21, true,
		"share of these that were the true place, with 95 % interval", words)
}
