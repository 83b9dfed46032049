package conduct

import (
	"math"
	"math/rand/v2"

	"ohmward/geom"
)

// drawnShape is copper with two contacts on it, and their resistance where a
// closed form tells it.
type drawnShape struct {
	group Group
	discs []Disc
	ohms  float64 // 0: not known
}

// bracketKinds are the kinds of copper that brackets are counted on, and the
// half-width of the bracket of the mesh that stands for the truth: its middle is
// ten times nearer where tracks are, fifty times elsewhere. A draw may fail
// (contacts that touch, no copper); the next is taken then.
var bracketKinds = []struct {
	name  string
	draw  func(*rand.Rand) (drawnShape, bool)
	truth float64
}{
	{"polyomino with holes", polyomino, 0.0015},
	{"track with bends", bentTrack, 0.0007},
	{"plate with antipads", antipadPlate, 0.0015},
	{"two layers with barrels", barrelled, 0.0015},
	{"track between pads", padded, 0.0007},
	{"closed form", closedForm, 0},
}

const (
	rhoCopper = 1.7241e-8 // ohm metres
	foil      = 35e-6     // metres
	perSquare = foil / rhoCopper
)

func uniform(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// onSheet is one layer of foil with two contacts at random places on it.
func onSheet(rng *rand.Rand, copper geom.Region) (drawnShape, bool) {
	s := drawnShape{group: Group{Name: "drawn", Sheets: []Sheet{{Copper: copper, Conductance: perSquare}}}}
	first := s.contact(rng, 0)
	return s, first && s.contact(rng, 0) && s.apart()
}

// contact sets a contact on a layer: its middle anywhere on the copper, near an
// edge as likely as not.
func (s *drawnShape) contact(rng *rand.Rand, sheet int) bool {
	copper := s.group.Sheets[sheet].Copper
	box := copper.Bounds()
	for range 200 {
		at := geom.Point{
			X: box.Min.X + rng.Int64N(box.Max.X-box.Min.X+1),
			Y: box.Min.Y + rng.Int64N(box.Max.Y-box.Min.Y+1),
		}
		if copper.Contains(at) {
			s.discs = append(s.discs, Disc{Layer: s.group.Sheets[sheet].Layer, At: at, Diameter: 300_000})
			return true
		}
	}
	return false
}

// apart tells whether the contacts stand clear of one another and of holes.
func (s *drawnShape) apart() bool {
	a, b := s.discs[0], s.discs[1]
	for _, barrel := range s.group.Barrels {
		for _, d := range s.discs {
			if geom.Distance(d.At, barrel.At) < float64(d.Diameter+barrel.Diameter)/2+20_000 {
				return false
			}
		}
	}
	return a.Layer != b.Layer || geom.Distance(a.At, b.At) > 450_000
}

// cells is a polyomino of n cells of a side in nanometres.
func cells(rng *rand.Rand, n int, side int64) geom.Region {
	type cell [2]int64
	have := map[cell]bool{{}: true}
	order := []cell{{}}
	var rings []geom.Ring
	for len(order) < n {
		c := order[rng.IntN(len(order))]
		d := [4]cell{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}[rng.IntN(4)]
		if c = (cell{c[0] + d[0], c[1] + d[1]}); !have[c] {
			have[c] = true
			order = append(order, c)
		}
	}
	for _, c := range order {
		x, y := c[0]*side, c[1]*side
		rings = append(
			rings, geom.Ring{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}},
		)
	}
	return geom.Fill(rings, geom.NonZero)
}

// largest is the largest piece of a region.
func largest(r geom.Region) geom.Region {
	best := 0
	for i, p := range r {
		if p.Area() > r[best].Area() {
			best = i
		}
	}
	if len(r) == 0 {
		return nil
	}
	return r[best : best+1]
}

// drilledBy takes n round holes of radii in millimetres out of a region.
func drilledBy(rng *rand.Rand, r geom.Region, n int, lo, hi float64) geom.Region {
	box := r.Bounds()
	var holes []geom.Ring
	for range n {
		at := geom.Point{
			X: box.Min.X + rng.Int64N(box.Max.X-box.Min.X+1),
			Y: box.Min.Y + rng.Int64N(box.Max.Y-box.Min.Y+1),
		}
		holes = append(holes, geom.Circle(at, int64(uniform(rng, lo, hi)*1e6), 250))
	}
	return largest(geom.Difference(r, geom.Fill(holes, geom.NonZero)))
}

func polyomino(rng *rand.Rand) (drawnShape, bool) {
	side := uniform(rng, 0.4, 2)
	r := cells(rng, 3+rng.IntN(9), int64(side*1e6))
	return onSheet(rng, drilledBy(rng, r, rng.IntN(4), 0.15*side, 0.4*side))
}

// path is a chain of strokes of a width, all in millimetres, and its ends.
func path(rng *rand.Rand, width float64) (rings []geom.Ring, from, to geom.Point) {
	x, y, a := 0.0, 0.0, rng.Float64()*2*math.Pi
	for range 2 + rng.IntN(4) {
		l := width * uniform(rng, 1.5, 12)
		nx, ny := x+l*math.Cos(a), y+l*math.Sin(a)
		rings = append(rings, geom.Stroke(geom.FromMM(x, y), geom.FromMM(nx, ny), int64(width*1e6), 250))
		x, y = nx, ny
		a += uniform(rng, -2.2, 2.2)
	}
	return rings, geom.Point{}, geom.FromMM(x, y)
}

func bentTrack(rng *rand.Rand) (drawnShape, bool) {
	rings, from, to := path(rng, uniform(rng, 0.1, 1))
	s := drawnShape{
		group: Group{
			Name:   "drawn",
			Sheets: []Sheet{{Copper: geom.Fill(rings, geom.NonZero), Conductance: perSquare}},
		},
	}
	s.discs = []Disc{{At: from, Diameter: 300_000}, {At: to, Diameter: 300_000}}
	return s, s.apart()
}

func antipadPlate(rng *rand.Rand) (drawnShape, bool) {
	w, h := uniform(rng, 3, 10), uniform(rng, 3, 8)
	plate := geom.Fill([]geom.Ring{ringOf(rectangle(w, h))}, geom.NonZero)
	return onSheet(rng, drilledBy(rng, plate, 2+rng.IntN(9), 0.2, 0.7))
}

// barrelled is a polyomino over a plate, joined by plated holes; the contacts
// stand on one layer or on both.
func barrelled(rng *rand.Rand) (drawnShape, bool) {
	side := int64(uniform(rng, 1.2, 2.2) * 1e6)
	top := cells(rng, 3+rng.IntN(6), side)
	box := top.Bounds().Grow(300_000)
	low := geom.Region{
		{Outer: geom.Ring{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}},
	}
	s := drawnShape{group: Group{Name: "drawn"}}
	var holes []geom.Ring
	for range 1 + rng.IntN(5) {
		d := int64(uniform(rng, 0.2, 0.8) * 1e6)
		at := geom.Point{
			X: box.Min.X + rng.Int64N(box.Max.X-box.Min.X),
			Y: box.Min.Y + rng.Int64N(box.Max.Y-box.Min.Y),
		}
		clear := top.Contains(at)
		for _, b := range s.group.Barrels {
			clear = clear && geom.Distance(at, b.At) > float64(d+b.Diameter)/2+50_000
		}
		top.Edges(
			func(e geom.Segment) { clear = clear && geom.DistPointSegment(at, e.A, e.B) > float64(d)/2+50_000 },
		)
		if !clear {
			continue
		}
		holes = append(holes, geom.Circle(at, d/2, 250))
		s.group.Barrels = append(s.group.Barrels, Barrel{At: at, To: at, Diameter: d, LastLayer: 1,
			Ohms: []float64{barrelOhms(rhoCopper, float64(d)*1e-9, 25e-6, 1.5e-3)}})
	}
	if len(holes) == 0 {
		return s, false
	}
	cut := geom.Fill(holes, geom.NonZero)
	s.group.Sheets = []Sheet{
		{Layer: 0, Copper: geom.Difference(top, cut), Conductance: perSquare},
		{Layer: 1, Copper: geom.Difference(low, cut), Conductance: perSquare},
	}
	ok := s.contact(rng, 0) && s.contact(rng, rng.IntN(2)) && s.apart()
	return s, ok
}

// padded is a track between two pads, round or square, touched anywhere on
// them.
func padded(rng *rand.Rand) (drawnShape, bool) {
	rings, from, to := path(rng, uniform(rng, 0.1, 0.4))
	s := drawnShape{group: Group{Name: "drawn"}}
	for _, at := range []geom.Point{from, to} {
		r := int64(uniform(rng, 0.2, 0.9) * 1e6)
		pad := geom.Circle(at, r, 250)
		if rng.IntN(2) == 0 {
			h := int64(uniform(rng, 0.2, 0.9) * 1e6)
			pad = geom.Ring{
				{X: at.X - r, Y: at.Y - h},
				{X: at.X + r, Y: at.Y - h},
				{X: at.X + r, Y: at.Y + h},
				{X: at.X - r, Y: at.Y + h},
			}
		}
		rings = append(rings, pad)
		off := func() int64 { return int64(float64(r) * uniform(rng, -0.7, 0.7)) }
		s.discs = append(s.discs, Disc{At: geom.Point{X: at.X + off(), Y: at.Y + off()}, Diameter: 300_000})
	}
	s.group.Sheets = []Sheet{{Copper: geom.Fill(rings, geom.NonZero), Conductance: perSquare}}
	ok := s.apart()
	for _, d := range s.discs {
		ok = ok && s.group.Sheets[0].Copper.Contains(d.At)
	}
	return s, ok
}

// closedForm is a strip with a step or a slit (REFERENCES B13, B14) or a bend
// (B11), of random proportions and arms.
func closedForm(rng *rand.Rand) (drawnShape, bool) {
	a := uniform(rng, 0.15, 0.85)
	var s strip
	var squares float64
	switch rng.IntN(4) {
	case 0:
		s, squares = stepped(a, true), arm+arm/a+extraStep(a)
	case 1:
		s, squares = stepped(a, false), arm+arm/a+2*extraStep(a)
	case 2:
		s, squares = slitted(a), 2*arm+extraSlit(a)
	default:
		l, m := uniform(rng, arm, 2*arm), uniform(rng, arm, 2*arm)
		s = strip{
			[][2]float64{{0, 0}, {l + 1, 0}, {l + 1, 1}, {1, 1}, {1, m + 1}, {0, m + 1}},
			[][4]float64{{l + 1, 0, l + 1, 1}, {0, m + 1, 1, m + 1}},
		}
		squares = l + m + 1 - 2/math.Pi*math.Ln2
	}
	g, discs := s.group("drawn")
	return drawnShape{group: g, discs: discs, ohms: squares}, true
}
