package picture

import (
	"cmp"
	"math"
	"slices"

	"ohmward/unit"
)

// paint paints the whole scene.
func paint(c canvas, s *Scene, l layout) {
	drawHead(c, s)
	if l.other != nil {
		drawOther(c, s, l)
	}
	drawMap(c, s, l.main, 1)
	drawDensity(c, s, l.main, 1, s.heaviest())
	if l.near != nil {
		drawTies(c, *s.Best, l)
	}
	if s.Best != nil {
		drawBest(c, *s.Best, l.main)
	}
	taken := drawMarks(c, s, l.main)
	if s.Best != nil && s.Best.Text != "" {
		drawBestText(c, *s.Best, l.main, taken)
	}
	if l.near != nil {
		drawDetail(c, s, l)
	}
	c.clip(rect{0, 0, width, float64(l.height)})
	drawFoot(c, s, l)
	drawChart(c, s, float64(l.height)-chartHeight(s))
}

// drawOther paints the other side, and names both.
func drawOther(c canvas, s *Scene, l layout) {
	for _, v := range []view{l.main, *l.other} {
		name := "top"
		if v.mirror {
			name = "bottom: turn the board over"
		}
		c.text(pt{v.frame.x, v.frame.y - 10}, left, 20, true, name, words)
	}
	drawMap(c, s.Other, *l.other, 1)
	drawDensity(c, s.Other, *l.other, 1, s.heaviest())
	drawMarks(c, s.Other, *l.other)
}

// drawMap paints laminate, copper, parts and holes.
func drawMap(c canvas, s *Scene, v view, weight float64) {
	c.clip(v.frame)
	outline := v.region(s.Outline)
	c.fill(outline, laminate)
	for i, n := range s.drawnNets() {
		for _, r := range n.Behind {
			c.fill(v.region(r), share(netInks[i], behindShare[i]))
		}
	}
	for i, n := range s.drawnNets() {
		c.fill(v.region(n.Face), share(netInks[i], faceShare[i]))
	}
	for _, h := range s.Holes {
		if r := v.length(h.Radius); r > 0.4 && v.holds(v.at(h.At)) {
			c.disc(v.at(h.At), r, paper)
		}
	}
	drawParts(c, s.Parts, v, weight)
	for _, r := range outline {
		c.line(r, true, 2*weight, edge)
	}
}

// drawParts draws the outlines of parts and their names.
func drawParts(c canvas, parts []Part, v view, weight float64) {
	for _, p := range parts {
		if v.shows(p.Body) {
			c.line(v.ring(p.Body), true, 1.1*weight, share(body, 0.75))
			drawName(c, p, v)
		}
	}
}

// drawName writes a part's name in its body where there is room.
func drawName(c canvas, p Part, v view) {
	const largest, least = 20.0, 11.0
	box := p.Body.Bounds()
	w, h := v.length(box.Max.X-box.Min.X), v.length(box.Max.Y-box.Min.Y)
	size := math.Floor(min(largest, h*0.7))
	if size < least || p.Name == "" {
		return
	}
	if wide := textWidth(p.Name, size, false); wide > w*0.9 {
		size = math.Floor(size * w * 0.9 / wide)
	}
	if size < least {
		return
	}
	at := v.at(box.Mid())
	c.text(pt{at.x, at.y + size*0.36}, middle, size, false, p.Name, share(words, 0.6))
}

// drawDensity paints the suspects: the likelier, the larger and the denser,
// over three decades below most, or below the heaviest here where that is more,
// the likeliest last.
func drawDensity(c canvas, s *Scene, v view, zoom, most float64) {
	const decades = 3
	samples := make([]Sample, 0, len(s.Density))
	for _, d := range s.Density {
		if d.Weight > 0 && v.holds(v.at(d.At)) {
			samples = append(samples, d)
			most = max(most, d.Weight)
		}
	}
	slices.SortStableFunc(samples, func(a, b Sample) int { return cmp.Compare(a.Weight, b.Weight) })
	for _, d := range samples {
		strength := 1 + math.Log10(d.Weight/most)/decades
		if strength <= 0 {
			continue
		}
		at := v.at(d.At)
		c.disc(at, (3+6*strength)*zoom, share(white, 0.35*strength))
		c.disc(at, (2+5*strength)*zoom, share(heat, 0.12+0.6*strength*strength))
	}
}

// drawBest rings the best place with its radius.
func drawBest(c canvas, b Best, v view) {
	at, r := v.at(b.At), max(14, v.length(b.Radius))
	c.ring(at, r, 8, share(white, 0.9))
	c.ring(at, r, 4, heat)
}

// drawBestText writes what the best place is beside its ring.
func drawBestText(c canvas, b Best, v view, taken []rect) {
	const size = 21.0
	text := fitted(b.Text, size, true, v.frame.w*0.6)
	w := textWidth(text, size, true)
	r := max(14, v.length(b.Radius))
	at := v.at(b.At)
	box := place(at, r+12, w+14, size+12, v.frame, taken)
	plate(c, box, heat)
	c.text(pt{box.x + 7, box.y + size + 2}, left, size, true, text, heat)
}

// drawTies leads from the ring on the map to the close-up.
func drawTies(c canvas, b Best, l layout) {
	c.clip(rect{0, 0, width, float64(l.height)})
	at, r, f := l.main.at(b.At), max(14, l.main.length(b.Radius)), l.near.frame
	corners := []pt{{f.x, f.y}, {f.x, f.y + f.h}}
	if l.other != nil { // the close-up stands under its map
		corners[1] = pt{f.x + f.w, f.y}
	}
	for _, corner := range corners {
		d := math.Hypot(corner.x-at.x, corner.y-at.y)
		from := pt{at.x + (corner.x-at.x)*r/d, at.y + (corner.y-at.y)*r/d}
		c.line([]pt{from, corner}, false, 1.2, share(heat, 0.45))
	}
	c.clip(l.main.frame)
}

// drawDetail shows the best place near.
func drawDetail(c canvas, s *Scene, l layout) {
	v, f := *l.near, l.near.frame
	c.clip(f)
	c.fill([]path{frameRing(f)}, paper)
	drawMap(c, s, v, 1.3)
	drawDensity(c, s, v, 1.6, 0)
	if s.Best.Radius > 0 {
		c.ring(v.at(s.Best.At), v.length(s.Best.Radius), 6, share(white, 0.8))
		c.ring(v.at(s.Best.At), v.length(s.Best.Radius), 2.5, heat)
	}
	drawBar(c, v, pt{f.x + 14, f.y + f.h - 16}, f.w/3)
	c.clip(rect{0, 0, width, float64(l.height)})
	c.line(frameRing(f), true, 2, share(heat, 0.8))
}

func frameRing(f rect) path {
	return path{{f.x, f.y}, {f.x + f.w, f.y}, {f.x + f.w, f.y + f.h}, {f.x, f.y + f.h}}
}

// drawHead writes the title and names the two inks.
func drawHead(c canvas, s *Scene) {
	c.text(pt{margin, 46}, left, 30, true, fitted(s.Title, 30, true, width-2*margin-260), words)
	side := "seen from the top"
	switch {
	case s.Other != nil:
		side = "both sides are touched"
	case s.Bottom:
		side = "the bottom: turn the board over"
	}
	c.text(pt{width - margin, 46}, right, 20, false, side, quiet)
	x := margin
	for i, n := range s.drawnNets() {
		c.fill([]path{frameRing(rect{x, 62, 26, 18})}, share(netInks[i], faceShare[i]))
		name := fitted(n.Name, 20, false, 420)
		c.text(pt{x + 34, 78}, left, 20, false, name, words)
		x += 34 + textWidth(name, 20, false) + 32
	}
	if len(s.Density) > 0 {
		c.disc(pt{x + 10, 71}, 7, share(heat, 0.72))
		c.text(pt{x + 26, 78}, left, 20, false, "where the short could be", words)
	}
}

// drawFoot writes the caption and the scale bar.
func drawFoot(c canvas, s *Scene, l layout) {
	y := float64(l.height) - chartHeight(s) - 34
	drawBar(c, l.main, pt{margin, y}, 220)
	c.text(pt{margin + 300, y}, left, 24, true, fitted(s.Caption, 24, true, width-2*margin-300), words)
}

// drawBar draws a scale bar whose left end is at a place.
func drawBar(c canvas, v view, at pt, most float64) {
	nm := barLength(v, most)
	w := v.length(nm)
	shape := []pt{{at.x, at.y - 8}, {at.x, at.y}, {at.x + w, at.y}, {at.x + w, at.y - 8}}
	c.line(shape, false, 5, share(paper, 0.9))
	c.line(shape, false, 2, words)
	c.text(pt{at.x + w/2, at.y - 8}, middle, 18, false, unitOf(nm), words)
}

func unitOf(nm int64) string { return (unit.Length(nm) * unit.Nanometre).String() }
