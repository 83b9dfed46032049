package boards

import (
	"maps"
	"slices"
)

func sortedKeys(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }

// layer writes what lies on one copper layer.
func (b *Large) layer(w xmlWriter, l int) {
	switch r := largeRoles[l]; r {
	case ground:
		b.openedPlane(w)
	case power:
		b.clearedPlane(w)
	case top:
		b.lands(w)
	default:
		b.tracks(w, l)
		if r == bottom {
			b.patches(w)
		}
	}
	for p := range b.Parts() {
		for pin := 1; pin <= 4; pin++ {
			w.put("<Set net=\"%s\" padUsage=\"VIA\"><Pad padstackDefRef=\"via\"><Location %s/></Pad></Set>\n",
				b.NetOf(p, pin), b.via(p, pin).xy())
		}
	}
}

// openedPlane is the ground: one contour with round cutouts about the other
// nets' vias.
func (b *Large) openedPlane(w xmlWriter) {
	w.put("<Set net=\"%s\"><Features><Contour>", groundNet)
	w.polygon("Polygon", b.plane())
	for p := range b.Parts() {
		for pin := 2; pin <= 4; pin++ {
			w.polygon("Cutout", circle(b.via(p, pin), antipad/2))
			w.put("\n")
		}
	}
	w.put("</Contour></Features></Set>\n")
}

// clearedPlane is the supply: a polygon, and negative circles on it.
func (b *Large) clearedPlane(w xmlWriter) {
	w.put("<Set net=\"%s\"><Features>", supplyName)
	w.polygon("Polygon", b.plane())
	w.put("</Features></Set>\n<Set polarity=\"NEGATIVE\">\n")
	for p := range b.Parts() {
		for _, pin := range [3]int{1, 3, 4} {
			w.put("<Features><Location %s/><StandardPrimitiveRef id=\"antipad\"/></Features>\n", b.via(p, pin).xy())
		}
	}
	w.put("</Set>\n")
}

// plane is the outline of a plane: round corners, 50 um inside the profile.
func (b *Large) plane() []side {
	return rectangle(point{50 * um, 50 * um}, b.size().plus(-50*um, -50*um), mm)
}

// lands are the parts' pads with a track to each via.
func (b *Large) lands(w xmlWriter) {
	for p := range b.Parts() {
		for pin := 1; pin <= 4; pin++ {
			net, at := b.NetOf(p, pin), b.land(p, pin)
			shape := `<StandardPrimitiveRef id="land"/>`
			if pin == 1 {
				shape = `<UserPrimitiveRef id="first"/>`
			}
			w.put("<Set net=\"%s\"><Pad><Location %s/>%s<PinRef componentRef=\"%s\" pin=\"%d\"/></Pad></Set>\n", net,
				at.xy(), shape, b.PartName(p), pin)
			w.put("<Set net=\"%s\"><Features>", net)
			w.line(at, b.via(p, pin), `<LineDescRef id="lead"/>`)
			w.put("</Features></Set>\n")
		}
	}
}

// tracks are the ways from part to part and the winding ones, these as one
// line after the other on every second layer.
func (b *Large) tracks(w xmlWriter, l int) {
	for p := range b.Parts() {
		for pin := 3; pin <= 4; pin++ {
			way := b.winding(l, p, pin)
			if way == nil {
				continue
			}
			w.put("<Set net=\"%s\"><Features>", b.NetOf(p, pin))
			if l%2 == 0 {
				w.polyline(way)
			} else {
				w.put("<UserSpecial>")
				for i := range way[1:] {
					w.line(way[i], way[i+1], `<LineDesc lineEnd="ROUND" lineWidth="0.1"/>`)
				}
				w.put("</UserSpecial>")
			}
			w.put("</Features></Set>\n")
		}
		if b.joined[p] == l && l > 0 {
			w.put("<Set net=\"%s\"><Features>", b.NetOf(p, 4))
			w.polyline(b.way(p))
			w.put("</Features></Set>\n")
		}
	}
}

// patches are ground about the ground vias, with round corners and a window.
func (b *Large) patches(w xmlWriter) {
	for p := range b.Parts() {
		c := b.corner(p)
		w.put("<Set net=\"%s\"><Features><Contour>", groundNet)
		w.polygon("Polygon", rectangle(c.plus(200*um, 100*um), c.plus(1_400*um, 700*um), 150*um))
		w.polygon("Cutout", rectangle(c.plus(1_000*um, 250*um), c.plus(1_250*um, 550*um), 0))
		w.put("</Contour></Features></Set>\n")
	}
}

func (w xmlWriter) line(a, b point, style string) {
	w.put(`<Line startX="%s" startY="%s" endX="%s" endY="%s">%s</Line>`, millimetres(a.x), millimetres(a.y),
		millimetres(b.x), millimetres(b.y), style)
}

func (w xmlWriter) polyline(way []point) {
	w.put(`<Polyline><PolyBegin %s/>`, way[0].xy())
	for _, p := range way[1:] {
		w.put(`<PolyStepSegment %s/>`, p.xy())
	}
	w.put(`<LineDescRef id="track"/></Polyline>`)
}

// side is a straight side of a closed path, or an arc counter-clockwise about
// a centre, that ends in a point.
type side struct {
	to     point
	arc    bool
	centre point
}

// polygon writes a closed path; it begins where its last side ends.
func (w xmlWriter) polygon(name string, sides []side) {
	w.put(`<%s><PolyBegin %s/>`, name, sides[len(sides)-1].to.xy())
	for _, s := range sides {
		if s.arc {
			w.put(`<PolyStepCurve %s centerX="%s" centerY="%s" clockwise="false"/>`, s.to.xy(),
				millimetres(s.centre.x), millimetres(s.centre.y))
		} else {
			w.put(`<PolyStepSegment %s/>`, s.to.xy())
		}
	}
	w.put(`</%s>`, name)
}

// rectangle goes round counter-clockwise with corners of a radius.
func rectangle(lo, hi point, radius int64) []side {
	var out []side
	for _, c := range [4]struct{ at, in, out point }{
		{point{hi.x, lo.y}, point{-1, 0}, point{0, 1}},
		{hi, point{0, -1}, point{-1, 0}},
		{point{lo.x, hi.y}, point{1, 0}, point{0, -1}},
		{lo, point{0, 1}, point{1, 0}},
	} {
		from := c.at.plus(c.in.x*radius, c.in.y*radius)
		to := c.at.plus(c.out.x*radius, c.out.y*radius)
		out = append(out, side{to: from})
		if radius > 0 {
			centre := from.plus(c.out.x*radius, c.out.y*radius)
			out = append(out, side{to: to, arc: true, centre: centre})
		}
	}
	return out
}

// circle is two half circles.
func circle(at point, radius int64) []side {
	return []side{
		{to: at.plus(-radius, 0), arc: true, centre: at},
		{to: at.plus(radius, 0), arc: true, centre: at},
	}
}
