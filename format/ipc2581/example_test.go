package ipc2581_test

import (
	"fmt"
	"strings"

	"ohmward/format/ipc2581"
)

func ExampleRead() {
	const file = `<IPC-2581 revision="C" xmlns="http://webstds.ipc.org/2581">
<Ecad name="demo"><CadHeader units="MILLIMETER"/><CadData>
<Layer name="TOP" layerFunction="SIGNAL" side="TOP" polarity="POSITIVE"/>
<Step name="demo" type="BOARD">
<Profile><Polygon><PolyBegin x="0" y="0"/><PolyStepSegment x="5" y="0"/><PolyStepSegment x="5" y="5"/></Polygon></Profile>
<LayerFeature layerRef="TOP"><Set net="GND"><Pad><Location x="1.27" y="2"/><RectCenter width="1" height="2"/>
<PinRef componentRef="C1" pin="2"/></Pad></Set></LayerFeature>
</Step></CadData></Ecad></IPC-2581>`
	d, err := ipc2581.Read(strings.NewReader(file), "demo.xml")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range d.Layers[0].Objects {
		x, y := o.At.MM()
		fmt.Printf("%s.%s on %s at (%.2f, %.2f) mm\n", o.Ref, o.Pin, o.Net, x, y)
	}
	// Output: C1.2 on GND at (1.27, 2.00) mm
}
