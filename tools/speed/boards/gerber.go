package boards

import (
	"bufio"
	"fmt"
	"io"
	"math"
)

// layerWriter writes one Gerber X2 file.
type layerWriter struct {
	*bufio.Writer
	aperture int
	clear    bool
	at       point
	placed   bool
}

// attributes of an object; empty values are left out.
type attributes struct{ net, ref, pin string }

func newLayer(w io.Writer, function string) *layerWriter {
	l := &layerWriter{Writer: bufio.NewWriter(w)}
	fmt.Fprintf(l,
		"%%TF.GenerationSoftware,ohmward,boards*%%\n%%TF.FileFunction,%s*%%\n%%TF.FilePolarity,Positive*%%\n",
		function)
	l.WriteString("%FSLAX46Y46*%\n%MOMM*%\n")
	l.WriteString("%AMROUND*\n21,1,$1,$2-$3-$3,0,0,0*\n21,1,$1-$3-$3,$2,0,0,0*\n" +
		"1,1,$3+$3,$1/2-$3,$2/2-$3*\n1,1,$3+$3,$3-$1/2,$2/2-$3*\n1,1,$3+$3,$1/2-$3,$3-$2/2*\n1,1,$3+$3,$3-$1/2,$3-$2/2*%\n")
	function = ".AperFunction"
	fmt.Fprintf(l, "%%TA%s,Conductor*%%\n%%ADD%dC,0.100*%%\n", function, apTrack)
	fmt.Fprintf(l, "%%TA%s,ViaPad*%%\n%%ADD%dC,0.450*%%\n", function, apVia)
	fmt.Fprintf(l,
		"%%TA%s,SMDPad,CuDef*%%\n%%ADD%dROUND,0.260X0.900X0.060*%%\n%%ADD%dROUND,0.500X0.500X0.120*%%\n%%TD*%%\n",
		function, apPad, apSmall)
	fmt.Fprintf(l, "%%ADD%dC,0.400*%%\n%%ADD%dC,0.750*%%\n", apClearTrack, apClearVia)
	fmt.Fprintf(l, "%%ADD%dROUND,0.560X1.200X0.210*%%\n%%ADD%dROUND,0.800X0.800X0.270*%%\n", apClearPad,
		apClearSmall)
	fmt.Fprintf(l, "%%ADD%dC,0.120*%%\n%%ADD%dC,0.050*%%\nG01*\nG75*\n", apText, apOutline)
	return l
}

func (l *layerWriter) polarity(clear bool) {
	if l.clear != clear {
		l.clear = clear
		fmt.Fprintf(l, "%%LP%s*%%\n", map[bool]string{false: "D", true: "C"}[clear])
	}
}

func (l *layerWriter) attributes(a attributes) {
	l.WriteString("%TD*%\n")
	if a.net != "" {
		fmt.Fprintf(l, "%%TO.N,%s*%%\n", a.net)
	}
	if a.ref != "" {
		fmt.Fprintf(l, "%%TO.P,%s,%s*%%\n", a.ref, a.pin)
	}
}

func (l *layerWriter) take(aperture int) {
	if l.aperture != aperture {
		l.aperture = aperture
		fmt.Fprintf(l, "D%d*\n", aperture)
	}
}

func (l *layerWriter) flash(aperture int, at point) {
	l.take(aperture)
	fmt.Fprintf(l, "X%dY%dD03*\n", at.x, at.y)
	l.at, l.placed = at, true
}

func (l *layerWriter) move(to point) {
	if !l.placed || l.at != to {
		fmt.Fprintf(l, "X%dY%dD02*\n", to.x, to.y)
		l.at, l.placed = to, true
	}
}

func (l *layerWriter) line(to point) {
	if l.at != to {
		fmt.Fprintf(l, "X%dY%dD01*\n", to.x, to.y)
		l.at = to
	}
}

func (l *layerWriter) stroke(aperture int, way []point) {
	l.take(aperture)
	l.move(way[0])
	for _, p := range way[1:] {
		l.line(p)
	}
}

// arc goes round a centre, clockwise or not, to a point.
func (l *layerWriter) arc(to, centre point, clockwise bool) {
	g := 3
	if clockwise {
		g = 2
	}
	fmt.Fprintf(l, "G0%d*\nX%dY%dI%dJ%dD01*\nG01*\n", g, to.x, to.y, centre.x-l.at.x, centre.y-l.at.y)
	l.at = to
}

// begin opens a region at a point.
func (l *layerWriter) begin(at point) {
	fmt.Fprint(l, "G36*\n")
	l.placed = false
	l.move(at)
}

func (l *layerWriter) end() { fmt.Fprint(l, "G37*\n") }

// close writes the end of the file.
func (l *layerWriter) close() error {
	l.WriteString("%TD*%\nM02*\n")
	return l.Flush()
}

// round draws the contour of a rectangle with rounded corners, counter-clockwise.
func (l *layerWriter) round(lo, hi point, r int64) {
	l.move(point{lo.x + r, lo.y})
	l.line(point{hi.x - r, lo.y})
	l.arc(point{hi.x, lo.y + r}, point{hi.x - r, lo.y + r}, false)
	l.line(point{hi.x, hi.y - r})
	l.arc(point{hi.x - r, hi.y}, point{hi.x - r, hi.y - r}, false)
	l.line(point{lo.x + r, hi.y})
	l.arc(point{lo.x, hi.y - r}, point{lo.x + r, hi.y - r}, false)
	l.line(point{lo.x, lo.y + r})
	l.arc(point{lo.x + r, lo.y}, point{lo.x + r, lo.y + r}, false)
}

// towards is the point of a circle on the way to another point.
func towards(centre, to point, radius float64) point {
	dx, dy := float64(to.x-centre.x), float64(to.y-centre.y)
	f := radius / math.Hypot(dx, dy)
	return point{centre.x + int64(math.Round(dx*f)), centre.y + int64(math.Round(dy*f))}
}

// holed draws a square with round holes as one contour: a cut leads from the
// lower left corner to the first hole, half round it, on to the next, and back
// along the other halves.
func (l *layerWriter) holed(lo, hi point, centres []point, radius int64) {
	l.begin(lo)
	r := float64(radius)
	before := lo
	var back []point // where each hole was entered
	for i, c := range centres {
		in := towards(c, before, r)
		l.line(in)
		back = append(back, in)
		if i+1 < len(centres) {
			l.arc(towards(c, centres[i+1], r), c, true)
		} else {
			l.arc(in, c, true)
		}
		before = c
	}
	for i := len(centres) - 2; i >= 0; i-- {
		l.line(towards(centres[i], centres[i+1], r))
		l.arc(back[i], centres[i], true)
	}
	for _, p := range []point{lo, {hi.x, lo.y}, hi, {lo.x, hi.y}, lo} {
		l.line(p)
	}
	l.end()
}
