package boards

import (
	"bufio"
	"fmt"
	"io"
)

// xmlWriter writes an IPC-2581 file in millimetres.
type xmlWriter struct{ *bufio.Writer }

func (w xmlWriter) put(format string, args ...any) { fmt.Fprintf(w, format, args...) }

func millimetres(v int64) string { return fmt.Sprintf("%.3f", float64(v)/mm) }

func (p point) xy() string {
	return fmt.Sprintf(`x="%s" y="%s"`, millimetres(p.x), millimetres(p.y))
}

// WriteFile writes the board as one IPC-2581 file.
func (b *Large) WriteFile(name string) error { return create(name, b.write) }

// write writes the file, of revision C.
func (b *Large) write(to io.Writer) error {
	w := xmlWriter{bufio.NewWriterSize(to, 1<<16)}
	w.put(`<?xml version="1.0" encoding="UTF-8"?>` + "\n" +
		`<IPC-2581 revision="C" xmlns="http://webstds.ipc.org/2581">` + "\n")
	w.dictionaries()
	b.bill(w)
	w.put(`<Ecad name="large"><CadHeader units="MILLIMETER"></CadHeader><CadData>` + "\n")
	w.layers()
	w.put(`<Step name="board" type="BOARD">` + "\n")
	w.padStack()
	w.put("<Profile>")
	w.polygon("Polygon", rectangle(point{}, b.size(), mm))
	w.put("</Profile>\n")
	b.parts(w)
	b.nets(w)
	for l := range largeRoles {
		w.put("<LayerFeature layerRef=\"L%d\">\n", l+1)
		b.layer(w, l)
		w.put("</LayerFeature>\n")
	}
	b.holes(w)
	w.put("</Step></CadData></Ecad></IPC-2581>\n")
	return w.Flush()
}

func (b *Large) size() point { return point{int64(b.Columns) * cellSide, int64(b.Rows) * cellSide} }

// dictionaries describe lines, the via's circles and the parts' lands: a
// rectangle with a round nose, and one with round corners.
func (w xmlWriter) dictionaries() {
	w.put(`<Content roleRef="owner"><StepRef name="board"/>
<DictionaryLineDesc units="MILLIMETER">
<EntryLineDesc id="track"><LineDesc lineEnd="ROUND" lineWidth="0.1"/></EntryLineDesc>
<EntryLineDesc id="lead"><LineDesc lineEnd="ROUND" lineWidth="0.15"/></EntryLineDesc>
</DictionaryLineDesc>
<DictionaryStandard units="MILLIMETER">
<EntryStandard id="via"><Circle diameter="0.45"/></EntryStandard>
<EntryStandard id="antipad"><Circle diameter="%s"/></EntryStandard>
<EntryStandard id="land"><RectRound width="0.8" height="0.5" radius="0.1" upperRight="true" upperLeft="true" lowerRight="true" lowerLeft="true"/></EntryStandard>
</DictionaryStandard>
<DictionaryUser units="MILLIMETER">
<EntryUser id="first"><UserSpecial><RectCenter width="0.6" height="0.5"/><Circle diameter="0.5"><Location x="-0.3" y="0"/></Circle></UserSpecial></EntryUser>
</DictionaryUser></Content>
`, millimetres(antipad))
}

// bill groups the parts by value.
func (b *Large) bill(w xmlWriter) {
	w.put("<Bom name=\"bill\">\n")
	for k := range min(7, b.Parts()) {
		w.put(`<BomItem OEMDesignNumberRef="part%d" quantity="%d" category="ELECTRICAL">`, k, (b.Parts()-k+6)/7)
		for p := k; p < b.Parts(); p += 7 {
			w.put(`<RefDes name="%s" packageRef="four" populate="true" layerRef="L1"/>`, b.PartName(p))
		}
		w.put(`<Characteristics category="ELECTRICAL"><Textual definitionSource="owner" textualCharacteristicName="VALUE" textualCharacteristicValue="%s"/></Characteristics></BomItem>`+"\n", b.Value(k))
	}
	w.put("</Bom>\n")
}

// layers declares the layers and stacks them up.
func (w xmlWriter) layers() {
	side := func(l int) string {
		return map[int]string{0: "TOP", len(largeRoles) - 1: "BOTTOM"}[l]
	}
	for l, r := range largeRoles {
		function, s := "SIGNAL", side(l)
		if r == ground || r == power {
			function = "PLANE"
		}
		if s == "" {
			s = "INTERNAL"
		}
		w.put("<Layer name=\"L%d\" layerFunction=\"%s\" side=\"%s\" polarity=\"POSITIVE\"/>\n", l+1, function, s)
		if l+1 < len(largeRoles) {
			w.put("<Layer name=\"D%d\" layerFunction=\"DIELCORE\" side=\"INTERNAL\" polarity=\"POSITIVE\"/>\n", l+1)
		}
	}
	w.put("<Layer name=\"Drill\" layerFunction=\"DRILL\" side=\"ALL\" polarity=\"POSITIVE\"><Span "+
		"fromLayer=\"L1\" toLayer=\"L%d\"/></Layer>\n", len(largeRoles))
	w.put("<Stackup name=\"stack\" overallThickness=\"1.85\" tolPlus=\"0\" tolMinus=\"0\" " +
		"whereMeasured=\"METAL\"><StackupGroup name=\"all\">\n")
	for l := range largeRoles {
		w.put("<StackupLayer layerOrGroupRef=\"L%d\" thickness=\"0.035\" sequence=\"%d\"/>\n", l+1, 2*l+1)
		if l+1 < len(largeRoles) {
			w.put("<StackupLayer layerOrGroupRef=\"D%d\" thickness=\"0.13\" sequence=\"%d\"/>\n", l+1, 2*l+2)
		}
	}
	w.put("</StackupGroup></Stackup>\n")
}

// padStack is the via: its hole, a pad on every layer and, on planes, what is
// to be kept clear.
func (w xmlWriter) padStack() {
	w.put(`<PadStackDef name="via"><PadstackHoleDef name="via" diameter="0.2" platingStatus="VIA" plusTol="0" minusTol="0" x="0" y="0"/>`)
	for l, r := range largeRoles {
		uses := map[string]string{"REGULAR": "via"}
		if r == ground || r == power {
			uses["ANTIPAD"] = "antipad"
		}
		for _, use := range sortedKeys(uses) {
			w.put(`<PadstackPadDef layerRef="L%d" padUse="%s"><Location x="0" y="0"/><StandardPrimitiveRef id="%s"/></PadstackPadDef>`, l+1, use, uses[use])
		}
	}
	w.put("</PadStackDef>\n")
}

// parts writes the package and where the parts lie: about the middle of their
// lands.
func (b *Large) parts(w xmlWriter) {
	w.put(`<Package name="four" type="OTHER"><Outline>`)
	w.polygon("Polygon", rectangle(point{-900 * um, -700 * um}, point{900 * um, 700 * um}, 0))
	w.put(`<LineDesc lineEnd="ROUND" lineWidth="0"/></Outline>`)
	middle := point{(leftCol + rightCol) / 2, landRow + mm/2}
	for pin := 1; pin <= 4; pin++ {
		w.put(`<Pin number="%d" type="SURFACE"><Location %s/></Pin>`, pin,
			b.land(0, pin).plus(-middle.x, -middle.y).xy())
	}
	w.put("</Package>\n")
	for p := range b.Parts() {
		w.put("<Component refDes=\"%s\" packageRef=\"four\" part=\"part%d\" layerRef=\"L1\" "+
			"mountType=\"SMT\"><Location %s/></Component>\n",
			b.PartName(p), p%7, b.corner(p).plus(middle.x, middle.y).xy())
	}
}

// nets lists the pins of every net, in the order of their first.
func (b *Large) nets(w xmlWriter) {
	pins := map[string][][2]int{}
	var names []string
	for p := range b.Parts() {
		for pin := 1; pin <= 4; pin++ {
			n := b.NetOf(p, pin)
			if pins[n] == nil {
				names = append(names, n)
			}
			pins[n] = append(pins[n], [2]int{p, pin})
		}
	}
	for _, n := range names {
		w.put(`<LogicalNet name="%s">`, n)
		for _, p := range pins[n] {
			w.put(`<PinRef pin="%d" componentRef="%s"/>`, p[1], b.PartName(p[0]))
		}
		w.put("</LogicalNet>\n")
	}
}

// holes drills every via.
func (b *Large) holes(w xmlWriter) {
	w.put("<LayerFeature layerRef=\"Drill\">\n")
	for p := range b.Parts() {
		for pin := 1; pin <= 4; pin++ {
			w.put("<Set net=\"%s\"><Hole name=\"via\" diameter=\"0.2\" platingStatus=\"VIA\" plusTol=\"0\" "+
				"minusTol=\"0\" %s/></Set>\n",
				b.NetOf(p, pin), b.via(p, pin).xy())
		}
	}
	w.put("</LayerFeature>\n")
}
