package excellon

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"ohmward/format/fault"
	"ohmward/geom"
)

// drilled is a short account of all hits: tool, diameter and places in mm,
// plating where it is said.
func drilled(f *File) string {
	var b strings.Builder
	for _, h := range f.Hits {
		x, y := h.At.MM()
		fmt.Fprintf(&b, "%g@%g,%g", float64(h.Diameter)/1e6, x, y)
		if h.To != h.At {
			x, y = h.To.MM()
			fmt.Fprintf(&b, ">%g,%g", x, y)
		}
		b.WriteString([...]string{" ", "p ", "n "}[h.Plating])
	}
	return strings.TrimSpace(b.String())
}

// TestFlavours: whole small files as many programs write them (REFERENCES E2;
// common practice). Places are calculated beside the case where that is not
// plain.
func TestFlavours(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"with header", "M48\nMETRIC,TZ\nT01C0.500\nT02C1.000\n%\nG90\nG05\nT01\nX1.5Y2.5\nT02\nX3.0Y4.0\nT00\nM30\n", "0.5@1.5,2.5 1@3,4"},
		{"header ended by M95", "M48\nMETRIC,TZ\nT01C0.500\nM95\nT01\nX1.5Y2.5\nM30\n", "0.5@1.5,2.5"},
		{"no header", "%\nM71\nT1C0.5\nX1.5Y2.5\nM30\n", "0.5@1.5,2.5"},
		{"T01 and T1", "M48\nMETRIC\nT01C0.5\n%\nT1\nX1.0Y1.0\nM30\n", "0.5@1,1"},
		{"T1 and T01", "M48\nMETRIC\nT1C0.5\n%\nT01\nX1.0Y1.0\nM30\n", "0.5@1,1"},
		{"three digits", "M48\nMETRIC\nT001C0.5\nT010C0.8\n%\nT010\nX1.0Y1.0\nM30\n", "0.8@1,1"},
		{"T0 puts the tool away", "M48\nMETRIC\nT1C0.5\n%\nT1\nX1.0Y1.0\nT0\nM30\n", "0.5@1,1"},
		// 2.4 in inches: 10000 is one inch; 0.0315 inch is 0.8001 mm.
		{"inches, trailing kept", "M48\nINCH,TZ\nT1C0.0315\n%\nT1\nX10000Y5000\nM30\n", "0.8001@25.4,12.7"},
		{"inches, leading kept", "M48\nINCH,LZ\nT1C0.0315\n%\nT1\nX01Y005\nM30\n", "0.8001@25.4,12.7"},
		{"unit by M72", "M48\nM72\nT1C0.0315\n%\nT1\nX1.0Y.5\nM30\n", "0.8001@25.4,12.7"},
		{"unit by M71", "M48\nM71\nT1C0.8\n%\nT1\nX1.0Y.5\nM30\n", "0.8@1,0.5"},
		// 4.4 in millimetres: 123456 is 12.3456.
		{"digits in a comment", "M48\n;FILE_FORMAT=4:4\nMETRIC,TZ\nT1C0.8\n%\nT1\nX123456Y10000\nM30\n", "0.8@12.3456,1"},
		{"digits beside the unit", "M48\nMETRIC,LZ,000.000\nT1C0.8\n%\nT1\nX012345Y001\nM30\n", "0.8@12.345,1"},
		{"feed and speed before the size", "M48\nMETRIC\nT1F200S65C0.8\n%\nT1\nX1.0Y1.0\nM30\n", "0.8@1,1"},
		{"feed and speed after it", "M48\nMETRIC\nT1C0.8F200S65\n%\nT1\nX1.0Y1.0\nM30\n", "0.8@1,1"},
		{"retract and depth", "M48\nMETRIC\nT1C0.8B200H1000Z-1.6\n%\nT1\nX1.0Y1.0\nM30\n", "0.8@1,1"},
		{"other words of the header", "M48\nVER,1\nFMAT,2\nICI,OFF\nATC,ON\nTCST,OFF\nDETECT,ON\nMETRIC\nT1C0.8\n%\nG90\nG05\nT1\nX1.0Y1.0\nM30\n", "0.8@1,1"},
		{"size in the body", "M48\nMETRIC\n%\nT1C0.8\nX1.0Y1.0\nT2C0.9\nX2.0Y2.0\nM30\n", "0.8@1,1 0.9@2,2"},
		{"a tool defined and chosen in the body", "M48\nMETRIC\nT1C0.8\n%\nT1C0.8\nX1.0Y1.0\nM30\n", "0.8@1,1"},
		{"sign and spaces", "M48\nMETRIC\nT1C0.8\n%\nT1\nX+1.0 Y-1.0\nM30\n", "0.8@1,-1"},
		{"modal axes", "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nY2.0\nX3.0\nM30\n", "0.8@1,1 0.8@1,2 0.8@3,2"},
		{"incremental", "M48\nMETRIC\nT1C0.8\n%\nG91\nT1\nX1.0Y1.0\nX1.0\nM30\n", "0.8@1,1 0.8@2,1"},
		{"slot", "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0G85X2.0Y1.0\nM30\n", "0.8@1,1>2,1"},
		{"slot, digits implied", "M48\nMETRIC,LZ\nT1C0.8\n%\nT1\nX001Y001G85X002Y001\nM30\n", "0.8@1,1>2,1"},
		{"route", "M48\nMETRIC\nT1C0.8\n%\nT1\nG00X1.0Y1.0\nM15\nG01X2.0Y1.0\nG01Y3.0\nM16\nG05\nX9.0Y9.0\nM30\n", "0.8@1,1>2,1 0.8@2,1>2,3 0.8@9,9"},
		{"route ended by M17", "M48\nMETRIC\nT1C0.8\n%\nT1\nG00X1.0Y1.0\nM15\nG01X2.0\nM17\nG00X5.0Y5.0\nM15\nG01X6.0\nM17\nM30\n", "0.8@1,1>2,1 0.8@5,5>6,5"},
		{"repeat", "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nR2X1.0\nM30\n", "0.8@1,1 0.8@2,1 0.8@3,1"},
		{"repeat with both", "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nR2X1.0Y0.5\nM30\n", "0.8@1,1 0.8@2,1.5 0.8@3,2"},
		{"block repeated", "M48\nMETRIC\nT1C0.8\n%\nT1\nM25\nX1.0Y1.0\nX2.0Y1.0\nM01\nM02X0.0Y10.0\nM08\nM30\n", "0.8@1,1 0.8@2,1 0.8@1,11 0.8@2,11"},
		{"M00 ends", "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nM00\n", "0.8@1,1"},
		{"M02 ends", "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nM02\n", "0.8@1,1"},
		{"more than one end", "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nM30\n; made by hand\n(so)\n%\nM30\n\x1a\n", "0.8@1,1"},
		{"lower case", "m48\nmetric\nt1c0.8\n%\nt1\nx1.0y1.0\nm30\n", "0.8@1,1"},
		{"plated and unplated by comments", "M48\nMETRIC\n;TYPE=PLATED\nT1C0.8\n;TYPE=NON_PLATED\nT2C3.0\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y2.0\nM30\n", "0.8@1,1p 3@2,2n"},
		{"one size plated and unplated", "M48\nMETRIC\n;TYPE=PLATED\nT1C0.8\n;TYPE=NON_PLATED\nT2C0.8\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y2.0\nM30\n", "0.8@1,1p 0.8@2,2n"},
		{"attributes of tools", "M48\n; #@! TF.FileFunction,MixedPlating,1,4\nMETRIC\n; #@! TA.AperFunction,Plated,PTH,ViaDrill\nT1C0.3\n; #@! TA.AperFunction,NonPlated,NPTH,MechanicalDrill\nT2C3.0\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y2.0\nM30\n", "0.3@1,1p 3@2,2n"},
	} {
		for _, end := range []string{"\n", "\r\n", "\r"} {
			f := mustRead(t, strings.ReplaceAll(c.text, "\n", end))
			if got := drilled(f); got != c.want || !f.Complete || len(f.Warnings) > 0 {
				t.Errorf("%s: got %s, want %s; complete %v, warnings %v", c.name, got, c.want, f.Complete, f.Warnings)
			}
		}
	}
}

// TestRoutedArc: a quarter circle of radius 5 about the origin, by centre and
// by radius, in both directions: every chord's middle lies within 2 um of it.
func TestRoutedArc(t *testing.T) {
	for _, c := range []struct{ from, arc, to string }{
		{"X5.0Y0.0", "G03X0.0Y5.0I-5.0J0.0", "0,5"}, {"X5.0Y0.0", "G03X0.0Y5.0A5.0", "0,5"},
		{"X0.0Y5.0", "G02X5.0Y0.0I0.0J-5.0", "5,0"}, {"X0.0Y5.0", "G02X5.0Y0.0A5.0", "5,0"},
	} {
		f := mustRead(t, "M48\nMETRIC\nT1C1.0\n%\nT1\nG00"+c.from+"\nM15\n"+c.arc+"\nM16\nG05\nM30\n")
		length := 0.0
		for _, h := range f.Hits {
			x, y := geom.Point{X: h.At.X + h.To.X, Y: h.At.Y + h.To.Y}.MM()
			if off := math.Abs(math.Hypot(x/2, y/2) - 5); off > 0.002 {
				t.Errorf("%s: %g mm off the circle", c.arc, off)
			}
			length += geom.Distance(h.At, h.To) * 1e-6
		}
		last := f.Hits[len(f.Hits)-1].To
		x, y := last.MM()
		if math.Abs(length-2.5*math.Pi) > 0.005 || fmt.Sprintf("%g,%g", x, y) != c.to {
			t.Errorf("%s: length %g, ends at %v", c.arc, length, last)
		}
	}
}

// TestCutOff: a file cut at any byte is told as cut off, never as malformed,
// and drills nothing that the whole file does not.
func TestCutOff(t *testing.T) {
	const whole = "M48\n; made by hand\nMETRIC,TZ\nT1C0.800\nT2C1.000\n%\nG90\nG05\nT1\nX12.5Y-3.25\nX12.5Y14.0G85X13.5Y14.0\nT2\nX7.25\nR2X1.5\n" +
		"G00X1.0Y1.0\nM15\nG03X0.0Y2.0I-1.0J0.0\nM16\nG05\nT0\nM30\n"
	all := map[string]bool{}
	for _, h := range mustRead(t, whole).Hits {
		all[fmt.Sprint(h.At, h.To, h.Diameter)] = true
	}
	for n := len("M48\n"); n < len(whole)-len("\n"); n++ {
		f, err := Read(strings.NewReader(whole[:n]), "cut.drl")
		if err != nil {
			t.Errorf("cut after %q: %v", whole[max(0, n-20):n], err)
			continue
		}
		if f.Complete {
			t.Errorf("cut after %q: complete", whole[max(0, n-20):n])
		}
		for _, h := range f.Hits {
			if !all[fmt.Sprint(h.At, h.To, h.Diameter)] {
				t.Errorf("cut after %q: drills %v", whole[max(0, n-20):n], h)
			}
		}
	}
}

// TestReports: tool sizes as reports beside drill files give them (common
// practice, no source). 0.0320 inch is 0.8128 mm, 28 mil is 0.7112 mm.
func TestReports(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       string
	}{
		{"code and size", " Code  Size       used\n T01   0.0320inch  12\n T02   1.00mm     3\n", "T1 812800 T2 1000000"},
		{"mils and millimetres", "Tool  Hole Size  Type  Count  Plated\nT1    28mil (0.711mm)  Round  173  PLATED\nT2    128mil (3.25mm) Round 4 NPTH\n", "T1 711200p T2 3251200n"},
		{"inch sign", "T1  0.80mm  0.0315\"  (10 holes)\nT2  3.00mm  0.1181\"  (4 holes)  (with 4 slots)\n", "T1 800000 T2 3000000"},
		{"unit above", "Units: inches\nTool 1   0.0320   12\nTool 2: 0.0400  3\n", "T1 812800 T2 1016000"},
		{"unit above, metric", "Format: metric 3.3\nT01 = 0.800\nT02 = 1.000 non-plated\n", "T1 800000 T2 1000000n"},
		{"count before the size", "T1 | 12 | 0.8mm | plated\n", "T1 800000p"},
		{"told twice alike", "T1 0.8mm\nT1 0.8mm\n", "T1 800000"},
		{"told twice otherwise", "T1 0.8mm\nT1 0.9mm\nT2 1mm\n", "T2 1000000"},
		{"no unit at all", "T1 0.8\n", ""},
		{"no report", "Top layer 0.8mm\nTotal 12 holes\nThe tool is 3 mm\n", ""},
		{"too wide", "T1 300mm\n", ""},
	} {
		sizes, err := ReadReport(strings.NewReader(c.text))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for n := range 100 {
			if s, told := sizes[n]; told {
				got = append(got, fmt.Sprintf("T%d %d%s", n, s.Diameter, [...]string{"", "p", "n"}[s.Plating]))
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: got %v, want %s", c.name, got, c.want)
		}
	}
}

func TestResize(t *testing.T) {
	f := mustRead(t, "M48\nMETRIC\nT1\nT2C1.0\nT3\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y2.0\nT3\nX3.0Y3.0\nM30\n")
	if got := fmt.Sprint(f.Sizeless()); got != "[1 3]" || len(f.Warnings) != 2 {
		t.Fatalf("without size: %v, warnings %v", got, f.Warnings)
	}
	f.Resize(map[int]Size{1: {Diameter: 800_000, Plating: Plated}, 2: {Diameter: 5_000_000}})
	if got := drilled(f); got != "0.8@1,1p 1@2,2 0@3,3" || len(f.Warnings) != 1 || !strings.Contains(f.Warnings[0].What, "T3") {
		t.Errorf("got %s, warnings %v", got, f.Warnings)
	}
}

// TestClasses: what is refused names its line and is of the right class.
func TestClasses(t *testing.T) {
	for text, want := range map[string]string{
		"M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nR2000000000X0.1\nM30\n":           "x.drl:7: too large: 2000000000 repeats",
		"M48\nMETRIC\nT1C0.8\n%\nT1\nX99999999999999999999.0Y1.0\nM30\n":         "x.drl:6: coordinate 99999999999999999999.0 lies beyond a metre",
		"M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nR9000000X900.0\nM30\n":            "x.drl:7: ",
		"M48\nMETRIC\nT99999999999999999999C0.8\n%\nT1\nX1.0Y1.0\nM30\n":         "x.drl:3: malformed tool number",
		"M48\nMETRIC\nT1-T999999999C0.8\n%\nT1\nX1.0Y1.0\nM30\n":                 "x.drl:3: malformed tool number",
		"M48\nMETRIC\nT1C0.8\n%\nT1\nG00X0.0Y0.0\nM15\nG02X1.0A999999999\nM30\n": "x.drl:8: coordinate 999999999 lies beyond a metre",
	} {
		_, err := Read(strings.NewReader(text), "x.drl")
		var e *fault.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%.30q: %v, want %s", text, err, want)
		}
	}
}

// Nothing counts behind the end mark, and that is told once.
func TestBehindEnd(t *testing.T) {
	f := mustRead(t, "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nM30\nX2.0Y2.0\nX3.0Y3.0\nM30\n")
	if got := drilled(f); got != "0.8@1,1" || len(f.Warnings) != 1 || !f.Warnings[0].Lost || f.Warnings[0].Line != 8 {
		t.Errorf("got %s, warnings %v", got, f.Warnings)
	}
}
