package bench

import (
	"fmt"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/picture"
)

// either is the side of what is reached from both, or from none: a plated
// hole, copper inside the board.
const either board.Side = -1

// sideOf is the side that copper on a layer is touched from.
func sideOf(w *engine.Locator, layer int) board.Side {
	switch last := len(w.Layout.Layers) - 1; {
	case layer == 0:
		return board.Top
	case layer == last:
		return board.Bottom
	}
	return either
}

// mark is a place on the picture with the side that it is touched from.
type mark struct {
	picture.Mark
	side board.Side
	next bool // to be touched next, not touched already
	pin  string
}

func markOf(w *engine.Locator, spot copper.Spot, lead int) mark {
	m := mark{Mark: picture.Mark{At: spot.At, Lead: picture.Lead(lead)}, side: sideOf(w, spot.Layer),
		pin: spot.Pin}
	if w.Nets.InHole(spot) {
		m.side = either
	}
	return m
}

// firstLead is the lead of a reading's first place: a tip goes by its net, whichever
// place was named first.
func firstLead(w *engine.Locator, at engine.Contacts) int {
	if g := w.GroupOfNet(at.High.Net); g > 0 && g != w.GroupOfNet(at.Low.Net) {
		return g
	}
	return 0
}

// marksOf lists the places of the readings taken and of the next one.
func marksOf(w *engine.Locator, a *answer.Location) (out []mark) {
	for i, c := range w.Taken {
		for k, spot := range []copper.Spot{c.High, c.Low} {
			m := markOf(w, spot, k^firstLead(w, c))
			m.Sign = fmt.Sprint(i + 1)
			out = append(out, m)
		}
	}
	if len(a.Next) == 0 {
		return out
	}
	n := a.Next[0]
	at, err := w.ContactsNamed(n.Kind == "four-wire", n.From, n.To, n.Current, n.Sense)
	if err != nil {
		return out
	}
	for k, spot := range []copper.Spot{at.High, at.Low} {
		m := markOf(w, spot, k^firstLead(w, at))
		m.next, m.Text = true, w.PlaceText(spot)
		out = append(out, m)
	}
	return out
}

// sides gives the side to show first, the best place's or else that of the
// next touch, and whether the other one is touched too.
func sides(w *engine.Locator, post *locate.Posterior, a *answer.Location,
	marks []mark) (side board.Side, both bool) {
	side = either
	if a.Points() {
		side = sideOf(w, w.Sites[post.Best.Site].LayerA)
	}
	for _, next := range []bool{true, false} {
		for _, m := range marks {
			if side == either && m.next == next {
				side = m.side
			}
		}
	}
	if side == either {
		side = board.Top
	}
	for _, m := range marks {
		both = both || m.side != either && m.side != side
	}
	return side, both
}

// sideScene shows one side with what is touched from it; what is reached from
// either stands on the first.
func sideScene(w *engine.Locator, post *locate.Posterior, marks []mark, side board.Side, first,
	both bool) *picture.Scene {
	s := &picture.Scene{Outline: w.Layout.Outline, Bottom: side == board.Bottom}
	drawCopper(w, s, side)
	drawParts(w, s, side)
	for i, p := range post.P[:len(w.Listed())] { // under the board nothing is seen
		at := sideOf(w, w.Sites[i].LayerA)
		if p > 0 && (at == side || at == either) {
			s.Density = append(s.Density, picture.Sample{At: middle(w.Sites[i].A, w.Sites[i].B), Weight: p})
		}
	}
	for _, m := range marks {
		switch here := m.side == side || m.side == either && first; {
		case here && m.next:
			s.Next = append(s.Next, m.Mark)
			s.Named = append(s.Named, padBoxes(w, m.pin, side)...)
		case here:
			s.Taken = append(s.Taken, m.Mark)
		}
	}
	return s
}

// leastBehind is the share of the probability on a side that is not drawn from
// which on the caption says so.
const leastBehind = 0.01

// behind tells what lies on the side that is not drawn; "" where next to nothing.
func behind(w *engine.Locator, post *locate.Posterior, side board.Side) string {
	other, share := board.Top+board.Bottom-side, 0.0
	for i, p := range post.P[:len(w.Listed())] {
		if sideOf(w, w.Sites[i].LayerA) == other {
			share += p
		}
	}
	if share < leastBehind {
		return ""
	}
	return fmt.Sprintf("on the %s, not drawn: %.0f %%", boardSide(other), 100*share)
}

// padBoxes are the boxes of a pin's pads on a side.
func padBoxes(w *engine.Locator, pin string, side board.Side) (out []geom.Box) {
	for i := range w.Layout.Pads {
		p := &w.Layout.Pads[i]
		if pin != "" && p.Ref+"."+p.Pin == pin && sideOf(w, p.Layer) == side {
			out = append(out, p.Shape.Bounds())
		}
	}
	return out
}
