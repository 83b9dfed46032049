package main

import (
	"bytes"
	"fmt"
)

// image collects one layer's apertures and objects.
type image struct {
	apertures []string
	body      bytes.Buffer
	chosen    string
	attrs     [2]string // .N and .P in force
}

func mm(um int) string { return fmt.Sprintf("%d.%03d", um/1000, um%1000) }

// xy prints a place in the 4.6 format.
func xy(p point) string { return fmt.Sprintf("X%d000Y%d000", p.x, p.y) }

// polarity switches to dark (D) or clear (C).
func (m *image) polarity(p byte) { fmt.Fprintf(&m.body, "%%LP%c*%%\n", p) }

// of sets the net and the pin of what follows; "" is none.
func (m *image) of(net, pin string) {
	for i, name := range []string{".N", ".P"} {
		want := []string{net, pin}[i]
		switch {
		case want == m.attrs[i]:
		case want == "":
			fmt.Fprintf(&m.body, "%%TD%s*%%\n", name)
		default:
			fmt.Fprintf(&m.body, "%%TO%s,%s*%%\n", name, want)
		}
		m.attrs[i] = want
	}
}

// choose selects an aperture, defining it on first use.
func (m *image) choose(shape string) {
	if shape == m.chosen {
		return
	}
	m.chosen = shape
	for i, a := range m.apertures {
		if a == shape {
			fmt.Fprintf(&m.body, "D%d*\n", i+10)
			return
		}
	}
	m.apertures = append(m.apertures, shape)
	fmt.Fprintf(&m.body, "D%d*\n", len(m.apertures)+9)
}

func (m *image) flash(shape string, at point) {
	m.choose(shape)
	fmt.Fprintf(&m.body, "%sD03*\n", xy(at))
}

func (m *image) line(width int, through ...point) {
	m.choose("C," + mm(width))
	m.path(through)
}

func (m *image) path(through []point) {
	fmt.Fprintf(&m.body, "%sD02*\n", xy(through[0]))
	for _, p := range through[1:] {
		fmt.Fprintf(&m.body, "%sD01*\n", xy(p))
	}
}

// rectangle fills a region between two corners.
func (m *image) rectangle(a, b point) {
	m.body.WriteString("G36*\n")
	m.path([]point{a, {b.x, a.y}, b, {a.x, b.y}, a})
	m.body.WriteString("G37*\n")
}

// file gives the finished image.
func (m *image) file(function string) []byte {
	m.of("", "")
	var out bytes.Buffer
	fmt.Fprintf(&out, "%%TF.GenerationSoftware,ohmward,reference*%%\n%%TF.SameCoordinates,FS-8*%%\n")
	fmt.Fprintf(&out, "%%TF.FileFunction,%s*%%\n%%TF.FilePolarity,Positive*%%\n", function)
	out.WriteString("%FSLAX46Y46*%\n%MOMM*%\nG01*\nG75*\n")
	for i, a := range m.apertures {
		fmt.Fprintf(&out, "%%ADD%d%s*%%\n", i+10, a)
	}
	out.Write(m.body.Bytes())
	out.WriteString("M02*\n")
	return out.Bytes()
}

func profileFile() []byte {
	var m image
	m.line(100, point{0, 0}, point{boardW, 0}, point{boardW, boardH}, point{0, boardH}, point{0, 0})
	return m.file("Profile,NP")
}
