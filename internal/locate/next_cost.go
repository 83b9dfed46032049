package locate

// Seconds of one move. Two hands hold two tips on one side of the board;
// opposite sides at once need a clip on one of them.

// twoWire is the cost of reading between place i on net A and j on net B.
func (h MoveCosts) twoWire(a, b []Probe, i, j int) float64 {
	s := h.Read
	if i == h.At.A || j == h.At.B {
		s += h.MoveOne // the same pair too: only a fresh touch tells anything new
	} else {
		s += h.MoveBoth
	}
	return s + h.faces(a[i], b[j]) + h.small(a[i]) + h.small(b[j])
}

// faces is what it takes to have both places before the tips.
func (h MoveCosts) faces(p, q Probe) float64 {
	common := p.Sides & q.Sides
	if common == 0 {
		if p.Clip || q.Clip {
			return h.Clip
		}
		return 2*h.Clip + h.Turn // a soldered tail
	}
	if h.At.Side != 0 && common&h.At.Side == 0 {
		return h.Turn
	}
	return 0
}

// small makes narrow places dear, so that they are asked for only when a
// larger one says much less.
func (h MoveCosts) small(p Probe) float64 {
	switch {
	case p.SizeMM == 0 || p.SizeMM >= 2*h.MinSizeMM:
		return 0
	case p.SizeMM >= h.MinSizeMM:
		return 2
	}
	return h.MoveBoth
}

// fourWire is the cost of volts between m and n with current clips at i and j.
func (h MoveCosts) fourWire(own, other []Probe, i, j, m, n int, onB bool) float64 {
	s := h.Read
	ci, cj := h.At.CurrentA, h.At.CurrentB
	if onB {
		ci, cj = cj, ci
	}
	for _, clip := range [2][2]int{{i, ci}, {j, cj}} {
		if clip[0] != clip[1] {
			s += h.Clip
		}
	}
	there := func(x int) bool { return h.At.SenseOnB == onB && (x == h.At.SenseM || x == h.At.SenseN) }
	if there(m) || there(n) {
		s += h.MoveOne
	} else {
		s += h.MoveBoth
	}
	return s + h.faces(own[m], own[n]) + h.small(own[m]) + h.small(own[n])
}
