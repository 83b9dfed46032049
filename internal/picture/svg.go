package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"io"
	"strconv"
)

// svg writes the drawing as text.
type svg struct {
	out   bytes.Buffer
	clips int // the last one is open
}

func newSVG(w, h int) *svg {
	s := &svg{}
	fmt.Fprintf(&s.out,
		`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" `+
			`font-family="Go, Helvetica, Arial, sans-serif">`+"\n", w, h, w, h)
	fmt.Fprintf(&s.out, `<rect width="%d" height="%d" fill="%s"/>`+"\n", w, h, hex(paper))
	return s
}

func (s *svg) write(w io.Writer) error {
	if s.clips > 0 {
		s.out.WriteString("</g>\n")
	}
	s.out.WriteString("</svg>\n")
	_, err := w.Write(s.out.Bytes())
	return err
}

func (s *svg) clip(r rect) {
	if s.clips > 0 {
		s.out.WriteString("</g>\n")
	}
	s.clips++
	fmt.Fprintf(&s.out, `<clipPath id="c%d"><rect x="%s" y="%s" width="%s" height="%s"/></clipPath>`+"\n",
		s.clips, num(r.x), num(r.y), num(r.w), num(r.h))
	fmt.Fprintf(&s.out, `<g clip-path="url(#c%d)">`+"\n", s.clips)
}

func (s *svg) fill(paths []path, c color.NRGBA) {
	if len(paths) == 0 {
		return
	}
	s.out.WriteString(`<path d="`)
	for _, p := range paths {
		s.points(p)
		s.out.WriteByte('Z')
	}
	fmt.Fprintf(&s.out, `" fill="%s"%s/>`+"\n", hex(c), opacity("fill", c))
}

func (s *svg) points(p []pt) {
	for i, q := range p {
		verb := byte('L')
		if i == 0 {
			verb = 'M'
		}
		fmt.Fprintf(&s.out, "%c%s %s", verb, num(q.x), num(q.y))
	}
}

func (s *svg) disc(at pt, radius float64, c color.NRGBA) {
	fmt.Fprintf(&s.out, `<circle cx="%s" cy="%s" r="%s" fill="%s"%s/>`+"\n", num(at.x), num(at.y), num(radius),
		hex(c), opacity("fill", c))
}

func (s *svg) ring(at pt, radius, width float64, c color.NRGBA) {
	fmt.Fprintf(&s.out, `<circle cx="%s" cy="%s" r="%s" fill="none" stroke="%s" stroke-width="%s"%s/>`+"\n",
		num(at.x), num(at.y), num(radius), hex(c), num(width), opacity("stroke", c))
}

func (s *svg) line(pts []pt, closed bool, width float64, c color.NRGBA) {
	s.out.WriteString(`<path d="`)
	s.points(pts)
	if closed {
		s.out.WriteByte('Z')
	}
	fmt.Fprintf(&s.out,
		`" fill="none" stroke="%s" stroke-width="%s" stroke-linecap="round" stroke-linejoin="round"%s/>`+"\n",
		hex(c), num(width), opacity("stroke", c))
}

func (s *svg) text(at pt, a anchor, size float64, heavy bool, text string, c color.NRGBA) {
	weight := ""
	if heavy {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&s.out, `<text x="%s" y="%s" font-size="%s" text-anchor="%s"%s fill="%s">`,
		num(at.x), num(at.y), num(size), [...]string{"start", "middle", "end"}[a], weight, hex(c))
	xml.EscapeText(&s.out, []byte(text)) // a bytes.Buffer takes all
	s.out.WriteString("</text>\n")
}

// num prints a pixel coordinate to a hundredth.
func num(x float64) string {
	b := strconv.AppendFloat(nil, x, 'f', 2, 64)
	b = bytes.TrimRight(b, "0")
	b = bytes.TrimSuffix(b, []byte("."))
	if string(b) == "-0" || len(b) == 0 {
		return "0"
	}
	return string(b)
}

func hex(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func opacity(what string, c color.NRGBA) string {
	if c.A == 0xff {
		return ""
	}
	return fmt.Sprintf(` %s-opacity="%s"`, what, num(float64(c.A)/255))
}
