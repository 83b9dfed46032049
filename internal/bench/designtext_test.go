package bench

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/engine"
	"ohmward/unit"
)

// designText writes an opened board as IPC-2581, in one of its revisions and
// units: copper as contours by net, pads with pins, holes, parts, values,
// stack-up, mask, paste and both kinds of net list.
type designText struct {
	p    *engine.Board
	rev  string
	inch bool
	out  strings.Builder
}

// n writes nanometres in the file's unit, exactly.
func (w *designText) n(nm int64) string {
	if w.inch {
		return strconv.FormatFloat(float64(nm)/25.4e6, 'f', 12, 64)
	}
	return strconv.FormatFloat(float64(nm)/1e6, 'f', 6, 64)
}

func (w *designText) put(format string, args ...any) { fmt.Fprintf(&w.out, format, args...) }

func (w *designText) xy(names string, p geom.Point) string {
	x, y, _ := strings.Cut(names, " ")
	return fmt.Sprintf(`%s="%s" %s="%s"`, x, w.n(p.X), y, w.n(p.Y))
}

// steps writes a ring seen from a point.
func (w *designText) steps(ring geom.Ring, from geom.Point) {
	for i, q := range ring {
		q.X, q.Y = q.X-from.X, q.Y-from.Y
		kind := "PolyStepSegment"
		if i == 0 {
			kind = "PolyBegin"
		}
		w.put("<%s %s/>", kind, w.xy("x y", q))
	}
}

func (w *designText) contours(r geom.Region, from geom.Point) {
	for _, poly := range r {
		w.put("<Contour><Polygon>")
		w.steps(poly.Outer, from)
		w.put("</Polygon>")
		for _, hole := range poly.Holes {
			w.put("<Cutout>")
			w.steps(hole, from)
			w.put("</Cutout>")
		}
		w.put("</Contour>\n")
	}
}

func layerRef(i int) string { return fmt.Sprintf("L%d", i+1) }

func (w *designText) text() string {
	b := w.p.Layout
	units := "MILLIMETER"
	if w.inch {
		units = "INCH"
	}
	w.put(`<?xml version="1.0" encoding="UTF-8"?><IPC-2581 revision="%s"><Content><StepRef name="s"/></Content>`+"\n<Bom name=\"b\">", w.rev)
	for _, p := range b.Parts {
		w.put(`<BomItem OEMDesignNumberRef="i-%s"><RefDes name="%s" populate="%t"/>`, p.Ref, p.Ref, !p.Absent)
		w.put(`<Characteristics category="ELECTRICAL"><Textual textualCharacteristicName="Value" textualCharacteristicValue="%s"/></Characteristics></BomItem>`+"\n", p.Value)
	}
	w.put(`</Bom><Ecad name="RL-40"><CadHeader units="%s"/><CadData>`+"\n", units)
	w.layers()
	w.put(`<Step name="s" type="BOARD"><Profile>`)
	for i, ring := range b.Outline {
		if i == 0 {
			w.put("<Polygon>")
			w.steps(ring.Outer, geom.Point{})
			w.put("</Polygon>")
			for _, hole := range ring.Holes {
				w.put("<Cutout>")
				w.steps(hole, geom.Point{})
				w.put("</Cutout>")
			}
		}
	}
	w.put("</Profile>\n")
	w.parts()
	w.lists()
	w.copper()
	for side, name := range []string{"top", "bottom"} {
		for kind, sheet := range map[string]*geom.Region{"mask": b.Mask[side], "paste": b.Paste[side]} {
			if sheet != nil {
				w.put(`<LayerFeature layerRef="%s-%s"><Set><Features>`, kind, name)
				w.contours(*sheet, geom.Point{})
				w.put("</Features></Set></LayerFeature>\n")
			}
		}
	}
	w.holes()
	w.put("</Step></CadData></Ecad></IPC-2581>\n")
	return w.out.String()
}

func (w *designText) layers() {
	b := w.p.Layout
	nm := func(l unit.Length) int64 { return int64(math.Round(float64(l / unit.Micrometre * 1000))) }
	last := len(b.Layers) - 1
	for i := range b.Layers {
		side := "INTERNAL"
		if i == 0 {
			side = "TOP"
		} else if i == last {
			side = "BOTTOM"
		}
		w.put(`<Layer name="%s" layerFunction="SIGNAL" side="%s" polarity="POSITIVE"/>`, layerRef(i), side)
	}
	for _, side := range []string{"top", "bottom"} {
		w.put(`<Layer name="mask-%s" layerFunction="SOLDERMASK" side="%s"/><Layer name="paste-%s" layerFunction="SOLDERPASTE" side="%s"/>`,
			side, strings.ToUpper(side), side, strings.ToUpper(side))
	}
	w.put(`<Layer name="drill" layerFunction="DRILL" side="ALL"/>` + "\n" + `<Stackup name="st"><StackupGroup name="g">`)
	for i := range b.Layers {
		w.put(`<StackupLayer layerOrGroupRef="%s" thickness="%s" sequence="%d"/>`, layerRef(i), w.n(nm(b.Stack.Copper[i])), 2*i+1)
		if i < last {
			gap := b.Stack.Gap[i] - (b.Stack.Copper[i]+b.Stack.Copper[i+1])/2
			w.put(`<StackupLayer layerOrGroupRef="core%d" thickness="%s" sequence="%d"/>`, i, w.n(nm(gap)), 2*i+2)
		}
	}
	w.put("</StackupGroup></Stackup>\n")
}

// parts writes packages and places them; the demo has all parts on top.
func (w *designText) parts() {
	b := w.p.Layout
	for _, p := range b.Parts {
		w.put(`<Package name="p-%s"><Outline><Polygon>`, p.Ref)
		w.steps(p.Body, p.At)
		w.put(`</Polygon><LineDesc lineWidth="0" lineEnd="ROUND"/></Outline></Package>` + "\n")
		w.put(`<Component refDes="%s" packageRef="p-%s" part="i-%s" layerRef="%s"><Location %s/></Component>`+"\n",
			p.Ref, p.Ref, p.Ref, layerRef(int(p.Side)), w.xy("x y", p.At))
	}
}

func (w *designText) lists() {
	b := w.p.Layout
	for i := range w.p.Nets.Nets {
		n := &w.p.Nets.Nets[i]
		if n.Data == "" {
			continue
		}
		w.put(`<LogicalNet name="%s">`, n.Data)
		for _, k := range n.Pads {
			w.put(`<PinRef componentRef="%s" pin="%s"/>`, b.Pads[k].Ref, b.Pads[k].Pin)
		}
		w.put("</LogicalNet>\n<PhyNetGroup><PhyNet name=\"%s\">", n.Data)
		for _, k := range n.Pads {
			w.put(`<PhyNetPoint %s layerRef="%s"/>`, w.xy("x y", b.Pads[k].At), layerRef(b.Pads[k].Layer))
		}
		w.put("</PhyNet></PhyNetGroup>\n")
	}
}

// copper writes every polygon in its net, and the pads over them.
func (w *designText) copper() {
	b := w.p.Layout
	for l := range b.Layers {
		w.put(`<LayerFeature layerRef="%s">`+"\n", layerRef(l))
		for _, poly := range b.Layers[l].Copper {
			w.put(`<Set net="%s"><Features>`, w.netOf(l, poly))
			w.contours(geom.Region{poly}, geom.Point{})
			w.put("</Features></Set>\n")
		}
		for _, pad := range b.Pads {
			if pad.Layer == l {
				w.put(`<Set net="%s"><Pad><PinRef componentRef="%s" pin="%s"/><Location %s/>`, pad.Net, pad.Ref, pad.Pin, w.xy("x y", pad.At))
				w.contours(pad.Shape, pad.At)
				w.put("</Pad></Set>\n")
			}
		}
		w.put("</LayerFeature>\n")
	}
}

func (w *designText) netOf(layer int, poly geom.Polygon) string {
	for _, at := range (geom.Region{poly}).InsidePoints() {
		if id, ok := w.p.Nets.NetAt(layer, at); ok {
			return w.p.Nets.Nets[id].Data
		}
	}
	return ""
}

func (w *designText) holes() {
	w.put(`<LayerFeature layerRef="drill"><Set>` + "\n")
	for _, h := range w.p.Layout.Holes {
		status := map[bool]string{true: "PLATED", false: "NONPLATED"}[h.Plated]
		w.put(`<Hole name="h" diameter="%s" platingStatus="%s" %s><Span fromLayer="%s" toLayer="%s"/></Hole>`+"\n",
			w.n(h.Diameter), status, w.xy("x y", h.At), layerRef(h.First), layerRef(h.Last))
	}
	w.put("</Set></LayerFeature>\n")
}

func demoAsDesign(t *testing.T, rev string, inch bool) (*engine.Board, string) {
	t.Helper()
	p, err := engine.Open(t.Context(), engine.DemoName, withStore())
	if err != nil {
		t.Fatal(err)
	}
	w := &designText{p: p, rev: rev, inch: inch}
	return p, w.text()
}
