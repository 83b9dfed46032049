package ipc2581

import (
	"reflect"
	"strings"
	"testing"

	"ohmward/geom"
)

const parts = `<Package name="P"><Outline><Polygon>` +
	`<PolyBegin x="0" y="0"/><PolyStepSegment x="3" y="0"/><PolyStepSegment x="0" y="1"/></Polygon><LineDesc lineWidth="0.1" lineEnd="ROUND"/></Outline>
<AssemblyDrawing><Outline><Polygon><PolyBegin x="9" y="9"/><PolyStepSegment x="8" y="9"/><PolyStepSegment x="8" y="8"/></Polygon></Outline></AssemblyDrawing>
<Pin number="1"><Location x="3" y="0"/><Circle diameter="0.5"/></Pin><Pin number="2"><Location x="0" y="1"/></Pin></Package>
<Component refDes="R1" packageRef="P" part="item1" layerRef="Top" mountType="SMT"><Xform rotation="90"/><Location x="5" y="5"/></Component>
<Component refDes="R2" packageRef="P" part="item2" layerRef="Bot" mountType="THMT"><Xform rotation="90" mirror="true"/><Location x="5" y="5"/></Component>`

const bom = `<Bom name="b"><BomItem OEMDesignNumberRef="item1"><RefDes name="R1" populate="true"/>
<Characteristics category="ELECTRICAL"><Textual textualCharacteristicName="Resistance" textualCharacteristicValue="9k"/><Textual textualCharacteristicName="VALUE" textualCharacteristicValue="10k"/></Characteristics></BomItem>
<BomItem OEMDesignNumberRef="item2"><RefDes name="R2" populate="false"/><Characteristics><Enumerated enumeratedCharacteristicName="Value" enumeratedCharacteristicValue="0R"/></Characteristics></BomItem></Bom>`

// A part at the bottom: the turn comes first, then the mirror, so that its
// pin 1 at (3,0) goes to (0,3) either way, and pin 2 at (0,1) to (-1,0) on
// the top but (1,0) at the bottom.
func TestComponents(t *testing.T) {
	d := made{step: parts, bom: bom}.read(t)
	mm := geom.FromMM
	want := []Component{
		{Ref: "R1", Package: "P", Part: "item1", Value: "10k", Mount: "SMT", Side: "TOP", At: mm(5, 5), Rotation: 90,
			Body: geom.Ring{mm(5, 5), mm(5, 8), mm(4, 5)}, Pins: []Pin{{"1", mm(5, 8)}, {"2", mm(4, 5)}}},
		{Ref: "R2", Package: "P", Part: "item2", Value: "0R", Mount: "THMT", Side: "BOTTOM", At: mm(5, 5), Rotation: 90, Mirror: true,
			Body: geom.Ring{mm(6, 5), mm(5, 8), mm(5, 5)}, Pins: []Pin{{"1", mm(5, 8)}, {"2", mm(6, 5)}}, Absent: true},
	}
	for i := range d.Components {
		d.Components[i].Line = 0
	}
	if !reflect.DeepEqual(d.Components, want) {
		t.Errorf("got %+v\nwant %+v", d.Components, want)
	}
}

func TestNets(t *testing.T) {
	pad := func(pin string) string {
		return `<Pad><Location x="1" y="1"/><Circle diameter="1"/><PinRef componentRef="R1" pin="` + pin + `"/></Pad>`
	}
	d := made{
		step: `<LogicalNet name="A" netClass="POWER"><PinRef componentRef="R2" pin="1"/><PinRef componentRef="R1" pin="1"/></LogicalNet>
<LogicalNet name="B"><PinRef componentRef="R1" pin="2"/><PinRef componentRef="R1" pin="3"/></LogicalNet>
<PhyNetGroup name="g"><PhyNet name="A"><PhyNetPoint x="1" y="2" layerRef="Top" netNode="END" exposure="EXPOSED"><PinRef componentRef="R1" pin="1"/></PhyNetPoint></PhyNet></PhyNetGroup>`,
		features: pad("1") + pad("2"),
		more:     `<LayerFeature layerRef="Top"><Set>` + pad("3") + `<NetShort name="s"><NetRef name="A"/><NetRef name="B"/></NetShort></Set></LayerFeature>`,
	}.read(t)
	if want := map[string][]string{"A": {"R1.1", "R2.1"}, "B": {"R1.2", "R1.3"}}; !d.NetsDeclared || !reflect.DeepEqual(d.NetPins, want) {
		t.Errorf("got %v", d.NetPins)
	}
	if !warned(d, `the pad of pin R1.2 is drawn in net "A" but listed in "B"`) {
		t.Errorf("a pad in the wrong net is not told of: %v", d.Warnings)
	}
	if got := d.Layers[0].Objects[2].Net; got != "B" {
		t.Errorf("a pad without net is named %q by its pin", got)
	}
	for i := range d.Points {
		if ref, pin := d.Points[i].Part(); ref != "R1" || pin != "1" || d.Points[i].Line != 16 {
			t.Errorf("point %d is of %q, %q, line %d", i, ref, pin, d.Points[i].Line)
		}
		d.Points[i].Line, d.Points[i].ref = 0, 0
	}
	if want := []NetPoint{{Net: "A", Layer: "Top", At: geom.FromMM(1, 2), Pin: "R1.1"}}; !reflect.DeepEqual(d.Points, want) {
		t.Errorf("got %v", d.Points)
	}
	if d.NetClass["A"] != "POWER" || len(d.Shorts) != 1 || !reflect.DeepEqual(d.Shorts[0].Nets, []string{"A", "B"}) {
		t.Errorf("got %v and %v", d.NetClass, d.Shorts)
	}
}

// A panel stands beside the board it repeats, in either order.
func TestPanel(t *testing.T) {
	text := made{features: `<Features><Circle diameter="1"/></Features>`}.text()
	panel := `<Step name="panel" type="PALLET"><StepRepeat stepRef="board" x="0" y="0" nx="3" ny="2" dx="20" dy="20"/>
<LayerFeature layerRef="Top"><Set><Features><Circle diameter="9"/></Features></Set></LayerFeature></Step>`
	for _, with := range []string{strings.Replace(text, `<Step name`, panel+`<Step name`, 1), strings.Replace(text, `</Step>`, `</Step>`+panel, 1)} {
		d, err := Read(strings.NewReader(with), "p.xml")
		if err != nil {
			t.Fatal(err)
		}
		if d.Step != "board" || len(d.Repeats) != 1 || d.Repeats[0].NX != 3 || d.Repeats[0].NY != 2 || !warned(d, "is a panel") {
			t.Errorf("got step %q, %+v, %v", d.Step, d.Repeats, d.Warnings)
		}
	}
}

// Two boards in one file: the first is read, and that is given.
func TestTwoBoards(t *testing.T) {
	text := made{features: `<Features><Circle diameter="1"/></Features>`}.text()
	other := `<Step name="other" type="BOARD"><LayerFeature layerRef="Top"><Set><Features><Circle diameter="9"/></Features></Set></LayerFeature></Step>`
	d, err := Read(strings.NewReader(strings.Replace(text, `</Step>`, `</Step>`+other, 1)), "p.xml")
	if err != nil || d.Step != "board" || !warned(d, "holds 2 boards") {
		t.Errorf("got %v, %+v", err, d)
	}
}

// Zones of a rigid-flex board are told of.
func TestRigidFlex(t *testing.T) {
	d := made{layers: four + `<Layer name="st" layerFunction="STIFFENER" side="BOTTOM"/>`}.read(t)
	if !warned(d, "rigid-flex") {
		t.Errorf("got %v", d.Warnings)
	}
}

// What is not fitted is told by the part's own mark, by a characteristic of the
// line, whichever way it asks, or by a quantity of nought.
func TestNotFitted(t *testing.T) {
	for _, c := range []struct {
		item, ref, name, value string
		absent                 bool
	}{
		{"", "", "Value", "0R", false}, {"", ` populate="true"`, "Value", "0R", false}, {"", ` populate="false"`, "Value", "0R", true},
		{` quantity="0"`, "", "Value", "0R", true}, {` quantity="1"`, "", "Value", "0R", false},
		{"", "", "DNP", "true", true}, {"", "", "DNP", "false", false}, {"", "", "Do Not Populate", "x", true}, {"", "", "DNP", "", false},
		{"", ` populate="true"`, "Fitted", "No", true}, {"", "", "Populate", "DNP", true}, {"", "", "populated", "yes", false}, {"", "", "Exclude_from_BOM", "yes", true},
	} {
		for _, kind := range [][2]string{{"Textual", "textual"}, {"Enumerated", "enumerated"}} {
			list := `<Bom name="b"><BomItem OEMDesignNumberRef="item1"` + c.item + `><RefDes name="R1"` + c.ref + `/><Characteristics>` +
				`<` + kind[0] + ` ` + kind[1] + `CharacteristicName="` + c.name + `" ` + kind[1] + `CharacteristicValue="` + c.value + `"/></Characteristics></BomItem></Bom>`
			if got := (made{step: parts, bom: list}).read(t).Components[0].Absent; got != c.absent {
				t.Errorf("%+v, %s: absent %v", c, kind[0], got)
			}
		}
	}
}

// A measured value is joined with its unit, which may be a word of the
// format's own list.
func TestMeasured(t *testing.T) {
	for _, c := range [][3]string{
		{"4.7", "kΩ", "4.7kΩ"}, {"4.7", "kohm", "4.7kohm"}, {"100", "nF", "100nF"}, {"100", "", "100"}, {"100nF", "nF", "100nF"},
		{"0", "OHMS", "0Ω"}, {"2.2", "MICROFARADS", "2.2µF"}, {"10", "KILO_OHMS", "10kΩ"}, {"16", "MEGAHERTZ", "16MHz"},
	} {
		list := `<Bom name="b"><BomItem OEMDesignNumberRef="item1"><RefDes name="R1" populate="true"/><Characteristics category="ELECTRICAL">` +
			`<Measured measuredCharacteristicName="VALUE" measuredCharacteristicValue="` + c[0] + `" engineeringUnitOfMeasure="` + c[1] + `"/></Characteristics></BomItem></Bom>`
		if got := (made{step: parts, bom: list}).read(t).Components[0].Value; got != c[2] {
			t.Errorf("%s with %q: got %q, want %q", c[0], c[1], got, c[2])
		}
	}
}

// A net that lists a pin twice, as of a land on two layers, is like any other.
func TestPinListedTwice(t *testing.T) {
	list := func(net, ref string) string {
		one := `<PinRef componentRef="` + ref + `" pin="1"/>`
		return `<LogicalNet name="` + net + `">` + one + one + `</LogicalNet>`
	}
	d := made{step: list("A", "R1") + list("B", "R2")}.read(t)
	if warned(d, "in the nets") || !reflect.DeepEqual(d.NetPins, map[string][]string{"A": {"R1.1"}, "B": {"R2.1"}}) {
		t.Errorf("got %v, %v", d.NetPins, d.Warnings)
	}
}

// A land that two pins share is both pins' pad, and both are in its net.
func TestSharedLand(t *testing.T) {
	d := made{features: `<Pad><Location x="1" y="1"/><PinRef componentRef="J1" pin="A12"/><Circle diameter="1"/><PinRef componentRef="J1" pin="B1"/></Pad>`}.read(t)
	o := d.Layers[0].Objects
	if len(o) != 2 || o[0].Pin != "A12" || o[1].Pin != "B1" || !reflect.DeepEqual(o[0].Rings, o[1].Rings) || mm2(image(o)) != mm2(image(o[:1])) {
		t.Errorf("got %+v", o)
	}
	if !reflect.DeepEqual(d.NetPins, map[string][]string{"A": {"J1.A12", "J1.B1"}}) || len(d.Warnings) != 3 {
		t.Errorf("got %v, %v", d.NetPins, d.Warnings)
	}
}
