package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

// uglies are the kinds of artwork that layout programs and people make and
// meshers dislike. Each draws rings, in nanometres, that geom.Fill unites, with
// other figures for every draw.
var uglies = []struct {
	name string
	draw func(hand) []geom.Ring
}{
	{"outline that touches itself", touchingSelf},
	{"outline that runs back on itself", keyhole},
	{"gaps of nanometres", nanoGaps},
	{"slivers", slivers},
	{"near-coincident lines", nearCoincident},
	{"thousands of holes", manyHoles},
	{"stroked text", strokedText},
	{"cross-hatch", crossHatch},
	{"teardrops", teardrops},
	{"thermal reliefs", thermals},
	{"acute corners", acuteCorners},
	{"star with points of one degree", star},
	{"pinch points", pinches},
	{"holes tangent to the outline", tangentHoles},
	{"ragged coast", coast},
	{"specks", specks},
}

// hand is a random source that draws much, or little: the fuzz, which tries
// thousands, wants few of everything.
type hand struct {
	*rand.Rand
	little bool
}

// many gives a number of things from lo to hi; a drawer of little stays near lo.
func (h hand) many(lo, hi int64) int64 {
	if h.little {
		lo, hi = min(lo, 8), min(hi, lo+2, 10)
	}
	return h.between(lo, hi)
}

// between gives a whole number from lo to hi.
func (h hand) between(lo, hi int64) int64 { return lo + h.Int64N(hi-lo+1) }

// pt rounds nanometres to a point.
func pt(x, y float64) geom.Point {
	return geom.Point{X: int64(math.Round(x)), Y: int64(math.Round(y))}
}

// stroke is a line drawn with a round pen, ends in nanometres.
func stroke(x0, y0, x1, y1 float64, width int64) geom.Ring {
	return geom.Stroke(pt(x0, y0), pt(x1, y1), width, 250)
}

// turned turns rings about the origin, so that nothing lies along an axis.
func turned(rings []geom.Ring, angle float64) []geom.Ring {
	sin, cos := math.Sincos(angle)
	for _, r := range rings {
		for i, p := range r {
			x, y := float64(p.X), float64(p.Y)
			r[i] = pt(x*cos-y*sin, x*sin+y*cos)
		}
	}
	return rings
}

// touchingSelf is a row of diamonds drawn in one go, each meeting the next in
// a point, and back along their other sides.
func touchingSelf(h hand) []geom.Ring {
	var there, back geom.Ring
	x := int64(0)
	for range h.many(3, 20) {
		w, tall := h.between(20_000, 800_000), h.between(10, 500_000)
		there = append(there, geom.Point{X: x}, geom.Point{X: x + w/2, Y: -tall})
		back = append(back, geom.Point{X: x + w}, geom.Point{X: x + w/2, Y: tall})
		x += w
	}
	for i := len(back) - 2; i >= 0; i -= 2 {
		there = append(there, back[i], back[i+1])
	}
	return turned([]geom.Ring{there}, h.Float64())
}

// keyhole is a plane drawn as one outline: it runs in to each opening, round
// it, and out again on its own track.
func keyhole(h hand) []geom.Ring {
	n := h.many(2, 12)
	ring := geom.Ring{{X: 0, Y: 0}}
	for i := range n {
		x := (2*i + 1) * mm
		in := geom.Point{X: x, Y: 400_000}
		ring = append(ring, geom.Point{X: x}, in)
		hole := circle(x, 700_000, 300_000, 24)
		for k := range hole { // clockwise from the bottom, where the line comes in
			ring = append(ring, hole[(18-k+24)%24])
		}
		ring = append(ring, in, geom.Point{X: x})
	}
	return []geom.Ring{append(ring, geom.Point{X: 2 * n * mm}, geom.Point{X: 2 * n * mm, Y: 2 * mm},
		geom.Point{Y: 2 * mm})}
}

// nanoGaps are bars side by side, one to a few nanometres apart.
func nanoGaps(h hand) []geom.Ring {
	var out []geom.Ring
	y := int64(0)
	for range h.many(2, 20) {
		tall := h.between(5, 300_000)
		out = append(out, rect(h.between(0, 3), y, 5*mm+h.between(0, 3), y+tall))
		y += tall + h.between(1, 3)
	}
	return append(out, rect(-500_000, 0, h.between(1, 4), y)) // joined at one end
}

// slivers are needles and films of a few nanometres, alone and on a pad.
func slivers(h hand) []geom.Ring {
	out := []geom.Ring{rect(0, 0, mm, mm)}
	for range h.many(2, 30) {
		x, y := float64(h.between(-2*mm, 3*mm)), float64(h.between(-2*mm, 3*mm))
		a, l := h.Float64()*2*math.Pi, float64(h.between(1000, 8*mm))
		w := float64(h.between(1, 40))
		sin, cos := math.Sincos(a)
		out = append(out, geom.Ring{pt(x, y), pt(x+l*cos, y+l*sin), pt(x+l*cos-w*sin, y+l*sin+w*cos)})
	}
	return out
}

// nearCoincident are strokes that were meant to lie on one another: each a few
// nanometres off the last.
func nearCoincident(h hand) []geom.Ring {
	var out []geom.Ring
	x, y := float64(h.between(3*mm, 9*mm)), float64(h.between(0, 4*mm))
	for range h.many(3, 20) {
		off := func() float64 { return float64(h.between(-4, 4)) }
		out = append(out, stroke(off(), off(), x+off(), y+off(), 200_000+h.between(-2, 2)))
	}
	return out
}

// manyHoles is a plane with thousands of antipads (hundreds in short runs), some of them overlapping
// and some a hair apart.
func manyHoles(h hand) []geom.Ring {
	side, pitch := h.many(45, 60), int64(500_000)
	if testing.Short() {
		side = min(side, 15)
	}
	out := []geom.Ring{rect(0, 0, (side+1)*pitch, (side+1)*pitch)}
	for i := int64(1); i <= side; i++ {
		for k := int64(1); k <= side; k++ {
			r := h.between(100_000, 252_000)
			out = append(out, reversed(circle(i*pitch+h.between(-3, 3), k*pitch, r, 16)))
		}
	}
	return out
}

// strokedText is letters of short strokes, crossing one another anyhow.
func strokedText(h hand) []geom.Ring {
	var out []geom.Ring
	for letter := range h.many(5, 30) {
		x0 := float64(letter) * 700_000
		x, y := x0+float64(h.between(0, 600_000)), float64(h.between(0, mm))
		for range h.many(3, 14) {
			nx, ny := x0+float64(h.between(0, 6))*100_000, float64(h.between(0, 10))*100_000
			out = append(out, stroke(x, y, nx, ny, 120_000))
			x, y = nx, ny
		}
	}
	return out
}

// crossHatch is a plane of thin lines both ways, in a frame.
func crossHatch(h hand) []geom.Ring {
	size, pitch, pen := float64(6*mm), float64(h.between(300_000, 600_000)), h.between(60_000, 200_000)
	var out []geom.Ring
	for v := -size; v <= size; v += pitch {
		lo, hi := max(0, v), min(size, size+v)
		out = append(out, stroke(lo, lo-v, hi, hi-v, pen), stroke(lo, size-lo+v, hi, size-hi+v, pen))
	}
	for _, e := range [][4]float64{{0, 0, size, 0}, {size, 0, size, size}, {size, size, 0, size},
		{0, size, 0, 0}} {
		out = append(out, stroke(e[0], e[1], e[2], e[3], pen))
	}
	return turned(out, h.Float64())
}

// teardrops are pads with tracks that widen into them along tangents.
func teardrops(h hand) []geom.Ring {
	var out []geom.Ring
	for i := range h.many(1, 8) {
		x, y, r := float64(i)*2.5e6, 0.0, float64(h.between(300_000, 700_000))
		a, l := h.Float64()*2*math.Pi, float64(h.between(800_000, 2*mm))
		ex, ey := x+l*math.Cos(a), y+l*math.Sin(a)
		out = append(out, geom.Circle(pt(x, y), int64(r), 250), stroke(x, y, ex, ey, 150_000))
		if l <= r {
			continue
		}
		t := math.Acos(r / l) // where the tangents from the end touch the pad
		out = append(out, geom.Ring{
			pt(ex, ey), pt(x+r*math.Cos(a+t), y+r*math.Sin(a+t)), pt(x+r*math.Cos(a-t), y+r*math.Sin(a-t)),
		})
	}
	return out
}

// thermals are pads in a plane, each held by spokes.
func thermals(h hand) []geom.Ring {
	n := h.many(2, 7)
	pitch := 2.5e6
	out := []geom.Ring{rect(-2*mm, -2*mm, int64(float64(n)*pitch), int64(float64(n)*pitch))}
	for i := range n {
		for k := range n {
			x, y := float64(i)*pitch, float64(k)*pitch
			r, gap := h.between(300_000, 700_000), h.between(3, 300_000)
			at := pt(x, y)
			out = append(out, geom.Circle(at, r+gap, 250).Reverse(), geom.Circle(at, r, 250))
			spin := h.Float64()
			for s := range 4 {
				a := spin + float64(s)*math.Pi/2
				l := float64(r + gap)
				out = append(out, stroke(x, y, x+l*math.Cos(a), y+l*math.Sin(a), h.between(20_000, 300_000)))
			}
		}
	}
	return out
}

// acuteCorners is a zigzag of ever sharper teeth.
func acuteCorners(h hand) []geom.Ring {
	ring := geom.Ring{{X: 0, Y: -mm}}
	x := int64(0)
	var tops geom.Ring
	for range h.many(3, 25) {
		w := h.between(2, 200_000)
		tops = append(tops, geom.Point{X: x}, geom.Point{X: x + w/2, Y: h.between(100_000, 4*mm)})
		x += w + h.between(0, 50_000)
	}
	ring = append(ring, geom.Point{X: x + 1, Y: -mm}, geom.Point{X: x + 1})
	for i := len(tops) - 1; i >= 0; i-- {
		ring = append(ring, tops[i])
	}
	return turned([]geom.Ring{ring}, h.Float64())
}

// star has points of one degree and less.
func star(h hand) []geom.Ring {
	n, long := h.many(5, 24), float64(h.between(2*mm, 10*mm))
	spin := h.Float64()
	var ring geom.Ring
	for i := range n {
		a := spin + 2*math.Pi*float64(i)/float64(n)
		// Half of the point's angle; its foot stands where the next one's does.
		half := (0.1 + 0.9*h.Float64()) / 2 * math.Pi / 180
		foot := long * math.Tan(half) / math.Tan(math.Pi/float64(n))
		b := a + math.Pi/float64(n)
		ring = append(ring, pt(long*math.Cos(a), long*math.Sin(a)), pt(foot*math.Cos(b), foot*math.Sin(b)))
	}
	return []geom.Ring{ring}
}

// pinches is a chequerboard and a chain of circles that touch in points.
func pinches(h hand) []geom.Ring {
	var out []geom.Ring
	cell := h.between(2, 400_000)
	for i := range int64(7) {
		for k := range int64(7) {
			if (i+k)%2 == 0 && h.IntN(5) > 0 {
				out = append(out, rect(i*cell, k*cell, (i+1)*cell, (k+1)*cell))
			}
		}
	}
	x := int64(-mm)
	for range h.many(2, 9) {
		r := h.between(10, 300_000)
		out = append(out, geom.Circle(geom.Point{X: x - r, Y: 3 * mm}, r, 250))
		x -= 2 * r
	}
	return out
}

// tangentHoles are holes that touch the outline from inside, come within a
// nanometre of it, or cut it by a nanometre.
func tangentHoles(h hand) []geom.Ring {
	n := h.many(2, 12)
	out := []geom.Ring{rect(0, 0, (n+1)*mm, 2*mm)}
	for i := int64(1); i <= n; i++ {
		r := h.between(50_000, 450_000)
		y := r + h.between(-1, 2)
		if h.IntN(2) == 0 {
			y = 2*mm - y
		}
		out = append(out, geom.Circle(geom.Point{X: i * mm, Y: y}, r, 250).Reverse())
	}
	return out
}

// coast is an outline whose sides wander by micrometres and nanometres.
func coast(h hand) []geom.Ring {
	n, size := int(h.many(400, 400)), float64(h.between(mm, 3*mm))
	ring := make(geom.Ring, 0, n)
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		r := size + float64(h.between(0, []int64{3, 2000, 100_000}[h.IntN(3)]))
		ring = append(ring, pt(r*math.Cos(a), r*math.Sin(a)))
	}
	return []geom.Ring{ring}
}

// specks are pieces and holes of a few nanometres beside ordinary copper.
func specks(h hand) []geom.Ring {
	out := []geom.Ring{rect(0, 0, mm, mm)}
	for range h.many(20, 200) {
		x, y := h.between(-mm/2, 3*mm/2), h.between(-mm/2, 3*mm/2)
		r := circle(x, y, h.between(1, 30), 4+int(h.between(0, 6)))
		if h.IntN(2) == 0 {
			r = reversed(r)
		}
		out = append(out, r)
	}
	return out
}
