package ipc2581

import (
	"math"
	"testing"

	"ohmward/internal/check"
)

const (
	hollow = `<LineDesc lineWidth="0.1" lineEnd="ROUND"/><FillDesc fillProperty="HOLLOW"/>`
)

// box is a rectangle as polygon steps.
func box(x0, y0, x1, y1 string) string {
	return `<PolyBegin x="` + x0 + `" y="` + y0 + `"/><PolyStepSegment x="` + x1 + `" y="` + y0 + `"/><PolyStepSegment x="` + x1 + `" y="` + y1 +
		`"/><PolyStepSegment x="` + x0 + `" y="` + y1 + `"/><PolyStepSegment x="` + x0 + `" y="` + y0 + `"/>`
}

func line(ends string) string {
	return `<Line startX="1" startY="1" endX="3" endY="1"><LineDesc lineWidth="0.2" lineEnd="` + ends + `"/></Line>`
}

// strip is the area of the strip |y| < a inside the circle of radius r, x > 0.
func strip(a, r float64) float64 { return a*math.Sqrt(r*r-a*a) + r*r*math.Asin(a/r) }

// Areas in square millimetres from the definition of each figure.
func TestAreas(t *testing.T) {
	const pi = math.Pi
	cases := []struct {
		name, xml string
		want      float64
	}{
		{"circle", `<Circle diameter="1"/>`, pi / 4},
		{"rectangle", `<RectCenter width="2" height="1"/>`, 2},
		{"rectangle by corners", `<RectCorner lowerLeftX="1" lowerLeftY="1" upperRightX="3" upperRightY="2"/>`, 2},
		{"rounded", `<RectRound width="2" height="1" radius="0.2"/>`, 2 - (4-pi)*.04},
		{"rounded at one corner", `<RectRound width="2" height="1" radius="0.2" upperRight="true" lowerLeft="false"/>`, 2 - (1-pi/4)*.04},
		{"rounded nowhere", `<RectRound width="2" height="1" radius="0.2" upperRight="false" upperLeft="false" lowerRight="false" lowerLeft="false"/>`, 2},
		{"rounded into a disc", `<RectRound width="1" height="1" radius="0.5"/>`, pi / 4},
		{"chamfered", `<RectCham width="2" height="1" chamfer="0.2"/>`, 2 - 4*.02},
		{"chamfered at two corners", `<RectCham width="2" height="1" chamfer="0.2" upperLeft="true" lowerRight="true"/>`, 2 - 2*.02},
		{"oval across", `<Oval width="3" height="1"/>`, 2 + pi/4},
		{"oval along", `<Oval width="1" height="3"/>`, 2 + pi/4},
		{"octagon", `<Octagon length="2"/>`, 2 * math.Sqrt2},
		{"hexagon", `<Hexagon length="2"/>`, 1.5 * math.Sqrt(3)},
		{"diamond", `<Diamond width="2" height="1"/>`, 1},
		{"ellipse", `<Ellipse width="3" height="1"/>`, .75 * pi},
		{"triangle", `<Triangle base="2" height="1"/>`, 1},
		{"donut", `<Donut shape="ROUND" outerDiameter="2" innerDiameter="1"/>`, .75 * pi},
		{"square donut", `<Donut shape="SQUARE" outerDiameter="2" innerDiameter="1"/>`, 3},
		{"thermal", `<Thermal shape="ROUND" outerDiameter="2" innerDiameter="1" spokeCount="4" gap="0.2" spokeStartAngle="45"/>`,
			.75*pi - 4*(strip(.1, 1)-strip(.1, .5))},
		{"thermal, revision C", `<Thermal shape="ROUND" outerDiameter="2" innerDiameter="1" spokeCount="2" spokeWidth="0.2" spokeStartAngle="0"/>`,
			.75*pi - 2*(strip(.1, 1)-strip(.1, .5))},
		{"moire rings", `<Moire diameter="2" ringWidth="0.1" ringGap="0.2" ringNumber="2"/>`, pi * (1 - .81 + .49 - .36)},
		{"moire cross", `<Moire diameter="2" ringWidth="0.1" ringGap="0.2" ringNumber="0" lineWidth="0.1" lineLength="2" lineAngle="30"/>`, .39},
		{"round butterfly", `<Butterfly shape="ROUND" diameter="2"/>`, pi / 2},
		{"square butterfly", `<Butterfly shape="SQUARE" side="2"/>`, 2},
		{"hexagonal donut", `<Donut shape="HEXAGON" outerDiameter="2" innerDiameter="1"/>`, .75 * 1.5 * math.Sqrt(3)},
		{"octagonal donut", `<Donut shape="OCTAGON" outerDiameter="2" innerDiameter="1"/>`, .75 * 2 * math.Sqrt2},
		{"square thermal", `<Thermal shape="SQUARE" outerDiameter="2" innerDiameter="1" spokeCount="4" gap="0.2" spokeStartAngle="0"/>`, 3 - 4*.5*.2},
		{"contour", `<Contour><Polygon>` + box("0", "0", "2", "2") + `</Polygon><Cutout>` + box("0.5", "0.5", "1.5", "1.5") + `</Cutout></Contour>`, 3},
		{"cutouts that overlap", `<Contour><Polygon>` + box("0", "0", "4", "4") + `</Polygon><Cutout>` + box("0.5", "1", "2", "2") + `</Cutout><Cutout>` + box("1", "1", "3.5", "2") + `</Cutout></Contour>`, 13},
		{"cutout that reaches out", `<Contour><Polygon>` + box("0", "0", "2", "2") + `</Polygon><Cutout>` + box("1", "1", "3", "3") + `</Cutout></Contour>`, 3},
		{"half disc", `<Polygon><PolyBegin x="1" y="0"/><PolyStepCurve x="-1" y="0" centerX="0" centerY="0" clockwise="false"/></Polygon>`, pi / 2},
		{"three quarters", `<Polygon><PolyBegin x="1" y="0"/><PolyStepCurve x="0" y="1" centerX="0" centerY="0" clockwise="true"/><PolyStepSegment x="0" y="0"/></Polygon>`, .75 * pi},
		{"round ends", line("ROUND"), .4 + pi*.01},
		{"square ends", line("SQUARE"), .44},
		{"no ends", line("NONE"), .4},
		{"bend", `<Polyline><PolyBegin x="0" y="0"/><PolyStepSegment x="2" y="0"/><PolyStepSegment x="2" y="2"/><LineDesc lineWidth="0.2" lineEnd="NONE"/></Polyline>`, .79 + pi/4*.01},
		{"arc", `<Arc startX="1" startY="0" endX="-1" endY="0" centerX="0" centerY="0" clockwise="true"><LineDesc lineWidth="0.2" lineEnd="ROUND"/></Arc>`, .2*pi + .01*pi},
		{"whole circle", `<Arc startX="1" startY="0" endX="1" endY="0" centerX="0" centerY="0"><LineDesc lineWidth="0.2" lineEnd="ROUND"/></Arc>`, .4 * pi},
		{"circle tighter than its pen", `<Arc startX="0.05" startY="0" endX="0.05" endY="0" centerX="0" centerY="0"><LineDesc lineWidth="0.2" lineEnd="ROUND"/></Arc>`, .0225 * pi},
		{"hollow circle", `<Circle diameter="1">` + hollow + `</Circle>`, .1 * pi},
		{"hollow rectangle", `<RectCenter width="2" height="1">` + hollow + `</RectCenter>`, 2.1*1.1 - (4-pi)*.0025 - 1.9*.9},
		{"named size with a line", `<Circle diameter="1"><LineDesc lineWidth="0.1" lineEnd="ROUND"/></Circle>`, pi / 4},
		{"polygon with a line", `<Polygon>` + box("0", "0", "2", "1") + `<LineDesc lineWidth="0.1" lineEnd="ROUND"/></Polygon>`, 2.1*1.1 - (4-pi)*.0025},
		{"outline", `<Outline><Polygon>` + box("0", "0", "2", "1") + `</Polygon><LineDesc lineWidth="0.1" lineEnd="ROUND"/></Outline>`, 2.1*1.1 - (4-pi)*.0025 - 1.9*.9},
		{"user special", `<UserSpecial><Circle diameter="1"/><UserSpecial><RectCorner lowerLeftX="1" lowerLeftY="0" upperRightX="2" upperRightY="1"/></UserSpecial></UserSpecial>`, 1 + pi/4},
		{"void", `<UserSpecial><RectCenter width="2" height="2"/><RectCenter width="1" height="1"><FillDesc fillProperty="VOID"/></RectCenter></UserSpecial>`, 3},
	}
	for _, c := range cases {
		for how, xml := range map[string]string{
			"features": `<Features>` + c.xml + `</Features>`,
			"pad":      `<Pad><Location x="3" y="4"/>` + c.xml + `</Pad>`,
		} {
			d := made{features: xml}.read(t)
			if len(d.Layers[0].Objects) == 0 {
				t.Errorf("%s as %s: nothing painted: %v", c.name, how, d.Warnings)
				continue
			}
			// A quarter of a micrometre on half a millimetre is 7e-4 of an area.
			check.Approx(t, mm2(image(d.Layers[0].Objects)), c.want, check.Tol{Rel: 2e-3, Abs: 1e-6}, c.name+" as "+how)
		}
	}
}

// The side an arc bulges to tells clockwise from counter-clockwise.
func TestArcSense(t *testing.T) {
	for clockwise, high := range map[string]int64{"false": 1_000_000, "true": 0} {
		d := made{features: `<Features><Polygon><PolyBegin x="1" y="0"/><PolyStepCurve x="-1" y="0" centerX="0" centerY="0" clockwise="` + clockwise + `"/></Polygon></Features>`}.read(t)
		if b := image(d.Layers[0].Objects).Bounds(); b.Max.Y != high || b.Min.Y != high-1_000_000 {
			t.Errorf("clockwise=%s: reaches from y %d to %d", clockwise, b.Min.Y, b.Max.Y)
		}
	}
}

// Arcs stay within their tolerance of the true circle.
func TestArcError(t *testing.T) {
	d := made{features: `<Features><Arc startX="5" startY="0" endX="0" endY="5" centerX="0" centerY="0"><LineDesc lineWidth="0.2" lineEnd="NONE"/></Arc></Features>`}.read(t)
	for _, p := range d.Layers[0].Objects[0].Rings[0] {
		if p.X <= 0 || p.Y <= 0 {
			continue // in the round ends
		}
		r := math.Hypot(float64(p.X), float64(p.Y))
		if math.Abs(r-5.1e6) > 2 && math.Abs(r-4.9e6) > 2 {
			t.Fatalf("corner %v lies %.1f nm from the centre", p, r)
		}
	}
	check.Approx(t, mm2(image(d.Layers[0].Objects)), .25*math.Pi*(5.1*5.1-4.9*4.9)+math.Pi*.01, check.Tol{Rel: 2e-4}, "area of the arc")
}
