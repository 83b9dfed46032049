package mesh

import (
	"math"
	"testing"

	"ohmward/geom"
)

// A curve's corner that stands less than the shortest edge off a long outline
// edge, near its end, is a nick and no hairline: the long edge is cut up towards
// it, so that no face is much longer than it is high. A face of 1.8 mm by 0.7 um
// stood here once and put a contact's resistance 6 % off.
func TestNick(t *testing.T) {
	centre := geom.Point{X: 1_853_600, Y: 1_832_400}
	var rim geom.Ring
	for i := range 24 {
		a := 2 * math.Pi * float64(i) / 24
		rim = append(rim, geom.Point{X: centre.X + int64(math.Round(150_862*math.Cos(a))),
			Y: centre.Y + int64(math.Round(150_862*math.Sin(a)))})
	}
	m := mustMesh(t, Input{Region: one(rect(0, 0, 2*mm, 2*mm)), Curves: [][]geom.Point{closedChain(rim)},
		Simplify: 1000})
	for _, tri := range m.Triangle {
		var long, area float64
		for k := range 3 {
			p, q := tri[k], tri[(k+1)%3]
			long = math.Max(long, math.Hypot(m.X[q]-m.X[p], m.Y[q]-m.Y[p]))
			area += (m.X[p]*m.Y[q] - m.X[q]*m.Y[p]) / 2
		}
		if height := 2 * area / long; long > 100*height {
			t.Errorf("a face at %.5f,%.5f mm is %.4g mm long and %.3g mm high", m.X[tri[0]]*1e3, m.Y[tri[0]]*1e3,
				long*1e3, height*1e3)
		}
	}
}
