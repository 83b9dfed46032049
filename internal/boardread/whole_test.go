package boardread

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"ohmward/internal/board"
)

// wholeText is a two-layer board of 20 x 16 mm in IPC-2581: nets A and B, a
// plated hole in A. Its layers' features come at the end.
func wholeText(lists string) string {
	pad := func(net, ref, pin string, x, y float64) string {
		return fmt.Sprintf(`<Set net="%s"><Pad><Location x="%g" y="%g"/><RectCenter width="2" height="1"/><PinRef componentRef="%s" pin="%s"/></Pad></Set>`+"\n", net, x, y, ref, pin)
	}
	line := func(net string, x0, y0, x1, y1 float64) string {
		return fmt.Sprintf(`<Set net="%s"><Features><Line startX="%g" startY="%g" endX="%g" endY="%g"><LineDesc lineWidth="0.2" lineEnd="ROUND"/></Line></Features></Set>`+"\n", net, x0, y0, x1, y1)
	}
	via := `<Set net="A"><Pad padUsage="VIA"><Location x="10" y="5"/><Circle diameter="0.6"/></Pad></Set>` + "\n"
	return `<?xml version="1.0" encoding="UTF-8"?>
<IPC-2581 revision="C" xmlns="http://webstds.ipc.org/2581"><Content><StepRef name="b"/></Content>
<Ecad name="made"><CadHeader units="MILLIMETER"/><CadData>
<Layer name="T" layerFunction="SIGNAL" side="TOP"/><Layer name="B" layerFunction="SIGNAL" side="BOTTOM"/>
<Layer name="D" layerFunction="DRILL" side="ALL"><Span fromLayer="T" toLayer="B"/></Layer>
<Stackup><StackupGroup><StackupLayer layerOrGroupRef="T" thickness="0.035" sequence="1"/><StackupLayer layerOrGroupRef="B" thickness="0.035" sequence="2"/></StackupGroup></Stackup>
<Step name="b" type="BOARD">
<Profile><Polygon><PolyBegin x="0" y="0"/><PolyStepSegment x="20" y="0"/><PolyStepSegment x="20" y="16"/><PolyStepSegment x="0" y="16"/></Polygon></Profile>
<Component refDes="R1" layerRef="T"><Location x="5" y="5"/></Component><Component refDes="R2" layerRef="T"><Location x="5" y="10"/></Component>
` + lists + `
<LayerFeature layerRef="D"><Set net="A"><Hole diameter="0.3" platingStatus="VIA" x="10" y="5"/></Set></LayerFeature>
<LayerFeature layerRef="T">
` + pad("A", "R1", "1", 5, 5) + pad("B", "R1", "2", 5, 7) + pad("B", "R2", "1", 5, 10) + line("A", 5, 5, 10, 5) + line("B", 5, 7, 5, 10) + via + `</LayerFeature>
<LayerFeature layerRef="B">
` + via + line("A", 10, 5, 15, 5) + `</LayerFeature>
</Step></CadData></Ecad></IPC-2581>
`
}

func gzipped(text string) []byte {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	w.Write([]byte(text))
	w.Close()
	return out.Bytes()
}

func wholeSet(name string, data []byte) fstest.MapFS {
	return fstest.MapFS{name: &fstest.MapFile{Data: data}}
}

// A whole board reads the same as it stands, in UTF-16 and in a gzip.
func TestWholeWrapped(t *testing.T) {
	text := wholeText("")
	var wide []byte
	for _, u := range utf16.Encode([]rune("\ufeff" + strings.Replace(text, "UTF-8", "UTF-16", 1))) {
		wide = binary.BigEndian.AppendUint16(wide, u)
	}
	var want *board.Board
	for _, c := range []struct {
		name string
		data []byte
	}{{"b.xml", []byte(text)}, {"b.cvg", wide}, {"b.xml.gz", gzipped(text)}, {"b.cvg.gz", gzipped(string(wide))}} {
		b := mustRead(t, wholeSet(c.name, c.data), Options{})
		if want == nil {
			want = b
		}
		if b.Partial || len(b.Doubts) > 0 || len(b.Layers) != 2 || len(b.Pads) != 3 || len(b.Parts) != 2 || len(b.Holes) != 1 || !b.Holes[0].Plated {
			t.Errorf("%s: %d layers, pads %v, holes %v, doubts %v", c.name, len(b.Layers), b.Pads, b.Holes, b.Doubts)
		}
		for i := range b.Layers {
			if got := b.Layers[i].Copper.Area(); got != want.Layers[i].Copper.Area() || got == 0 {
				t.Errorf("%s: copper on %s is %g", c.name, b.Layers[i].Name, got)
			}
		}
		// Given by itself, it is named after the file without its endings.
		path := filepath.Join(t.TempDir(), c.name)
		if err := os.WriteFile(path, c.data, 0o600); err != nil {
			t.Fatal(err)
		}
		if one, err := Open(t.Context(), path, Options{}, nil); err != nil || one.Name != "b" || len(one.Pads) != 3 {
			t.Errorf("%s alone: %v", c.name, err)
		}
	}
	// 2 x 1 mm three times, 0.2 mm lines of 5 and 3 mm with what reaches out
	// of the pads, and half a via beyond its line.
	if got := want.Layers[0].Copper.Area() / 1e12; math.Abs(got-(6+0.2*4+0.2*2+0.27)) > 0.1 {
		t.Errorf("copper on top is %g mm2", got)
	}
}

// A whole board that is cut off is shown in part, if copper was read.
func TestWholeCutOff(t *testing.T) {
	text := wholeText("")
	cut := text[:strings.Index(text, `<LayerFeature layerRef="B"`)]
	packed := gzipped(text)
	for name, data := range map[string][]byte{"b.xml": []byte(cut), "b.xml.gz": gzipped(cut), "c.xml.gz": packed[:len(packed)*9/10]} {
		b := mustRead(t, wholeSet(name, data), Options{})
		if !b.Partial || !hasDoubt(b, name, "cut off") || len(b.Layers) != 2 || len(b.Pads) == 0 {
			t.Errorf("%s: partial %v, %d layers, doubts %v", name, b.Partial, len(b.Layers), b.Doubts)
		}
	}
	for name, data := range map[string][]byte{
		"b.xml":    []byte(text[:strings.Index(text, "<LayerFeature")]),
		"b.xml.gz": gzipped(strings.Repeat(" ", 200) + text + strings.Repeat(" ", 64<<20)), // a bomb
	} {
		if _, err := Read(wholeSet(name, data), "made", Options{}); err == nil || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
