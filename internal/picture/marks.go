package picture

import (
	"cmp"
	"image/color"
	"math"
	"slices"
	"strings"

	"ohmward/geom"
)

// drawMarks paints the readings taken, then the next places over them, and
// gives the rectangles they took up.
func drawMarks(c canvas, s *Scene, v view) []rect {
	var taken []rect
	for _, m := range s.Next { // their points stay clear of labels
		taken = append(taken, squareAt(v.at(m.At), 8))
	}
	if s.Best != nil {
		taken = append(taken, squareAt(v.at(s.Best.At), max(14, v.length(s.Best.Radius))))
	}
	for _, b := range s.Named {
		taken = append(taken, v.box(b))
	}
	for i, m := range s.Next {
		taken = append(taken, nextBox(m, v, slices.Delete(slices.Clone(taken), i, i+1)))
	}
	boxes := taken[len(taken)-len(s.Next):]
	for _, m := range merged(s.Taken) {
		taken = append(taken, drawTaken(c, m, v, taken))
	}
	for i, m := range s.Next {
		drawNext(c, m, v, boxes[i])
	}
	return taken
}

// Sizes of the large marks.
const (
	nextRadius = 21.0
	nextText   = 22.0
)

// nextBox finds room for a large mark and its text near its place.
func nextBox(m Mark, v view, taken []rect) rect {
	w := 2*nextRadius + 10
	if m.Text != "" {
		w += textWidth(fitted(m.Text, nextText, true, v.frame.w/2), nextText, true) + 12
	}
	return place(v.at(m.At), 26, w, 2*nextRadius+6, v.frame, taken)
}

// drawNext paints a point at the place, a leader, and the mark with its text
// on a plate.
func drawNext(c canvas, m Mark, v view, box rect) {
	at := v.at(m.At)
	ink := redLead
	if m.Lead == Black {
		ink = blackLead
	}
	hub := pt{box.x + nextRadius + 3, box.y + box.h/2}
	c.line([]pt{at, hub}, false, 7, share(white, 0.9))
	c.line([]pt{at, hub}, false, 3, ink)
	c.disc(at, 7, white)
	c.disc(at, 5, ink)
	if m.Text != "" {
		plate(c, box, ink)
	}
	sign := white
	c.disc(hub, nextRadius, white)
	if m.Lead == Red {
		c.disc(hub, nextRadius-2, ink)
	} else {
		c.ring(hub, nextRadius-4, 5, ink)
		sign = ink
	}
	letter := cmp.Or(m.Sign, [...]string{"R", "B"}[m.Lead])
	size := 24.0
	if len([]rune(letter)) > 1 {
		size = 18
	}
	c.text(pt{hub.x, hub.y + size*0.36}, middle, size, true, letter, sign)
	if m.Text != "" {
		text := fitted(m.Text, nextText, true, v.frame.w/2)
		c.text(pt{box.x + 2*nextRadius + 12, box.y + box.h/2 + nextText*0.35}, left, nextText, true, text, ink)
	}
}

// drawTaken paints a reading's place small, with its number beside it.
func drawTaken(c canvas, m Mark, v view, taken []rect) rect {
	const size = 15.0
	at := v.at(m.At)
	c.disc(at, 5.5, white)
	ink := redLead
	if m.Lead == Black {
		ink = blackLead
	}
	c.ring(at, 4, 2, ink)
	w := textWidth(m.Sign, size, true)
	box := place(at, 7, w+8, size+5, v.frame, taken)
	c.fill([]path{frameRing(box)}, share(white, 0.82))
	c.text(pt{box.x + 4, box.y + size}, left, size, true, m.Sign, words)
	return box
}

// merged joins marks at one place: readings 1, 3 and 4 there read "1 3 4".
func merged(marks []Mark) []Mark {
	index := map[geom.Point]int{}
	var out []Mark
	for _, m := range marks {
		i, known := index[m.At]
		if !known {
			index[m.At] = len(out)
			out = append(out, m)
			continue
		}
		const longest = 16
		have := out[i].Sign
		switch {
		case strings.HasSuffix(have, "…") || strings.HasSuffix(" "+have, " "+m.Sign):
		case len(have)+len(m.Sign) > longest:
			out[i].Sign = have + " …"
		default:
			out[i].Sign = have + " " + m.Sign
		}
	}
	return out
}

// plate is the light ground under a text.
func plate(c canvas, box rect, ink color.NRGBA) {
	c.fill([]path{frameRing(box)}, share(white, 0.92))
	c.line(frameRing(box), true, 1.5, share(ink, 0.8))
}

// place finds where a box of the size stands near a point: of sixteen
// directions and some distances, the one that covers least of what is taken,
// the nearer the better, wholly within the frame where it can be.
func place(at pt, gap, w, h float64, frame rect, taken []rect) rect {
	var best rect
	least := math.Inf(1)
	for ring := range 8 {
		reach := gap * (1 + 0.8*float64(ring))
		for k := range 16 {
			a := 2*math.Pi*float64(k)/16 - math.Pi/4
			cos, sin := math.Cos(a), math.Sin(a)
			box := rect{at.x + cos*(reach+w/2) - w/2, at.y + sin*(reach+h/2) - h/2, w, h}
			cost := 0.02 * w * h * float64(ring)
			if !box.inside(frame) {
				cost += w*h + 10*(w*h-box.overlap(frame))
			}
			for _, t := range taken {
				cost += 3 * box.overlap(t)
			}
			if cost < least {
				least, best = cost, box
			}
		}
	}
	return best
}
