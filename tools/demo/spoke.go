package main

// addSpokes ties every ground pad to the pour around it by up to four
// thermal spokes.
func (b *board) addSpokes() {
	ground := b.netID("GND")
	all := b.coppers()
	for _, l := range b.lands {
		if l.net != ground {
			continue
		}
		for layer := range 2 {
			if l.layers&(1<<layer) == 0 {
				continue
			}
			for _, d := range [4]point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
				if s, ok := b.spoke(l, layer, d, all); ok {
					b.spokes = append(b.spokes, s)
				}
			}
		}
	}
}

// spoke is the tie from a pad's middle in one direction, if its end lies in
// the pour and it keeps its clearance.
func (b *board) spoke(l land, layer int, d point, all []copper) (track, bool) {
	half, across := l.w/2, l.h
	if d.x == 0 {
		half, across = l.h/2, l.w
	}
	if across < spokeWidth && l.form != 'O' {
		return track{}, false
	}
	width := min(spokeWidth, across)
	// The end's disc is to lie wholly in the pour.
	far := half + thermalGap + width/2 + 50
	s := track{l.net, 1 << layer, l.at, point{l.at.x + d.x*far, l.at.y + d.y*far}, width}
	end := s.b
	for _, q := range []point{{}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		if !inPour(b, layer, point{end.x + q.x*width/2, end.y + q.y*width/2}) {
			return s, false
		}
	}
	for _, c := range all {
		if c.net == l.net || c.layers&(1<<layer) == 0 || !near(c.shape, s.shape(), pourClearance) {
			continue
		}
		if gap(c.shape, s.shape()) < pourClearance {
			return s, false
		}
	}
	return s, true
}

// inPour tells whether a place lies in a layer's pour.
func inPour(b *board, layer int, p point) bool {
	for _, piece := range b.pour[layer] {
		if !inRing(p, piece.outer) {
			continue
		}
		in := true
		for _, h := range piece.holes {
			in = in && !inRing(p, h)
		}
		if in {
			return true
		}
	}
	return false
}
