package main

// Legend distances in micrometres.
const (
	legendGap  = 150 // between print and a mask opening
	legendLine = 120
)

// title stands where the board has room for it.
var title = []struct {
	text string
	x, y float64
}{{"RL-40 REV B", 6.2, 8.2}, {"RIVER LEVEL LOGGER", 15.8, 1.4}}

// legend collects the print of the top side.
type legend struct {
	b     *board
	taken []shape // boxes of texts
}

// drawLegend prints part names, bodies, a dot at pin 1, and the title.
func drawLegend(w *gerberWriter, b *board) {
	lg := &legend{b: b}
	w.aperture("C,"+mm(legendLine), "")
	for _, t := range title {
		at := point{um(t.x), um(t.y)}
		lg.taken = append(lg.taken, rect(at, textWidth(t.text)+300, textHeight+300))
		for _, s := range textStrokes(t.text, at) {
			w.line(s.a, s.b)
		}
	}
	for _, p := range b.parts {
		w.with(attr(".C", p.ref))
		for _, s := range lg.body(p) {
			w.line(s.a, s.b)
		}
	}
	for _, p := range b.parts {
		at, ok := lg.nameAt(p)
		if !ok {
			continue
		}
		w.with(attr(".C", p.ref))
		for _, s := range textStrokes(p.ref, at) {
			w.line(s.a, s.b)
		}
	}
}

// body is the outline of a part where it does not meet a mask opening.
func (lg *legend) body(p part) []shape {
	if p.bare {
		return nil
	}
	const step = 50
	var out []shape
	for _, e := range p.body.edges() {
		n := reach(e[0], e[1]) / step
		from := -1
		for i := 0; i <= n+1; i++ {
			at := point{e[0].x + (e[1].x-e[0].x)*min(i, n)/n, e[0].y + (e[1].y-e[0].y)*min(i, n)/n}
			ok := i <= n && lg.free(disc(at, legendLine))
			if ok && from < 0 {
				from = i
			}
			if !ok && from >= 0 {
				a := point{e[0].x + (e[1].x-e[0].x)*from/n, e[0].y + (e[1].y-e[0].y)*from/n}
				b := point{e[0].x + (e[1].x-e[0].x)*(i-1)/n, e[0].y + (e[1].y-e[0].y)*(i-1)/n}
				if reach(a, b) >= 2*legendLine {
					out = append(out, capsule(a, b, legendLine))
				}
				from = -1
			}
		}
	}
	return append(out, lg.pinOne(p)...)
}

// pinOne is a dot beside the first pin of a part with three or more.
func (lg *legend) pinOne(p part) []shape {
	if len(p.lands) < 3 {
		return nil
	}
	l := lg.b.lands[p.lands[0]]
	dx, dy := l.w/2+350, l.h/2+350
	for _, d := range []point{{-dx, 0}, {0, dy}, {0, -dy}, {dx, 0}} {
		at := point{l.at.x + d.x, l.at.y + d.y}
		if lg.free(disc(at, 300)) {
			return []shape{capsule(at, point{at.x + 1, at.y}, 2*legendLine)}
		}
	}
	return nil
}

// free tells whether print keeps off every mask opening, hole and the edge.
func (lg *legend) free(s shape) bool {
	for _, l := range lg.b.lands {
		if l.layers&top != 0 && near(l.shape, s, legendGap+maskGrow) && gap(l.shape, s) < legendGap+maskGrow {
			return false
		}
	}
	for _, h := range lg.b.holes {
		if gap(disc(h.at, h.diameter+200), s) < legendGap {
			return false
		}
	}
	lo, hi := s.bounds()
	return lo.x > 300 && lo.y > 300 && hi.x < boardW-300 && hi.y < boardH-300
}

// nameAt finds room for a part's name beside it, or inside a large body.
func (lg *legend) nameAt(p part) (point, bool) {
	lo, hi := p.body.bounds()
	for _, i := range p.lands {
		a, b := lg.b.lands[i].shape.bounds()
		lo = point{min(lo.x, a.x), min(lo.y, a.y)}
		hi = point{max(hi.x, b.x), max(hi.y, b.y)}
	}
	w, h := textWidth(p.ref)+textStroke, textHeight+textStroke
	dx, dy := w/2+legendGap+maskGrow+20, h/2+legendGap+maskGrow+20
	mid := point{(lo.x + hi.x) / 2, (lo.y + hi.y) / 2}
	tries := []point{
		p.at, {mid.x, hi.y + dy}, {mid.x, lo.y - dy}, {hi.x + dx, mid.y}, {lo.x - dx, mid.y},
		{lo.x + w/2, hi.y + dy}, {hi.x - w/2, hi.y + dy}, {lo.x + w/2, lo.y - dy}, {hi.x - w/2, lo.y - dy},
		{hi.x + dx, hi.y}, {hi.x + dx, lo.y}, {lo.x - dx, hi.y}, {lo.x - dx, lo.y},
	}
	for _, at := range tries {
		box := rect(at, w, h)
		if lg.free(box) && lg.alone(box, p) {
			lg.taken = append(lg.taken, box)
			return at, true
		}
	}
	return point{}, false
}

// alone tells whether a box meets no other text and no other part's body.
func (lg *legend) alone(box shape, p part) bool {
	for _, t := range lg.taken {
		if gap(t, box) < textStroke {
			return false
		}
	}
	for _, q := range lg.b.parts {
		if q.ref != p.ref && gap(q.body, box) < legendLine {
			return false
		}
	}
	return true
}
