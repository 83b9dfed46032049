package bench

import (
	"bytes"
	"fmt"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/picture"
)

// draw draws the answer on the side of the best place.
func (w *work) draw(path string, post *locate.Posterior, a *LocateAnswer) error {
	return picture.Save(path, w.scene(post, a))
}

// Picture draws where the short of the case is, as locate --picture does: a PNG.
func (j *Job) Picture() ([]byte, error) {
	j.mu.Lock()
	w, post, a := j.work, j.post, j.answer
	j.mu.Unlock()
	if w == nil {
		return nil, &Error{Kind: Busy, What: "there is nothing to draw yet", Hint: "choose the two nets, and wait until their copper is solved"}
	}
	var out bytes.Buffer
	if err := picture.PNG(&out, w.scene(post, a)); err != nil {
		return nil, bad(err)
	}
	return out.Bytes(), nil
}

func (w *work) scene(post *locate.Posterior, a *LocateAnswer) *picture.Scene {
	side := w.side(post)
	s := &picture.Scene{
		Title:   fmt.Sprintf("%s against %s", w.names[0], w.names[1]),
		Outline: w.board.Outline,
		Bottom:  side == board.Bottom,
	}
	w.drawCopper(s, side)
	w.drawParts(s, side)
	for i, p := range post.P[:len(w.listed())] {
		if p > 0 {
			s.Density = append(s.Density, picture.Sample{At: middle(w.sites[i].A, w.sites[i].B), Weight: p})
		}
	}
	if a.Best != nil {
		site := w.sites[post.Best.Site]
		s.Best = &picture.Best{
			At: middle(site.A, site.B), Radius: int64(a.Best.RadiusMM * 1e6), Text: locate.Name(site),
		}
		s.Caption = fmt.Sprintf("%s: %s, nine chances in ten within %.1f mm", a.Fit.Verdict, locate.Name(site), a.Best.RadiusMM)
	}
	w.drawMarks(s, a)
	for _, f := range a.Each {
		if f.Predicted != nil && f.U > 0 {
			s.Checks = append(s.Checks, picture.Check{Sign: fmt.Sprint(f.Reading + 1), Measured: f.Ohms, Predicted: *f.Predicted, U: f.U})
		}
	}
	return s
}

// side is the side from which the best place is reached.
func (w *work) side(post *locate.Posterior) board.Side {
	if len(post.Places) > 0 && w.sites[post.Best.Site].LayerA == len(w.board.Layers)-1 && len(w.board.Layers) > 1 {
		return board.Bottom
	}
	return board.Top
}

func (w *work) drawCopper(s *picture.Scene, side board.Side) {
	face := 0
	if side == board.Bottom {
		face = len(w.board.Layers) - 1
	}
	for g, nets := range w.groups {
		net := picture.Net{Name: w.names[g]}
		for l := range w.board.Layers {
			var copper geom.Region
			for _, n := range nets {
				copper = append(copper, w.nets.Copper(n, l)...)
			}
			if l == face {
				net.Face = copper
			} else if len(copper) > 0 {
				net.Behind = append(net.Behind, copper)
			}
		}
		s.Nets = append(s.Nets, net)
	}
}

func (w *work) drawParts(s *picture.Scene, side board.Side) {
	for _, p := range w.board.Parts {
		if p.Side == side && len(p.Body) >= 3 {
			s.Parts = append(s.Parts, picture.Part{Name: p.Ref, Body: p.Body})
		}
	}
	for _, h := range w.board.Holes {
		s.Holes = append(s.Holes, picture.Hole{At: middle(h.At, h.To), Radius: h.Diameter / 2})
	}
}

// drawMarks shows the readings taken and the next one.
func (w *work) drawMarks(s *picture.Scene, a *LocateAnswer) {
	for i, c := range w.taken {
		for k, spot := range []copper.Spot{c.high, c.low} {
			s.Taken = append(s.Taken, picture.Mark{At: spot.At, Lead: picture.Lead(k), Sign: fmt.Sprint(i + 1)})
		}
	}
	if len(a.Next) == 0 {
		return
	}
	n := a.Next[0]
	at, err := w.contactsNamed(n.Kind == "four-wire", n.From, n.To, n.Current, n.Sense)
	if err != nil {
		return
	}
	for k, spot := range []copper.Spot{at.high, at.low} {
		s.Next = append(s.Next, picture.Mark{At: spot.At, Lead: picture.Lead(k), Text: w.placeText(spot)})
	}
}

func middle(a, b geom.Point) geom.Point {
	return geom.Point{X: a.X + (b.X-a.X)/2, Y: a.Y + (b.Y-a.Y)/2}
}
