package main

import (
	"bytes"
	"fmt"
	"strings"
)

// What every file says of itself.
const (
	projectName = "RL-40"
	projectGUID = "6f687d77-6172-4d64-8d64-656d6f2d3430"
	projectRev  = "B"
	madeOn      = "2026-01-15T12:00:00+00:00" // fixed, so that files do not change
	vendor      = "ohmward"
	application = "demo generator"
	version     = "1"
)

// attribute is one object attribute: its name with the dot, and its fields.
type attribute struct{ name, value string }

// gerberWriter collects apertures and objects and writes a layer image. In
// it, coordinates are micrometres.
type gerberWriter struct {
	function, polarity string
	apertures          []string // definitions with their function, by D code − 10
	body               bytes.Buffer
	current            []attribute // object attributes in force
	tool               int
	clear              bool
}

func newGerber(function, polarity string) *gerberWriter {
	return &gerberWriter{function: function, polarity: polarity, tool: -1}
}

// escape writes what the syntax reserves as \uXXXX.
func escape(s string) string {
	var out strings.Builder
	for _, r := range s {
		if strings.ContainsRune(`%*,\`, r) {
			fmt.Fprintf(&out, `\u%04X`, r)
		} else {
			out.WriteRune(r)
		}
	}
	return out.String()
}

// attr makes an object attribute from plain fields.
func attr(name string, fields ...string) attribute {
	for i, f := range fields {
		fields[i] = escape(f)
	}
	return attribute{name, strings.Join(fields, ",")}
}

// mm prints micrometres as millimetres for aperture sizes.
func mm(um int) string { return fmt.Sprintf("%d.%03d", um/1000, um%1000) }

// xy prints a place in the file's 4.6 format.
func xy(p point) string { return fmt.Sprintf("X%d000Y%d000", p.x, p.y) }

// with sets the object attributes in force.
func (w *gerberWriter) with(want ...attribute) {
	for _, c := range w.current {
		kept := false
		for _, a := range want {
			kept = kept || a.name == c.name
		}
		if !kept {
			fmt.Fprintf(&w.body, "%%TD%s*%%\n", c.name)
		}
	}
	for _, a := range want {
		same := false
		for _, c := range w.current {
			same = same || a == c
		}
		if !same {
			fmt.Fprintf(&w.body, "%%TO%s,%s*%%\n", a.name, a.value)
		}
	}
	w.current = append([]attribute(nil), want...)
}

// setClear switches between dark and clear.
func (w *gerberWriter) setClear(clear bool) {
	if w.clear != clear {
		w.clear = clear
		fmt.Fprintf(&w.body, "%%LP%s*%%\n", map[bool]string{false: "D", true: "C"}[clear])
	}
}

// aperture finds or makes the aperture and selects it. The function may be
// empty.
func (w *gerberWriter) aperture(shape, function string) {
	def := function + "|" + shape
	code := -1
	for i, d := range w.apertures {
		if d == def {
			code = i
		}
	}
	if code < 0 {
		code = len(w.apertures)
		w.apertures = append(w.apertures, def)
	}
	if code != w.tool {
		w.tool = code
		fmt.Fprintf(&w.body, "D%d*\n", code+10)
	}
}

func (w *gerberWriter) flash(p point) { fmt.Fprintf(&w.body, "%sD03*\n", xy(p)) }

func (w *gerberWriter) line(a, b point) {
	fmt.Fprintf(&w.body, "%sD02*\n%sD01*\n", xy(a), xy(b))
}

// region fills a ring.
func (w *gerberWriter) region(ring []point) {
	w.body.WriteString("G36*\n")
	w.chain(ring)
	w.body.WriteString("G37*\n")
}

// chain draws along a closed ring.
func (w *gerberWriter) chain(ring []point) {
	fmt.Fprintf(&w.body, "%sD02*\n", xy(ring[0]))
	for _, p := range ring[1:] {
		fmt.Fprintf(&w.body, "%sD01*\n", xy(p))
	}
	fmt.Fprintf(&w.body, "%sD01*\n", xy(ring[0]))
}

// bytes gives the finished file.
func (w *gerberWriter) bytes() []byte {
	w.with()
	var out bytes.Buffer
	fmt.Fprintf(&out, "%%TF.GenerationSoftware,%s,%s,%s*%%\n", vendor, application, version)
	fmt.Fprintf(&out, "%%TF.CreationDate,%s*%%\n", madeOn)
	fmt.Fprintf(&out, "%%TF.ProjectId,%s,%s,%s*%%\n", projectName, projectGUID, projectRev)
	fmt.Fprintf(&out, "%%TF.SameCoordinates,%s*%%\n", projectName)
	fmt.Fprintf(&out, "%%TF.Part,Single*%%\n%%TF.FileFunction,%s*%%\n", w.function)
	if w.polarity != "" {
		fmt.Fprintf(&out, "%%TF.FilePolarity,%s*%%\n", w.polarity)
	}
	out.WriteString("%FSLAX46Y46*%\n%MOMM*%\nG01*\nG75*\n")
	last := ""
	for i, d := range w.apertures {
		function, shape, _ := strings.Cut(d, "|")
		if function != last && last != "" {
			out.WriteString("%TD.AperFunction*%\n")
		}
		if function != last && function != "" {
			fmt.Fprintf(&out, "%%TA.AperFunction,%s*%%\n", function)
		}
		last = function
		fmt.Fprintf(&out, "%%ADD%d%s*%%\n", i+10, shape)
	}
	if last != "" {
		out.WriteString("%TD.AperFunction*%\n")
	}
	out.WriteString("%LPD*%\n")
	out.Write(w.body.Bytes())
	out.WriteString("M02*\n")
	return out.Bytes()
}
