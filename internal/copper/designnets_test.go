package copper

import (
	"encoding/xml"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/geom"
	"ohmward/internal/boardread"
)

// drawnPin is a pin's pad as the test's own reading of the XML has it.
type drawnPin struct {
	layer, net, ref, pin string
	x, y                 string // millimetres
}

func (p drawnPin) at(t *testing.T) geom.Point {
	x, err := strconv.ParseFloat(p.x, 64)
	if err != nil {
		t.Fatal(err)
	}
	y, err := strconv.ParseFloat(p.y, 64)
	if err != nil {
		t.Fatal(err)
	}
	return geom.FromMM(x, y)
}

// drawnPins reads the pads with pins of an IPC-2581 file's copper, apart from
// the reader under test.
func drawnPins(t *testing.T, text string) []drawnPin {
	t.Helper()
	var out []drawnPin
	var now drawnPin
	inPad := false
	dec := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := dec.Token()
		if token == nil {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			a := map[string]string{}
			for _, x := range e.Attr {
				a[x.Name.Local] = x.Value
			}
			switch {
			case e.Name.Local == "LayerFeature":
				now.layer = a["layerRef"]
			case e.Name.Local == "Set":
				now.net = a["net"]
			case e.Name.Local == "Pad":
				inPad, now.ref, now.pin = true, "", ""
			case inPad && e.Name.Local == "Location":
				now.x, now.y = a["x"], a["y"]
			case inPad && e.Name.Local == "PinRef":
				now.ref, now.pin = a["componentRef"], a["pin"]
			}
		case xml.EndElement:
			if e.Name.Local == "Pad" {
				if inPad = false; now.pin != "" && strings.HasSuffix(now.layer, ".Cu") {
					out = append(out, now)
				}
			}
		}
	}
	return out
}

func realDesign(t *testing.T) string {
	data, err := os.ReadFile(shared(t, "checks", "boards", "ipc2581-dm0002", "DM0002-IPC-2518.xml"))
	if err != nil {
		t.Skip("the shared IPC-2581 board is absent")
	}
	return string(data)
}

func netsOfText(t *testing.T, text string) *Nets {
	t.Helper()
	b, err := boardread.Read(fstest.MapFS{"b.xml": {Data: []byte(text)}}, "made", boardread.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return extract(t, b, Options{})
}

var layerIndex = map[string]int{"F.Cu": 0, "In1.Cu": 1, "In2.Cu": 2, "B.Cu": 3}

// Outside check (../shared/checks/boards/ipc2581-dm0002, the file's own nets of
// pins): every pad of a pin lies on copper of the net that the file gives it,
// nothing else does, and it is one piece.
func TestDesignPinsOnCopper(t *testing.T) {
	pins := drawnPins(t, realDesign(t))
	n := openBoard(t, "ipc2581-dm0002")
	of, named := map[string]int{}, map[int]string{}
	for _, p := range pins {
		id, ok := n.NetAt(layerIndex[p.layer], p.at(t))
		if !ok {
			t.Errorf("%s.%s: no copper on %s at %s, %s", p.ref, p.pin, p.layer, p.x, p.y)
			continue
		}
		if p.net == "" || strings.EqualFold(p.net, "no net") {
			continue
		}
		if n.Nets[id].Data != p.net {
			t.Errorf("%s.%s: copper of %q, listed in %q", p.ref, p.pin, n.Nets[id].Data, p.net)
		}
		if was, ok := of[p.net]; ok && was != id {
			t.Errorf("net %s is on two pieces of copper", p.net)
		}
		if was, ok := named[id]; ok && was != p.net {
			t.Errorf("%s and %s are on one piece of copper", was, p.net)
		}
		of[p.net], named[id] = id, p.net
	}
	if len(pins) < 200 || len(of) < 60 {
		t.Errorf("only %d pads and %d nets compared", len(pins), len(of))
	}
}

// netLists writes pins as logical nets and as points of physical nets.
func netLists(pins []drawnPin) (logical, physical string) {
	seen := map[string]bool{}
	byNet := map[string][]drawnPin{}
	var order []string
	for _, p := range pins {
		if p.net == "" || strings.EqualFold(p.net, "no net") {
			continue
		}
		if byNet[p.net] == nil {
			order = append(order, p.net)
		}
		byNet[p.net] = append(byNet[p.net], p)
	}
	var l, g strings.Builder
	for _, net := range order {
		fmt.Fprintf(&l, "<LogicalNet name=%q>", net)
		fmt.Fprintf(&g, "<PhyNet name=%q>", net)
		for _, p := range byNet[net] {
			ref := fmt.Sprintf("<PinRef componentRef=%q pin=%q/>", p.ref, p.pin)
			if !seen[ref] {
				l.WriteString(ref)
			}
			seen[ref] = true
			fmt.Fprintf(&g, "<PhyNetPoint x=%q y=%q layerRef=%q netNode=\"END\" exposure=\"EXPOSED\">%s</PhyNetPoint>\n", p.x, p.y, p.layer, ref)
		}
		l.WriteString("</LogicalNet>\n")
		g.WriteString("</PhyNet>\n")
	}
	return l.String(), "<PhyNetGroup name=\"g\">" + g.String() + "</PhyNetGroup>\n"
}

var (
	setNet = regexp.MustCompile(`<Set net="[^"]*"`)
	pinRef = regexp.MustCompile(`<PinRef [^>]*/>`)
)

// bareOf takes nets and pins off a design's features, and puts lists before
// them.
func bareOf(text, lists string) string {
	head, rest, _ := strings.Cut(text, "<LayerFeature")
	rest = setNet.ReplaceAllString(rest, "<Set")
	return head + lists + "<LayerFeature" + pinRef.ReplaceAllString(rest, "")
}

// The real board without nets and pins on its copper takes them from the
// lists: from the physical nets' points, and from the logical nets with the
// packages' pins. A list that tells of other nets than the copper is doubted.
func TestDesignListsNameCopper(t *testing.T) {
	text := realDesign(t)
	pins := drawnPins(t, text)
	whole := openBoard(t, "ipc2581-dm0002")
	logical, physical := netLists(pins)
	for what, lists := range map[string]string{"logical": logical, "physical": physical, "both": logical + physical} {
		if testing.Short() && what != "both" {
			continue
		}
		n := netsOfText(t, bareOf(text, lists))
		if len(n.Nets) != len(whole.Nets) {
			t.Errorf("%s: %d nets, want %d", what, len(n.Nets), len(whole.Nets))
		}
		var wrong []drawnPin
		for _, p := range pins {
			id, _ := n.NetAt(layerIndex[p.layer], p.at(t))
			was, _ := whole.NetAt(layerIndex[p.layer], p.at(t))
			if whole.Nets[was].Named() && n.Nets[id].Name != whole.Nets[was].Name {
				wrong = append(wrong, p)
			}
			if p.net != "" && len(n.Pads(p.ref, p.pin)) == 0 {
				wrong = append(wrong, p)
			}
		}
		if len(wrong) > 0 {
			t.Errorf("%s: %d pins without their net or pad: %v", what, len(wrong), wrong[:min(4, len(wrong))])
		}
		for _, d := range slices.Concat(n.Doubts, n.Board.Doubts) {
			t.Errorf("%s: doubt %s", what, d.What)
		}
	}

	// Two pins change places: each of the nets is then on two pieces, and two
	// pieces carry both.
	twisted := slices.Clone(pins)
	a := slices.IndexFunc(twisted, func(p drawnPin) bool { return p.net == "GND" })
	b := slices.IndexFunc(twisted, func(p drawnPin) bool { return p.net == "VDD_3V3" })
	twisted[a].net, twisted[b].net = twisted[b].net, twisted[a].net
	_, physical = netLists(twisted)
	var said []string
	for _, d := range netsOfText(t, bareOf(text, physical)).Doubts {
		said = append(said, d.What)
	}
	all := strings.Join(said, "\n")
	if strings.Count(all, "the copper joins them") != 2 || strings.Count(all, "separate pieces of copper") != 2 ||
		!strings.Contains(all, "GND on L") || !strings.Contains(all, "VDD_3V3 on L") {
		t.Errorf("a twisted list is doubted as: %s", all)
	}
}

// A point beside the copper, on a layer that is none, and a pin without a pad
// are told of.
func TestDesignListsDoubts(t *testing.T) {
	text := realDesign(t)
	logical, physical := netLists(drawnPins(t, text))
	logical = strings.Replace(logical, "</LogicalNet>", `<PinRef componentRef="Q77" pin="3"/></LogicalNet>`, 1)
	physical = strings.Replace(physical, "</PhyNet>", `<PhyNetPoint x="100" y="-85" layerRef="F.Cu"/><PhyNetPoint x="136" y="-85" layerRef="F.Foil"/></PhyNet>`, 1)
	head, rest, _ := strings.Cut(text, "<LayerFeature")
	n := netsOfText(t, head+logical+physical+"<LayerFeature"+rest)
	var all []string
	for _, d := range slices.Concat(n.Doubts, n.Board.Doubts) {
		all = append(all, d.What)
		if d.File != "b.xml" {
			t.Errorf("a doubt without its file: %v", d)
		}
	}
	said := strings.Join(all, "\n")
	for _, words := range []string{"places of the netlist have no copper", `points of the physical nets are on no copper layer`, "Q77.3"} {
		if !strings.Contains(said, words) {
			t.Errorf("no doubt %q among %s", words, said)
		}
	}
	if len(all) != 3 {
		t.Errorf("%d doubts: %s", len(all), said)
	}
}
