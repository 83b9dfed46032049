package picture

import (
	"math"

	"ohmward/geom"
)

// Sizes in pixels of a picture 1600 wide.
const (
	width    = 1600
	margin   = 36.0
	headRoom = 96.0 // title and legend
	footRoom = 84.0 // scale bar and caption
	minMap   = 420.0
	maxMap   = 1500.0
	closeUp  = 460.0 // side of the square that shows the best place near
	between  = 24.0  // from the map to the close-up
)

// layout is where the parts of the picture stand.
type layout struct {
	height int
	main   view
	other  *view // the other side's map; nil where it is not drawn
	near   *view // nil without a best place
}

// sideRoom is what the names of the two sides take over their maps.
const sideRoom = 34.0

func newLayout(s *Scene) layout {
	box := s.bounds()
	pad := max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)/50 + 1
	box = box.Grow(pad)
	room := width - 2*margin
	detail := detailBox(s, box)
	if s.Other != nil {
		return bothSides(s, box, detail)
	}
	if detail != nil {
		room -= closeUp + between
	}
	aspect := float64(box.Max.Y-box.Min.Y) / float64(box.Max.X-box.Min.X)
	tall := max(minMap, min(maxMap, room*aspect))
	if detail != nil {
		tall = max(tall, closeUp)
	}
	l := layout{height: int(math.Ceil(headRoom + tall + footRoom + chartHeight(s)))}
	l.main = newView(box, rect{margin, headRoom, room, tall}, s.Bottom)
	if detail != nil {
		v := newView(*detail, rect{width - margin - closeUp, headRoom, closeUp, closeUp}, s.Bottom)
		l.near = &v
	}
	return l
}

// bothSides puts the top on the left and the bottom on the right, and the
// close-up under them.
func bothSides(s *Scene, box geom.Box, detail *geom.Box) layout {
	room := (width - 2*margin - between) / 2
	aspect := float64(box.Max.Y-box.Min.Y) / float64(box.Max.X-box.Min.X)
	tall := max(minMap, min(maxMap, room*aspect))
	top := headRoom + sideRoom
	frames := [2]rect{{margin, top, room, tall}, {margin + room + between, top, room, tall}}
	mine, others := frames[0], frames[1]
	if s.Bottom {
		mine, others = others, mine
	}
	l := layout{main: newView(box, mine, s.Bottom)}
	other := newView(box, others, s.Other.Bottom)
	l.other = &other
	under := top + tall
	if detail != nil {
		v := newView(*detail, rect{mine.x + (room-closeUp)/2, under + between, closeUp, closeUp}, s.Bottom)
		l.near = &v
		under += between + closeUp
	}
	l.height = int(math.Ceil(under + footRoom + chartHeight(s)))
	return l
}

// detailBox is the neighbourhood of the best place: three radii each way, at
// least 1 mm. It is nil where the map itself shows no more than that.
func detailBox(s *Scene, box geom.Box) *geom.Box {
	const least = 1_000_000
	if s.Best == nil {
		return nil
	}
	half := max(least, 2*s.Best.Radius)
	b := geom.Box{Min: s.Best.At, Max: s.Best.At}.Grow(half)
	if 4*half > max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y) {
		return nil
	}
	return &b
}

// barLength is a round length, in nanometres, that takes up to the given
// pixels.
func barLength(v view, pixels float64) int64 {
	most := pixels / v.scale
	step := math.Pow(10, math.Floor(math.Log10(most)))
	for _, k := range []float64{5, 2} {
		if step*k <= most {
			return int64(math.Round(step * k))
		}
	}
	return int64(math.Round(step))
}
