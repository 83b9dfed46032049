package boardread

import (
	"fmt"
	"strings"

	"ohmward/geom"
)

// classifyNegatives decides which copper images show where copper is not: by
// the file attribute .FilePolarity, or by the deprecated IPNEG, which turns
// the image itself over. Both together cancel out.
func (a *assembly) classifyNegatives() {
	for _, s := range a.set {
		if s.img == nil || !s.used() {
			continue
		}
		switch s.use {
		case useCopper:
			polarity := strings.EqualFold(first(s.img.Attributes[".FilePolarity"]), "Negative")
			s.negative = polarity != s.img.Negative
			if polarity && s.img.Negative {
				a.doubt(s.path, "negative twice, by .FilePolarity and by IPNEG: taken as positive")
			}
		case useMask:
			if s.img.Negative {
				a.doubt(s.path, "a negative image (IPNEG) of solder mask: what is drawn is taken as the openings")
			}
		default:
			if s.img.Negative {
				a.doubt(s.path, "a negative image (IPNEG): ignored")
				s.ignore("negative image")
			}
		}
	}
}

// invert makes copper of a negative image: the board less what is drawn.
func (a *assembly) invert(s *source, drawn geom.Region) geom.Region {
	outline := a.b.Outline
	if len(outline) == 0 {
		outline = geom.Region{{Outer: geom.Rectangle(a.copperBounds())}}
	}
	s.why += "; negative: copper is the board less what is drawn"
	return geom.Difference(outline, drawn)
}

// copperBounds is the box of all copper images.
func (a *assembly) copperBounds() geom.Box {
	box := geom.EmptyBox()
	for _, s := range a.layers {
		box = box.Join(s.img.Bounds)
	}
	return box
}

// boundsAsOutline stands in for a profile that is not there: the box of the
// copper.
func (a *assembly) boundsAsOutline() {
	box := a.copperBounds()
	what := "no profile file: the board's outline is not known"
	if !box.Empty() {
		a.b.Outline = geom.Region{{Outer: geom.Rectangle(box)}}
		what += fmt.Sprintf("; the copper's bounding box, %.2f x %.2f mm, stands for it",
			float64(width(box))*1e-6, float64(height(box))*1e-6)
	}
	a.doubt("", "%s", what)
}
