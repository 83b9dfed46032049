package suspect

import (
	"math"

	"ohmward/geom"
)

// stretch is a piece of an outline that one sample stands for. Its points are
// valid during the visit only.
type stretch struct {
	points []geom.Point // from end to end, with every corner between
	mid    geom.Point   // halfway along it
	edge   geom.Segment // the outline's edge that holds the middle
	length float64      // metres
}

func (s stretch) bounds() geom.Box {
	return geom.Ring(s.points).Bounds()
}

// walk visits a closed outline in equal stretches of about step metres, at
// least one.
func walk(ring geom.Ring, step float64, visit func(stretch)) {
	var total float64
	for i, p := range ring {
		total += metres(p, ring[(i+1)%len(ring)])
	}
	if total == 0 {
		return
	}
	n := max(1, int(math.Round(total/step)))
	length := total / float64(n)
	s := stretch{points: []geom.Point{ring[0]}, length: length}
	done, half := 0.0, 1 // half counts half stretches: odd is a middle, even an end
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		d := metres(p, q)
		for ; half < 2*n && float64(half)*length/2 <= done+d && d > 0; half++ {
			at := along(p, q, (float64(half)*length/2-done)/d)
			if half%2 == 1 {
				s.mid, s.edge = at, geom.Segment{A: p, B: q}
				continue
			}
			s.points = append(s.points, at)
			visit(s)
			s.points = append(s.points[:0], at)
		}
		done += d
		s.points = append(s.points, q)
	}
	visit(s)
}

// along is the point at a share t of the way from p to q.
func along(p, q geom.Point, t float64) geom.Point {
	return geom.Point{X: p.X + int64(math.Round(t*float64(q.X-p.X))),
		Y: p.Y + int64(math.Round(t*float64(q.Y-p.Y)))}
}

// share samples a stretch evenly and gives the fraction of it that passes,
// never less than one sample.
func (s stretch) share(pass func(geom.Point, geom.Segment) bool) float64 {
	const samples = 8
	step := s.length / samples
	done, next, passed, taken := 0.0, step/2, 0, 0
	for i, p := range s.points[:len(s.points)-1] {
		q := s.points[i+1]
		d := metres(p, q)
		for ; taken < samples && next <= done+d && d > 0; next += step {
			taken++
			if pass(along(p, q, (next-done)/d), geom.Segment{A: p, B: q}) {
				passed++
			}
		}
		done += d
	}
	return float64(max(1, passed)) / samples
}
