package bench

import (
	"fmt"
	"strings"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/picture"
	"ohmward/internal/repair"
	"ohmward/internal/suspect"
)

// draw draws the answer on the sides that are touched.
func draw(w *engine.Locator, path string, post *locate.Posterior, a *answer.Location) error {
	return picture.Save(path, Scene(w, post, a))
}

// Scene is what the answer's picture shows: the side that the best place, else
// the first touch, is reached from, and the other one where it is touched too.
func Scene(w *engine.Locator, post *locate.Posterior, a *answer.Location) *picture.Scene {
	marks := marksOf(w, a)
	side, both := sides(w, post, a, marks)
	s := sideScene(w, post, marks, side, true, both)
	s.Title = fmt.Sprintf("%s against %s", w.Names[0], w.Names[1])
	if both {
		s.Other = sideScene(w, post, marks, board.Top+board.Bottom-side, false, both)
	}
	switch {
	case a.Fit.Verdict == answer.NoReading:
		s.Caption = firstTouch(a)
	case !a.Points():
		s.Caption = a.Fit.Verdict + ": no place is named"
	default:
		site := w.Sites[post.Best.Site]
		s.Best = &picture.Best{
			At: middle(site.A, site.B), Radius: int64(a.Best.RadiusMM * 1e6), Text: locate.Name(site),
		}
		s.Caption = caption(a, site)
		for _, pin := range site.Near[:min(2, len(site.Near))] {
			s.Named = append(s.Named, padBoxes(w, pin, side)...)
		}
	}
	if rest := behind(w, post, side); rest != "" && !both {
		s.Caption = strings.TrimSuffix(s.Caption, ".") + "; " + rest
	}
	for _, f := range a.Each {
		if f.Predicted != nil && f.U > 0 {
			s.Checks = append(s.Checks, picture.Check{Sign: fmt.Sprint(f.Reading + 1), Measured: f.Ohms,
				Predicted: *f.Predicted, U: f.U})
		}
	}
	return s
}

// radiusMass is what a radius must hold to be told as nine chances in ten.
const radiusMass = 0.9

// caption is the finding in a line; inside a part it has no millimetres.
func caption(a *answer.Location, site suspect.Site) string {
	if a.Fit.Verdict != answer.OneShort || a.Best.RadiusMass < radiusMass {
		return fmt.Sprintf("%s: the best guess is %s, %s", a.Fit.Verdict, locate.Name(site),
			repair.ProbabilityText(a.Best.Probability))
	}
	if site.Kind == suspect.Part {
		return fmt.Sprintf("%s: inside %s, %s", a.Fit.Verdict, locate.Name(site),
			repair.ProbabilityText(a.Best.Probability))
	}
	return fmt.Sprintf("%s: %s, nine chances in ten within %.1f mm", a.Fit.Verdict, locate.Name(site),
		a.Best.RadiusMM)
}

// firstTouch says, before any reading, where to touch first.
func firstTouch(a *answer.Location) string {
	text := upper(a.Fit.Verdict) + "."
	if len(a.Next) == 0 {
		return text + " No place that can be touched would tell."
	}
	n := a.Next[0]
	if n.Kind == "four-wire" {
		return fmt.Sprintf("%s First touch %s and %s, current through %s and %s.", text, n.Sense[0], n.Sense[1],
			n.Current[0], n.Current[1])
	}
	return fmt.Sprintf("%s First touch %s and %s.", text, n.From, n.To)
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func drawCopper(w *engine.Locator, s *picture.Scene, side board.Side) {
	face := 0
	if side == board.Bottom {
		face = len(w.Layout.Layers) - 1
	}
	for g, nets := range w.Groups {
		net := picture.Net{Name: w.Names[g]}
		for l := range w.Layout.Layers {
			var copper geom.Region
			for _, n := range nets {
				copper = append(copper, w.Nets.Copper(n, l)...)
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

func drawParts(w *engine.Locator, s *picture.Scene, side board.Side) {
	for _, p := range w.Layout.Parts {
		if p.Side == side && len(p.Body) >= 3 {
			s.Parts = append(s.Parts, picture.Part{Name: p.Ref, Body: p.Body})
		}
	}
	for _, h := range w.Layout.Holes {
		s.Holes = append(s.Holes, picture.Hole{At: middle(h.At, h.To), Radius: h.Diameter / 2})
	}
}

func middle(a, b geom.Point) geom.Point {
	return geom.Point{X: a.X + (b.X-a.X)/2, Y: a.Y + (b.Y-a.Y)/2}
}
