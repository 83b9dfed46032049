package ipc2581

import (
	"fmt"
	"strings"
	"testing"

	"ohmward/geom"
)

// made is a small board in XML: millimetres, a two-layer stack-up given out
// of order, and whatever the fields add.
type made struct {
	units, dictionaries, header, layers, stack, bom string
	step                                            string // in the step, before the features
	features                                        string // on layer Top
	more                                            string // other layer features
}

func (m made) text() string {
	if m.units == "" {
		m.units = "MILLIMETER"
	}
	if m.layers == "" {
		m.layers = `<Layer name="Top" layerFunction="SIGNAL" side="TOP" polarity="POSITIVE"/>
<Layer name="Core" layerFunction="DIELCORE" side="INTERNAL" polarity="POSITIVE"/>
<Layer name="Bot" layerFunction="SIGNAL" side="BOTTOM" polarity="POSITIVE"/>
<Layer name="Drill" layerFunction="DRILL" side="ALL" polarity="POSITIVE"><Span fromLayer="Top" toLayer="Bot"/></Layer>`
	}
	if m.stack == "" {
		m.stack = `<Stackup name="S" overallThickness="1.6" whereMeasured="METAL"><StackupGroup name="G">
<StackupLayer layerOrGroupRef="Bot" thickness="0.035" sequence="3"/>
<StackupLayer layerOrGroupRef="Top" thickness="0.035" sequence="1"/>
<StackupLayer layerOrGroupRef="Core" thickness="1.53" sequence="2"/>
</StackupGroup></Stackup>`
	}
	return fmt.Sprintf(`<?xml version="1.0" encoding="UTF-8"?>
<IPC-2581 revision="C" xmlns="http://webstds.ipc.org/2581">
<Content roleRef="Owner"><StepRef name="board"/>%s</Content>
%s<Ecad name="design"><CadHeader units="%s">%s</CadHeader><CadData>%s%s
<Step name="board" type="BOARD">
<Profile><Polygon><PolyBegin x="0" y="0"/><PolyStepSegment x="10" y="0"/><PolyStepSegment x="10" y="10"/><PolyStepSegment x="0" y="10"/></Polygon></Profile>
%s<LayerFeature layerRef="Top"><Set net="A">%s</Set></LayerFeature>%s
</Step></CadData></Ecad></IPC-2581>
`, m.dictionaries, m.bom, m.units, m.header, m.layers, m.stack, m.step, m.features, m.more)
}

func (m made) read(t *testing.T) *Design {
	t.Helper()
	d, err := Read(strings.NewReader(m.text()), "made.xml")
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// image is what a list of objects leaves dark.
func image(objects []Object) geom.Region {
	coats := make([]geom.Coat, len(objects))
	for i, o := range objects {
		coats[i] = geom.Coat{Dark: o.Dark, Rings: o.Rings}
	}
	return geom.Paint(coats)
}

// mm2 is a region's area in square millimetres.
func mm2(r geom.Region) float64 { return r.Area() / 1e12 }

// warned tells whether some warning holds the words.
func warned(d *Design, words string) bool {
	for _, w := range d.Warnings {
		if strings.Contains(w.What, words) {
			return true
		}
	}
	return false
}
