package excellon

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
	"ohmward/geom"
)

func mustRead(t *testing.T, text string) *File {
	t.Helper()
	f, err := Read(strings.NewReader(text), "test.drl")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestFigures: units, zeros and digits (REFERENCES E2, rows Header and Zeros).
func TestFigures(t *testing.T) {
	for _, c := range []struct {
		name, head, at string
		x, y, d        float64 // mm
	}{
		{"inch, leading kept", "INCH,LZ\nT1C0.0280", "X03185Y028071", 80.899, 71.30034, 0.7112},
		{"inch, trailing kept", "INCH,TZ\nT1C0.0280", "X7003Y2682", 17.78762, 6.81228, 0.7112},
		{"metric, leading kept", "METRIC,LZ\nT1C0.301", "X-009391Y-00485", -9.391, -4.85, 0.301},
		{"metric, trailing kept", "METRIC,TZ\nT1C0.301", "X-9391Y4850", -9.391, 4.85, 0.301},
		{"metric with digits", "METRIC,LZ,000.000\nT1C0.301", "X-009391Y-004849", -9.391, -4.849, 0.301},
		{"metric 4.2", "METRIC,TZ,0000.00\nT1C0.3", "X1234Y5", 12.34, 0.05, 0.3},
		{"metric 3.2, digits first", "METRIC,000.00,LZ\nT1C0.3", "X012Y1", 12, 100, 0.3},
		{"file format comment", ";FILE_FORMAT=4:4\nMETRIC,TZ\nT1C0.3", "X123456Y10000", 12.3456, 1, 0.3},
		{"format comment, zeros", "; FORMAT={3:3/ absolute / metric / suppress leading zeros}\nMETRIC\nT1C0.3", "X12345Y1", 12.345, 0.001, 0.3},
		{"format comment, trailing omitted", "; FORMAT={2:4/ absolute / inch / suppress trailing zeros}\nINCH\nT1C0.01", "X01Y005", 25.4, 12.7, 0.254},
		{"format comment, unit", "; FORMAT={-:-/ absolute / inch / decimal}\nT1C0.01", "X1.0Y.5", 25.4, 12.7, 0.254},
		{"points beat all", "METRIC,TZ\nT1C0.3", "X12.5Y-83.", 12.5, -83, 0.3},
		{"M72 alone", "M72\nT1C0.0197", "X7003Y2682", 17.78762, 6.81228, 0.50038},
		{"M71 alone", "M71\nT1C0.5", "X7003Y2682", 7.003, 2.682, 0.5},
		{"tool size in digits", "METRIC,TZ\nT1C300", "X7003Y2682", 7.003, 2.682, 0.3},
		{"feeds before size", "INCH,LZ\nT1F00S00C0.0280", "X03185Y028071", 80.899, 71.30034, 0.7112},
		{"feeds after size", "INCH\nT01C0.0280F085S055", "X1.0Y2.0", 25.4, 50.8, 0.7112},
		{"range of tools", "METRIC\nT01-T05C0.8", "X1.0Y2.0", 1, 2, 0.8},
		{"short range of tools", "METRIC\nT01-05C0.8", "X1.0Y2.0", 1, 2, 0.8},
	} {
		f := mustRead(t, "M48\n"+c.head+"\n%\nT1\n"+c.at+"\nT0\nM30\n")
		if len(f.Hits) != 1 {
			t.Errorf("%s: %d hits", c.name, len(f.Hits))
			continue
		}
		h := f.Hits[0]
		if h.At != geom.FromMM(c.x, c.y) || h.To != h.At || h.Diameter != int64(math.Round(c.d*1e6)) || !f.Complete {
			t.Errorf("%s: got %+v, want %+v", c.name, h, c)
		}
	}
}

// TestZerosNotGiven: coordinates themselves tell, with a warning.
func TestZerosNotGiven(t *testing.T) {
	f := mustRead(t, "M48\nINCH\nT1C0.02\n%\nT1\nX01Y0255\nX00125Y1\nM30\n")
	if f.Hits[0].At != geom.FromMM(25.4, 64.77) || len(f.Warnings) != 1 || f.Trusted {
		t.Errorf("leading kept: %v, %v", f.Hits[0].At, f.Warnings)
	}
	f = mustRead(t, "M48\nINCH\nT1C0.02\n%\nT1\nX10000Y25500\nX1250Y100\nM30\n")
	if f.Hits[0].At != geom.FromMM(25.4, 64.77) || f.Trusted {
		t.Errorf("trailing kept: %v", f.Hits[0].At)
	}
	f = mustRead(t, "M48\nT1C0.8\n%\nT1\nX10.0Y25.5\nM30\n")
	if !f.Metric || len(f.Warnings) != 1 {
		t.Errorf("unit from sizes: metric %v, %v", f.Metric, f.Warnings)
	}
}

// way is a short account of hits, mm.
func way(f *File) string {
	var b strings.Builder
	for _, h := range f.Hits {
		x, y := h.At.MM()
		fmt.Fprintf(&b, "T%d %g,%g", h.Tool, x, y)
		if h.To != h.At {
			x, y = h.To.MM()
			fmt.Fprintf(&b, ">%g,%g", x, y)
		}
		b.WriteString("; ")
	}
	return b.String()
}

func TestBody(t *testing.T) {
	const head = "M48\nMETRIC\nT1C0.5\nT2C1.0\n%\n"
	for _, c := range []struct{ name, body, want string }{
		{"modal axes", "T1\nX1.0Y2.0\nX3.0\nY4.0", "T1 1,2; T1 3,2; T1 3,4; "},
		{"two tools", "T1\nX1.0Y2.0\nT02\nX3.0Y4.0", "T1 1,2; T2 3,4; "},
		{"tool with compensation", "T0102\nX1.0Y2.0", "T1 1,2; "},
		{"tool and hit in one line", "T2X1.0Y2.0", "T2 1,2; "},
		{"slot", "T1\nX1.0Y2.0G85X3.0Y2.0", "T1 1,2>3,2; "},
		{"slot, one axis", "T1\nX1.0Y2.0G85Y5.0\nX9.0", "T1 1,2>1,5; T1 9,5; "},
		{"route", "T2\nG00X1.0Y1.0\nM15\nG01X2.0Y1.0\nX2.0Y3.0\nM16\nG05\nX9.0Y9.0", "T2 1,1>2,1; T2 2,1>2,3; T2 9,9; "},
		{"route, tool up", "T2\nG00X1.0Y1.0\nM15\nG01X2.0Y1.0\nM17\nG01X5.0Y5.0\nG05", "T2 1,1>2,1; "},
		{"plunge alone", "T2\nG00X1.0Y1.0\nM15\nM16\nG05", "T2 1,1; "},
		{"route without lifts", "T2\nG00X1.0Y1.0\nG01X2.0Y1.0\nG05", "T2 1,1>2,1; "},
		{"incremental", "G91\nT1\nX1.0Y1.0\nX1.0Y0.5\nG90\nX1.0Y1.0", "T1 1,1; T1 2,1.5; T1 1,1; "},
		{"incremental by ICI", "ICI,ON\nT1\nX1.0Y1.0\nX1.0Y0.5", "T1 1,1; T1 2,1.5; "},
		{"zero set", "G93X10.0Y20.0\nT1\nX1.0Y1.0", "T1 11,21; "},
		{"repeat", "T1\nX1.0Y1.0\nR3X2.0\nX0.0Y9.0", "T1 1,1; T1 3,1; T1 5,1; T1 7,1; T1 0,9; "},
		{"repeat, then modal", "T1\nX1.0Y1.0\nR2X1.0Y1.0\nX9.0", "T1 1,1; T1 2,2; T1 3,3; T1 9,3; "},
		{"pattern", "T1\nM25\nX1.0Y1.0\nX2.0Y1.0\nM01\nR2M02X0.0Y5.0\nM08", "T1 1,1; T1 2,1; T1 1,6; T1 2,6; T1 1,11; T1 2,11; "},
		{"pattern in a line each", "T1\nM25\nX1.0Y1.0\nM01\nM02X10.0Y0.0\nM02X0.0Y10.0\nM08", "T1 1,1; T1 11,1; T1 11,11; "},
		{"line numbers", "N10T1\nN20X1.0Y2.0", "T1 1,2; "},
		{"drill cycle", "G81\nT1\nX1.0Y2.0", "T1 1,2; "},
		{"lower case", "t1\nx1.0y2.0", "T1 1,2; "},
		{"comment behind", "T1 ; small\nX1.0Y2.0 ; here", "T1 1,2; "},
	} {
		for _, end := range []string{"\n", "\r\n", "\r"} {
			f := mustRead(t, strings.ReplaceAll(head+c.body+"\nM30\n", "\n", end))
			if got := way(f); got != c.want || !f.Complete {
				t.Errorf("%s: got %s want %s, warnings %v", c.name, got, c.want, f.Warnings)
			}
		}
	}
}

// TestNoHeader: XNC needs one, old files do without.
func TestNoHeader(t *testing.T) {
	f := mustRead(t, "%\nT1C0.5\nMETRIC\nX1.0Y2.0\nT2C0.8\nX3.0Y4.0\nM30\n")
	if way(f) != "T1 1,2; T2 3,4; " || f.Hits[1].Diameter != 800_000 {
		t.Errorf("got %s %+v", way(f), f.Hits)
	}
	f = mustRead(t, "M48\nMETRIC\nT1C0.5\nT2C0.8\nT1\nX1.0Y2.0\nT2\nX3.0Y4.0\nM30\n") // it never ends
	if way(f) != "T1 1,2; T2 3,4; " || f.Hits[1].Diameter != 800_000 {
		t.Errorf("header without end: %s %+v", way(f), f.Hits)
	}
}

// TestArcs: chords stay within 2 um of the circle, ends are exact.
func TestArcs(t *testing.T) {
	for _, c := range []struct {
		name, arc string
		cx, cy, r float64
		length    float64 // of the true arc, mm
		toX, toY  float64
	}{
		{"quarter, radius", "G03X0.0Y10.0A10.0", 0, 0, 10, math.Pi * 5, 0, 10},
		{"quarter the other way, radius", "G02X0.0Y10.0A10.0", 10, 10, 10, math.Pi * 5, 0, 10},
		{"quarter, centre", "G03X0.0Y10.0I-10.0J0", 0, 0, 10, math.Pi * 5, 0, 10},
		{"three quarters, centre", "G02X0.0Y10.0I-10.0J0", 0, 0, 10, math.Pi * 15, 0, 10},
		{"whole, centre", "G03X10.0Y0.0I-2.0J0", 8, 0, 2, math.Pi * 4, 10, 0},
	} {
		f := mustRead(t, "M48\nMETRIC\nT1C1.0\n%\nT1\nG00X10.0Y0.0\nM15\n"+c.arc+"\nM16\nG05\nM30\n")
		sum := 0.0
		for i, h := range f.Hits {
			if i > 0 && f.Hits[i-1].To != h.At {
				t.Errorf("%s: gap before chord %d", c.name, i)
			}
			x0, y0 := h.At.MM()
			x1, y1 := h.To.MM()
			sum += math.Hypot(x1-x0, y1-y0)
			off := math.Abs(math.Hypot((x0+x1)/2-c.cx, (y0+y1)/2-c.cy) - c.r)
			if off > 0.002 {
				t.Errorf("%s: chord strays %g mm", c.name, off)
			}
		}
		if math.Abs(sum-c.length) > 0.01 || f.Hits[len(f.Hits)-1].To != geom.FromMM(c.toX, c.toY) {
			t.Errorf("%s: length %g, want %g; ends at %v", c.name, sum, c.length, f.Hits[len(f.Hits)-1].To)
		}
	}
}

func TestPlating(t *testing.T) {
	for _, c := range []struct {
		name, text string
		file       Plating
		hits       []Plating
		from, to   int
	}{
		{"nothing", "METRIC\nT1C1\nT2C2\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y2.0", PlatingUnknown, []Plating{PlatingUnknown, PlatingUnknown}, 0, 0},
		{"file attribute", "; #@! TF.FileFunction,Plated,1,4,PTH\nMETRIC\nT1C1\n%\nT1\nX1.0Y1.0", Plated, []Plating{Plated}, 1, 4},
		{"file attribute, blind", "; #@! TF.FileFunction,Plated,1,2,Blind\nMETRIC\nT1C1\n%\nT1\nX1.0Y1.0", Plated, []Plating{Plated}, 1, 2},
		{"file attribute, unplated", ";#@! TF.FileFunction,NonPlated,1,2,NPTH\nMETRIC\nT1C1\n%\nT1\nX1.0Y1.0", Unplated, []Plating{Unplated}, 1, 2},
		{"mixed, by tool", "; #@! TF.FileFunction,MixedPlating,1,2\nMETRIC\n; #@! TA.AperFunction,Plated,PTH,ViaDrill\nT1C1\n; #@! TA.AperFunction,NonPlated,NPTH,ComponentDrill\nT2C2\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y2.0", PlatingUnknown, []Plating{Plated, Unplated}, 1, 2},
		{"sections", "METRIC\n;TYPE=PLATED\nT1C1\n;TYPE=NON_PLATED\nT2C2\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y2.0", PlatingUnknown, []Plating{Plated, Unplated}, 0, 0},
		{"one section", "METRIC\n;TYPE=PLATED\nT1C1\n%\nT1\nX1.0Y1.0", Plated, []Plating{Plated}, 0, 0},
		{"sizes in comments", "METRIC\n;  Holesize 1. = 12.0 Tolerance = +0.0/-0.0 PLATED MILS Quantity = 1\n;  Holesize 2. = 40.0 Tolerance = +0.0/-0.0 NON_PLATED MILS Quantity = 1\n%\nT01\nX1.0Y1.0\nT02\nX2.0Y2.0", PlatingUnknown, []Plating{Plated, Unplated}, 0, 0},
	} {
		f := mustRead(t, "M48\n"+c.text+"\nM30\n")
		var hits []Plating
		for _, h := range f.Hits {
			hits = append(hits, h.Plating)
		}
		if f.Plating != c.file || !reflect.DeepEqual(hits, c.hits) || f.From != c.from || f.To != c.to {
			t.Errorf("%s: file %d, hits %v, span %d-%d; want %+v", c.name, f.Plating, hits, f.From, f.To, c)
		}
	}
	f := mustRead(t, "M48\nMETRIC\n;  Holesize 1. = 12.0 Tolerance = +0.0/-0.0 PLATED MILS\n%\nT01\nX1.0Y1.0\nM30\n")
	if f.Hits[0].Diameter != 304_800 {
		t.Errorf("size from a comment: %d", f.Hits[0].Diameter)
	}
}

// TestTooLarge: repeats of repeats end at the limit.
func TestTooLarge(t *testing.T) {
	for _, body := range []string{
		"X" + strings.Repeat("1", maxLine) + "\n",
		"X1.0\n" + strings.Repeat("R90X0.0\n", 20),
		"M25\nX1.0\nX2.0\nM01\n" + strings.Repeat("R90M02X0.0\n", 20),
		strings.Repeat("X1.0\n", 2000),
		"G00X0.0Y0.0\nM15\n" + strings.Repeat("G02X0.0Y0.0I100.0\n", 50),
	} {
		_, err := read(strings.NewReader("M48\nMETRIC\nT1C1.0\n%\nT1\n"+body), "x.drl", limits{bytes: 1 << 20, hits: 1000})
		if !readertest.IsUnsupported(err, "too large") {
			t.Errorf("%.20q: %v", body, err)
		}
	}
}
