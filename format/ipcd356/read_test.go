package ipcd356

import (
	"errors"
	"strings"
	"testing"
	"testing/iotest"

	"ohmward/geom"
)

func one(t *testing.T, text string) (*File, Record) {
	t.Helper()
	f, err := Read(strings.NewReader(text), "f.d356")
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Records) != 1 {
		t.Fatalf("%q: %d records, want 1: %v", text, len(f.Records), f.Warnings)
	}
	return f, f.Records[0]
}

// REFERENCES E3's test line: hole 0.0400 inch, plated, both sides, at x 4.3550,
// y 0.6480 inch.
func TestReferenceLine(t *testing.T) {
	f, r := one(t, "P  UNITS CUST 0\n317+3.3V            J13   -2    D0400PA00X+043550Y+006480\n999\n")
	want := Record{Kind: Through, Net: "+3.3V", Ref: "J13", Pin: "2", At: geom.Point{X: 110617000, Y: 16459200},
		Hole: 1016000, Plated: true, Side: SideBoth, Mask: MaskUnknown, Line: 2}
	if r != want || !f.Complete || f.Metric || len(f.Warnings) > 0 {
		t.Errorf("got %+v %v\nwant %+v", r, f.Warnings, want)
	}
}

func TestRecords(t *testing.T) {
	at := geom.Point{X: -1234000, Y: 5678000}
	for name, c := range map[string]struct {
		line string
		want Record
	}{
		"pad": {"327GND              U1    -A12        A02X-001234Y+005678X0400Y0200R090S2",
			Record{Kind: Surface, Net: "GND", Ref: "U1", Pin: "A12", Access: 2, Side: SideSecondary, Size: [2]int64{400000, 200000}, Rotation: 90, Mask: MaskSecondary}},
		"round pad": {"327GND              U1    -2          A01X-001234Y+005678X0400Y0000R000S0",
			Record{Kind: Surface, Net: "GND", Ref: "U1", Pin: "2", Access: 1, Side: SidePrimary, Size: [2]int64{400000, 0}}},
		"via": {"317GND              VIA        MD0300PA00X-001234Y+005678X0600Y0000R000S3",
			Record{Kind: Through, Net: "GND", Via: true, MidPoint: true, Hole: 300000, Plated: true, Side: SideBoth, Size: [2]int64{600000, 0}, Mask: MaskBoth}},
		"blank before mask": {"327GND              U1    -2          A01X-001234Y+005678X0400Y0200R000 S1",
			Record{Kind: Surface, Net: "GND", Ref: "U1", Pin: "2", Access: 1, Side: SidePrimary, Size: [2]int64{400000, 200000}, Mask: MaskPrimary}},
		"no net": {"367N/C              H1    -      D3200UA00X-001234Y+005678X3200Y0000R000S0",
			Record{Kind: Unplated, Ref: "H1", Hole: 3200000, Side: SideBoth, Size: [2]int64{3200000, 0}}},
		"tooling hole": {"347                 TH1   -1    D3200UA00X-001234Y+005678",
			Record{Kind: ToolingHole, Ref: "TH1", Pin: "1", Hole: 3200000, Side: SideBoth, Mask: MaskUnknown}},
		"tooling feature": {"337                 FID1  -1          A01X-001234Y+005678X1000Y0000",
			Record{Kind: ToolingFeature, Ref: "FID1", Pin: "1", Access: 1, Side: SidePrimary, Size: [2]int64{1000000, 0}, Mask: MaskUnknown}},
		"alias": {"327NNAME00007        U1    -2          A01X-001234Y+005678X0400Y0200R000S1"[:17] + "   U1    -2          A01X-001234Y+005678",
			Record{Kind: Surface, Net: "A_NET_OF_A_VERY_LONG_NAME", Ref: "U1", Pin: "2", Access: 1, Side: SidePrimary, Mask: MaskUnknown}},
		"net with blanks": {"327NET 5 V          U1    -2          A01X-001234Y+005678",
			Record{Kind: Surface, Net: "NET 5 V", Ref: "U1", Pin: "2", Access: 1, Side: SidePrimary, Mask: MaskUnknown}},
		"no access, no pin": {"317A               J1          D0400P   X-001234Y+005678",
			Record{Kind: Through, Net: "A", Ref: "J1", Hole: 400000, Plated: true, Access: -1, Mask: MaskUnknown}},
		"unplated through": {"317A                J1    -1    D0400UA00X-001234Y+005678",
			Record{Kind: Through, Net: "A", Ref: "J1", Pin: "1", Hole: 400000, Side: SideBoth, Mask: MaskUnknown}},
		"shifted right": {"327GND                 U1    -A12        A02X-001234Y+005678X0400Y0200R090S2",
			Record{Kind: Surface, Net: "GND", Ref: "U1", Pin: "A12", Access: 2, Side: SideSecondary, Size: [2]int64{400000, 200000}, Rotation: 90, Mask: MaskSecondary}},
		"shifted left": {"327GND            U1    -A12        A02X-001234Y+005678X0400Y0200R090S2",
			Record{Kind: Surface, Net: "GND", Ref: "U1", Pin: "A12", Access: 2, Side: SideSecondary, Size: [2]int64{400000, 200000}, Rotation: 90, Mask: MaskSecondary}},
		"part named like a field": {"327D5                 D5  -A1   MD0300PA01X-001234Y+005678",
			Record{Kind: Surface, Net: "D5", Ref: "D5", Pin: "A1", MidPoint: true, Hole: 300000, Plated: true, Access: 1, Side: SidePrimary, Mask: MaskUnknown}},
		"via shifted": {"317GND           VIA        MD0300PA00X-001234Y+005678X0600Y0000R000S3",
			Record{Kind: Through, Net: "GND", Via: true, MidPoint: true, Hole: 300000, Plated: true, Side: SideBoth, Size: [2]int64{600000, 0}, Mask: MaskBoth}},
		"lower case, no sign, blanks before": {"  327gnd              u1    -2          a01x-  1234y 005678x0400y0200",
			Record{Kind: Surface, Net: "gnd", Ref: "u1", Pin: "2", Access: 1, Side: SidePrimary, Size: [2]int64{400000, 200000}, Mask: MaskUnknown}},
		"not ASCII": {"327B\xfcro              U1    -2          A01X-001234Y+005678"[:20] + "  U1    -2          A01X-001234Y+005678",
			Record{Kind: Surface, Net: "Büro", Ref: "U1", Pin: "2", Access: 1, Side: SidePrimary, Mask: MaskUnknown}},
		"blind via": {"307GND              VIA        MD0100PA01X-001234Y+005678",
			Record{Kind: Hidden, Net: "GND", Via: true, MidPoint: true, Hole: 100000, Plated: true, Access: 1, Side: SidePrimary, Mask: MaskUnknown}},
	} {
		f, r := one(t, "P  UNITS CUST 1\nP  NNAME7 A_NET_OF_A_VERY_LONG_NAME\n"+c.line+"\n999\n")
		c.want.Line, c.want.At = 3, at
		if r != c.want || !f.Metric {
			t.Errorf("%s: %v\n got %+v\nwant %+v", name, f.Warnings, r, c.want)
		}
	}
}

func TestContinuation(t *testing.T) {
	f, err := Read(strings.NewReader("P  UNITS CUST 1\r"+
		"317GND              J1    -2    D0400PA01X+001000Y+002000X0800Y0000R000S1\r"+
		"017                             D0400PA02X+001000Y+002000X0900Y0700R000S2\r"+
		"017  A04\r"+
		"327B                U1    -1          A01X+003000Y+004000X0800Y0000R000S1\r"+
		"027                                   A01X+003500Y+004000X0800Y0000R000S1\r999\r"), "f.d356")
	if err != nil {
		t.Fatal(err)
	}
	type short struct {
		net, ref string
		access   int
		side     Side
		x, size  int64
		again    bool
		line     int
	}
	want := []short{
		{"GND", "J1", 1, SidePrimary, 1000000, 800000, false, 2},
		{"GND", "J1", 2, SideInner, 1000000, 900000, true, 3},
		{"GND", "J1", 4, SideSecondary, 1000000, 800000, true, 4},
		{"B", "U1", 1, SidePrimary, 3000000, 800000, false, 5},
		{"B", "U1", 1, SidePrimary, 3500000, 800000, true, 6},
	}
	if len(f.Records) != len(want) || len(f.Warnings) > 0 || !f.Complete || f.Layers != 4 {
		t.Fatalf("%d records, warnings %v, complete %v, layers %d", len(f.Records), f.Warnings, f.Complete, f.Layers)
	}
	for i, r := range f.Records {
		if got := (short{r.Net, r.Ref, r.Access, r.Side, r.At.X, r.Size[0], r.Again, r.Line}); got != want[i] {
			t.Errorf("record %d: got %+v, want %+v", i, got, want[i])
		}
	}
}

func TestHeadersAndSkipped(t *testing.T) {
	f, err := Read(strings.NewReader(`C  a comment
P  JOB   logger
P  CODE  00
P  UNITS CUST 0
P  TITLE DATA LOGGER
P  NUM   12
P  REV   B
P  VER   IPC-D-356A
P  IMAGE PRIMARY
378GND            L01  X0100        X+000000Y+000000 X+000100Y+000000
078                                 X+000200Y+000000
379GND            VCC
079               VDD
389BOARD_EDGE     X+000000Y+000000X+001000
089               Y+001000
389SCORE_LINE     X+000000Y+000000X+001000
317GND              VIA         D0118PA00X+000000Y+000000X0236Y0000R000S3
999
`), "f.d356")
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range map[string]string{"JOB": "logger", "CODE": "00", "UNITS": "CUST 0", "TITLE": "DATA LOGGER", "NUM": "12", "REV": "B", "VER": "IPC-D-356A", "IMAGE": "PRIMARY"} {
		if f.Headers[k] != want {
			t.Errorf("header %s is %q, want %q", k, f.Headers[k], want)
		}
	}
	if f.Conductors != 2 || f.Adjacencies != 2 || f.Outlines != 3 || len(f.Records) != 1 || len(f.Warnings) != 0 {
		t.Errorf("conductors %d, adjacencies %d, outlines %d, records %d, warnings %v", f.Conductors, f.Adjacencies, f.Outlines, len(f.Records), f.Warnings)
	}
}

func TestStreamFails(t *testing.T) {
	broken := errors.New("the cable came out")
	if _, err := Read(iotest.ErrReader(broken), "f.d356"); !errors.Is(err, broken) {
		t.Errorf("got %v, want it to wrap %v", err, broken)
	}
}
