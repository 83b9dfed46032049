package ipc2581

import (
	"io"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

func prefixed(text string) io.Reader {
	text = regexp.MustCompile(`<(/?)([A-Z])`).ReplaceAllString(text, "<${1}i:$2")
	return strings.NewReader(strings.ReplaceAll(text, "xmlns=", "xmlns:i="))
}

func names(d *Design) (out []string) {
	for _, l := range d.Layers {
		out = append(out, l.Name+"/"+l.Side)
	}
	return out
}

const four = `<Layer name="D" layerFunction="CONDUCTOR" side="BOTTOM"/><Layer name="B" layerFunction="PLANE" side="INTERNAL"/>
<Layer name="A" layerFunction="SIGNAL" side="TOP"/><Layer name="C" layerFunction="MIXED" side="INTERNAL"/>
<Layer name="pp" layerFunction="DIELPREG"/><Layer name="core" layerFunction="DIELCORE"/><Layer name="Top" layerFunction="SOLDERMASK" side="TOP"/>
<Layer name="dr" layerFunction="DRILL"><Span fromLayer="B" toLayer="D"/></Layer>`

func rows(list ...string) string {
	out := ""
	for i := 0; i < len(list); i += 3 {
		out += `<StackupLayer layerOrGroupRef="` + list[i] + `" thickness="` + list[i+1] + `" sequence="` + list[i+2] + `"/>`
	}
	return out
}

func TestStack(t *testing.T) {
	forward := rows("D", ".035", "7", "pp", ".2", "6", "C", ".017", "5", "core", "1", "4", "B", ".018", "3", "pp", ".1", "2", "A", ".036", "1")
	wrap := func(groups ...string) string {
		return `<Stackup name="s" overallThickness="1.4" whereMeasured="METAL"><StackupGroup name="g">` + strings.Join(groups, `</StackupGroup><StackupGroup name="h">`) + `</StackupGroup></Stackup>`
	}
	cases := []struct {
		name, stack, says string
		thick, below      []int64
	}{
		{"by sequence", wrap(forward), "", []int64{36000, 18000, 17000, 35000}, []int64{100000, 1000000, 200000, 0}},
		{"from the bottom", wrap(rows("D", ".035", "1", "pp", ".2", "2", "C", ".017", "3", "core", "1", "4", "B", ".018", "5", "pp", ".1", "6", "A", ".036", "7")),
			"turned over", []int64{36000, 18000, 17000, 35000}, []int64{100000, 1000000, 200000, 0}},
		{"a group inside another", wrap(rows("h", "0", "2", "A", ".036", "1", "D", ".035", "3"), rows("C", ".017", "3", "B", ".018", "1", "core", "1", "2")),
			"", []int64{36000, 18000, 17000, 35000}, []int64{0, 1000000, 0, 0}},
		{"two groups in one count", wrap(rows("D", ".035", "9", "C", ".017", "4"), rows("A", ".036", "1", "B", ".018", "2", "core", "1", "3")),
			"", []int64{36000, 18000, 17000, 35000}, []int64{0, 1000000, 0, 0}},
		{"none", " ", "no stack-up", []int64{0, 0, 0, 0}, []int64{0, 0, 0, 0}},
	}
	for _, c := range cases {
		d := made{layers: four, stack: c.stack}.read(t)
		if want := []string{"A/TOP", "B/INTERNAL", "C/INTERNAL", "D/BOTTOM"}; !reflect.DeepEqual(names(d), want) {
			t.Errorf("%s: got %v, want %v", c.name, names(d), want)
		}
		for i, l := range d.Layers {
			if l.Thickness != c.thick[i] || l.Below != c.below[i] {
				t.Errorf("%s: layer %s is %d nm with %d below, want %d and %d", c.name, l.Name, l.Thickness, l.Below, c.thick[i], c.below[i])
			}
		}
		if c.says != "" && !warned(d, c.says) {
			t.Errorf("%s: no warning of %q in %v", c.name, c.says, d.Warnings)
		}
	}
}

func TestHoles(t *testing.T) {
	d := made{layers: four + `<Layer name="all" layerFunction="DRILL"/>`, stack: " ", more: `
<LayerFeature layerRef="dr"><Set net="N"><Hole name="h" diameter="0.3" platingStatus="VIA" x="1" y="2"/></Set></LayerFeature>
<LayerFeature layerRef="all"><Set><Hole name="h" diameter="3.2" platingStatus="NONPLATED" x="5" y="5"/>
<SlotCavity name="s" platingStatus="PLATED"><Location x="7" y="7"/><Oval width="1" height="2.5"/></SlotCavity>
<SlotCavity name="s" platingStatus="NONPLATED"><Outline><Polygon>` + box("1", "8", "4", "9") + `</Polygon></Outline></SlotCavity></Set></LayerFeature>`}.read(t)
	mm := geom.FromMM
	want := []Hole{
		{At: mm(1, 2), To: mm(1, 2), Diameter: 300_000, Plated: true, Status: "VIA", First: 1, Last: 3, Net: "N"},
		{At: mm(5, 5), To: mm(5, 5), Diameter: 3_200_000, Status: "NONPLATED", Last: 3},
		{At: mm(7, 6.25), To: mm(7, 7.75), Diameter: 1_000_000, Plated: true, Status: "PLATED", Last: 3},
		{At: mm(1.5, 8.5), To: mm(3.5, 8.5), Diameter: 1_000_000, Status: "NONPLATED", Last: 3},
	}
	if len(d.Holes) != len(want) {
		t.Fatalf("got %d holes, want %d: %+v", len(d.Holes), len(want), d.Holes)
	}
	for i, h := range d.Holes {
		if outlined := h.Outline != nil; outlined != (i > 1) {
			t.Errorf("hole %d: outline %v", i, h.Outline)
		}
		h.Line, h.Outline = 0, nil
		if h.At.Y > h.To.Y {
			h.At, h.To = h.To, h.At
		}
		if !reflect.DeepEqual(h, want[i]) {
			t.Errorf("hole %d: got %+v, want %+v", i, h, want[i])
		}
	}
	if !warned(d, "no stadium") {
		t.Errorf("a rectangular slot is not told of: %v", d.Warnings)
	}
}

// A span may end on a mask or a dielectric: it then holds the copper between.
func TestSpans(t *testing.T) {
	cases := []struct {
		from, to    string
		first, last int
	}{
		{"A", "B", 0, 1}, {"D", "C", 2, 3}, {"m", "B", 0, 1}, {"core", "D", 2, 3}, {"B", "core", 1, 1}, {"m", "n", 0, 3}, {"n", "m", 0, 3}, {"A", "?", 0, 3},
	}
	for _, c := range cases {
		d := made{layers: four + `<Layer name="x" layerFunction="DRILL"><Span fromLayer="` + c.from + `" toLayer="` + c.to + `"/></Layer>`,
			stack: `<Stackup><StackupGroup>` + rows("m", "0", "0", "A", "0", "1", "B", "0", "2", "core", "1", "3", "C", "0", "4", "D", "0", "5", "n", "0", "6") + `</StackupGroup></Stackup>`,
			more:  `<LayerFeature layerRef="x"><Set><Hole diameter="1" platingStatus="VIA" x="0" y="0"/></Set></LayerFeature>`}.read(t)
		if h := d.Holes[0]; h.First != c.first || h.Last != c.last {
			t.Errorf("from %s to %s: got %d to %d, want %d to %d", c.from, c.to, h.First, h.Last, c.first, c.last)
		}
	}
}

const via = `<PadStackDef name="via"><PadstackHoleDef name="h" diameter="0.2" platingStatus="VIA" x="0" y="0"/>
<PadstackPadDef layerRef="Top" padUse="REGULAR"><Location x="0" y="0"/><Circle diameter="0.5"/></PadstackPadDef>
<PadstackPadDef layerRef="Top" padUse="ANTIPAD"><Location x="0" y="0"/><Circle diameter="0.9"/></PadstackPadDef></PadStackDef>`

// A pad that names no primitive is its pad stack's; its hole counts where no
// drill layer holds one, and is missed where others are held.
func TestPadStack(t *testing.T) {
	pad := `<Pad padstackDefRef="via"><Location x="2" y="3"/></Pad>`
	d := made{step: via, features: pad}.read(t)
	o := d.Layers[0].Objects[0]
	check.Approx(t, mm2(image(d.Layers[0].Objects)), 3.14159265/16, check.Tol{Rel: 3e-3}, "area")
	if !o.IsPad || o.At != geom.FromMM(2, 3) || o.Net != "A" {
		t.Errorf("got pad %+v", o)
	}
	if len(d.Holes) != 1 || d.Holes[0].Diameter != 200_000 || !d.Holes[0].Plated || d.Holes[0].Net != "A" || !warned(d, "taken from the pad stacks") {
		t.Errorf("got holes %+v and %v", d.Holes, d.Warnings)
	}
	drill := `<LayerFeature layerRef="Drill"><Set><Hole diameter="0.2" platingStatus="VIA" x="%" y="3"/></Set></LayerFeature>`
	d = made{step: via, features: pad, more: strings.Replace(drill, "%", "2.0000004", 1)}.read(t)
	if len(d.Holes) != 1 || warned(d, "that no drill layer holds") {
		t.Errorf("got holes %+v and %v", d.Holes, d.Warnings)
	}
	d = made{step: via, features: pad, more: strings.Replace(drill, "%", "4", 1)}.read(t)
	if len(d.Holes) != 1 || !warned(d, "1 pads have a hole in their pad stack that no drill layer holds; the first at (2.000, 3.000) mm") {
		t.Errorf("got holes %+v and %v", d.Holes, d.Warnings)
	}
}

// The older element places whole stacks in the step.
func TestOldPadStack(t *testing.T) {
	d := made{step: `<PadStack net="V"><LayerHole name="h" diameter="0.2" platingStatus="PLATED" x="1" y="1"><Span fromLayer="Top" toLayer="Top"/></LayerHole>
<LayerPad layerRef="Top"><Location x="1" y="1"/><RectCenter width="1" height="1"/><PinRef componentRef="U1" pin="3"/></LayerPad></PadStack>`}.read(t)
	o := d.Layers[0].Objects
	if len(o) != 1 || o[0].Net != "V" || o[0].Ref != "U1" || o[0].Pin != "3" || mm2(image(o)) != 1 {
		t.Errorf("got %+v", o)
	}
	if len(d.Holes) != 1 || d.Holes[0].Last != 0 || d.Holes[0].Net != "V" {
		t.Errorf("got %+v", d.Holes)
	}
}

// Negative sets clear; a negative layer is flooded and what it holds clears.
func TestPolarity(t *testing.T) {
	d := made{
		features: `<Features>` + `<Polygon>` + box("1", "1", "4", "4") + `</Polygon></Features>`,
		more: `<LayerFeature layerRef="Top"><Set polarity="NEGATIVE"><Features><Polygon>` + box("2", "2", "3", "3") + `</Polygon></Features></Set></LayerFeature>
<LayerFeature layerRef="Bot"><Set polarity="POSITIVE"><Features><Polygon>` + box("2", "2", "4", "4") + `</Polygon></Features></Set>
<Set polarity="NEGATIVE"><Features><Polygon>` + box("2", "2", "3", "3") + `</Polygon></Features></Set></LayerFeature>`,
		layers: `<Layer name="Top" layerFunction="SIGNAL" side="TOP"/><Layer name="Bot" layerFunction="PLANE" side="BOTTOM" polarity="NEGATIVE"/>`,
	}.read(t)
	check.Approx(t, mm2(image(d.Layers[0].Objects)), 8, check.Tol{Abs: 1e-9}, "positive layer")
	check.Approx(t, mm2(image(d.Layers[1].Objects)), 97, check.Tol{Abs: 1e-9}, "negative layer")
	if !d.Layers[1].Negative || d.Layers[1].Objects[0].Usage != "PLANE" {
		t.Errorf("the flood is not told of: %+v", d.Layers[1].Objects[0])
	}
}

// Mask openings are the same whatever polarity the layer claims.
func TestMask(t *testing.T) {
	for _, polarity := range []string{"POSITIVE", "NEGATIVE"} {
		d := made{
			layers: `<Layer name="Top" layerFunction="SIGNAL" side="TOP"/><Layer name="m" layerFunction="SOLDERMASK" side="BOTTOM" polarity="` + polarity + `"/><Layer name="p" layerFunction="SOLDERPASTE" side="TOP"/>`,
			more: `<LayerFeature layerRef="m"><Set><Features><RectCenter width="2" height="1"/></Features></Set></LayerFeature>
<LayerFeature layerRef="p"><Set><Features><RectCenter width="1" height="1"/></Features></Set></LayerFeature>`,
		}.read(t)
		if mm2(image(d.Mask.Bottom)) != 2 || len(d.Mask.Top) != 0 || mm2(image(d.Paste.Top)) != 1 || len(d.Paste.Bottom) != 0 {
			t.Errorf("%s: got %+v and %+v", polarity, d.Mask, d.Paste)
		}
	}
}
