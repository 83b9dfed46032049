package ipc2581

import (
	"testing"

	"ohmward/geom"
)

// Slots turned, mirrored and scaled: ends and width worked out by hand from an
// oval of 1 by 3 mm, or the stadium outline (0,0) to (2,0) of 1 mm.
func TestPlacedSlots(t *testing.T) {
	const stadium = `<Outline><Polygon><PolyBegin x="0" y="-0.5"/><PolyStepSegment x="2" y="-0.5"/><PolyStepCurve x="2" y="0.5" centerX="2" centerY="0" clockwise="false"/>` +
		`<PolyStepSegment x="0" y="0.5"/><PolyStepCurve x="0" y="-0.5" centerX="0" centerY="0" clockwise="false"/></Polygon></Outline>`
	const oval = `<Oval width="1" height="3"/>`
	mm := geom.FromMM
	for _, c := range []struct {
		xml    string
		status string
		a, b   geom.Point // in either order
		wide   int64
		plated bool
	}{
		{`<Location x="5" y="5"/>` + oval, "PLATED", mm(5, 4), mm(5, 6), 1_000_000, true},
		{oval + `<Location x="5" y="5"/>`, "NONPLATED", mm(5, 4), mm(5, 6), 1_000_000, false},
		{`<Xform rotation="90"/><Location x="5" y="5"/>` + oval, "VIA", mm(4, 5), mm(6, 5), 1_000_000, true},
		{oval + `<Location x="5" y="5"/><Xform rotation="90" scale="0.5"/>`, "plated", mm(4.5, 5), mm(5.5, 5), 500_000, true},
		{stadium, "NONPLATED", mm(0, 0), mm(2, 0), 1_000_000, false},
		{`<Location x="5" y="5"/>` + stadium, "PLATED", mm(5, 5), mm(7, 5), 1_000_000, true},
		{`<Xform mirror="true"/><Location x="5" y="5"/>` + stadium, "PLATED", mm(5, 5), mm(3, 5), 1_000_000, true},
		{`<Xform rotation="-90"/><Location x="5" y="5"/>` + stadium, "PLATED", mm(5, 5), mm(5, 3), 1_000_000, true},
		{`<Xform xOffset="1" rotation="90"/><Location x="5" y="5"/>` + stadium, "PLATED", mm(5, 6), mm(5, 8), 1_000_000, true},
	} {
		d := made{more: `<LayerFeature layerRef="Drill"><Set><SlotCavity name="s" platingStatus="` + c.status + `">` + c.xml + `</SlotCavity></Set></LayerFeature>`}.read(t)
		if len(d.Holes) != 1 {
			t.Fatalf("%s: %d holes", c.xml, len(d.Holes))
		}
		h := d.Holes[0]
		near := func(a, b geom.Point) bool { return geom.Distance(a, b) < 2000 }
		if !(near(h.At, c.a) && near(h.To, c.b) || near(h.At, c.b) && near(h.To, c.a)) || max(h.Diameter-c.wide, c.wide-h.Diameter) > 1000 || h.Plated != c.plated {
			t.Errorf("%s: got %v to %v, %d wide, plated %v", c.xml, h.At, h.To, h.Diameter, h.Plated)
		}
		if warned(d, "no stadium") || warned(d, "plating status") {
			t.Errorf("%s: %v", c.xml, d.Warnings)
		}
	}
}

// What stands in a pad counts in any order, and its set may say nothing.
func TestPadInAnyOrder(t *testing.T) {
	pieces := []string{`<Xform rotation="90"/>`, `<Location x="4" y="6"/>`, `<RectCenter width="2" height="1"/>`, `<PinRef componentRef="U1" pin="7"/>`}
	for turn := range pieces {
		text := ""
		for i := range pieces {
			text += pieces[(i+turn)%len(pieces)]
		}
		d := made{more: `<LayerFeature layerRef="Bot"><Set><Pad>` + text + `</Pad></Set></LayerFeature>`}.read(t)
		o := d.Layers[1].Objects
		want := geom.Box{Min: geom.FromMM(3.5, 5), Max: geom.FromMM(4.5, 7)}
		if len(o) != 1 || !o[0].Dark || o[0].Ref != "U1" || o[0].Pin != "7" || o[0].Net != "" || o[0].At != geom.FromMM(4, 6) || image(o).Bounds() != want {
			t.Errorf("%s: got %+v", text, o)
		}
	}
}
