package boardread

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
)

// TestPackageNames: names of packages as layout programs, makers and IPC-7351
// write them.
func TestPackageNames(t *testing.T) {
	for _, c := range []struct {
		ref, name string
		want      string
	}{
		{"C1", "C_0201_0603Metric", "chip 0.6"},
		{"R1", "0603", "chip 1.6"},
		{"R1", "R_0603_1608Metric_Pad0.98x0.95mm_HandSolder", "chip 1.6"},
		{"R7", "RESC1005X40N", "chip 1.0"},
		{"C7", "CAPC1608X90N", "chip 1.6"},
		{"D1", "D_SOD-323_HandSoldering", "chip 2.6"},
		{"D1", "0404LED_RGB", "0"},
		{"Y1", "Crystal_SMD_2012-2Pin_2.0x1.2mm_HandSoldering", "chip"},
		{"TP3", "", "single"},
		{"H1", "PinHeader_1x04_P2.54mm_Vertical", "4"},
		{"J2", "PinHeader_2x20_P2.54mm_Vertical", "40"},
		{"U1", "SOT-23", "3"},
		{"U1", "SOT-23-5", "5"},
		{"U1", "SOT-563", "6"},
		{"U5", "SC70-6_DCK_TEX", "6"},
		{"U3", "SOP_8L_200_MAC", "8"},
		{"U2", "Texas_R-PDSO-G6", "6"},
		{"U1", "LQFP64_STM", "64"},
		{"U2", "QFN-48-1EP_7x7mm_P0.5mm_EP5.6x5.6mm", "48 heat"},
		{"U7", "DHVQFN-16-1EP_2.5x3.5mm_P0.5mm_EP1x2mm", "16 heat"},
		{"U4", "BGA-96_9.0x13.0mm_Layout2x3x16_P0.8mm", "96"},
		{"U4", "SON50P300X200X60-9N", "9"},
		{"U4", "SOIC127P600X175-8N", "8"},
		{"U5", "SOIC-8_5.23x5.23mm_P1.27mm", "8"},
		{"J3", "GCT_USB4110GFA", "0"},
		{"U9", "", "0"},
	} {
		p := patternOf(c.ref, c.name)
		got := fmt.Sprint(p.count)
		switch {
		case p.single:
			got = "single"
		case p.chip:
			got = "chip"
			if length, ok := strings.CutPrefix(c.want, "chip "); ok {
				var mm float64
				fmt.Sscan(length, &mm)
				if p.span[0] > mm || p.span[1] < 0.6*mm {
					t.Errorf("%s %s: span %v for a body of %v mm", c.ref, c.name, p.span, mm)
				}
				got = c.want
			}
		case p.heat:
			got += " heat"
		}
		if got != c.want {
			t.Errorf("%s %q: %s, want %s", c.ref, c.name, got, c.want)
		}
	}
}

// chipBoard is a board of two-pin parts in no regular order, without
// attributes, and lists of some files beside it.
func chipBoard(files map[string]string) fstest.MapFS {
	plot := ""
	for i := range 12 {
		x, y := 3+float64(i%4)*5.3, 3+float64(i/4)*5.1+float64(i*i%7)*0.2
		plot += "D12*\n" + flash(x-0.6, y) + flash(x+0.6, y)
	}
	set := fstest.MapFS{
		"b.gtl": {Data: gerberText("Copper,L1,Top", plot)},
		"b.gbl": {Data: gerberText("Copper,L2,Bot", "D10*\n"+line(1, 1, 3, 1))},
		"b.gko": {Data: gerberText("Profile,NP", "D10*\n"+box(0, 0, 26, 20))},
	}
	for name, text := range files {
		set[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return set
}

// chipList lists the parts of chipBoard, moved; every skip-th one elsewhere.
func chipList(dx, dy float64, skip int) string {
	out := "Ref,Val,Package,X (mm),Y (mm),Rot,Side\n"
	for i := range 12 {
		x, y := 3+float64(i%4)*5.3, 3+float64(i/4)*5.1+float64(i*i%7)*0.2
		if skip > 0 && i%skip == 0 {
			x, y = x+2.31+float64(i%3)*0.17, y+1.77-float64(i%5)*0.13
		}
		out += fmt.Sprintf("R%d,10k,R_0603_1608Metric,%.3f,%.3f,0,top\n", i+1, x+dx, y+dy)
	}
	return out
}

// What is matched, and what is told, on a board without pin attributes.
func TestMatchedDoubts(t *testing.T) {
	for _, c := range []struct {
		name  string
		files map[string]string
		parts int
		doubt []string
	}{
		{"no list", nil, 0, nil},
		{"a list in place", map[string]string{"p.csv": chipList(0, 0, 0)}, 12, []string{"12 of 12 listed parts are matched"}},
		{"a list moved", map[string]string{"p.csv": chipList(50, -70, 0)}, 12, []string{"12 of 12 listed parts are matched"}},
		{"three parts elsewhere", map[string]string{"p.csv": chipList(0, 0, 4)}, 9,
			[]string{"9 of 12 listed parts are matched", "3 listed parts have no pads", "R1, R5, R9"}},
		{"another board's list", map[string]string{"p.csv": chipList(0, 0, 1)}, 0, []string{"have no pads", "another board's list"}},
		{"a bill of materials", map[string]string{"p.csv": "Ref,Value,Footprint\nR1,10k,0603\nR2,1k,0603\n"}, 0,
			[]string{"a bill of materials alone does not tell where its 2 parts are"}},
		{"a spreadsheet", map[string]string{"p.xls": "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"}, 0,
			[]string{"no part is known, since no copper file carries pins, and this is a spreadsheet"}},
	} {
		b := mustRead(t, chipBoard(c.files), Options{})
		with := 0
		for _, p := range b.Parts {
			if len(p.Pads) == 2 {
				with++
			}
		}
		if with != c.parts {
			t.Errorf("%s: %d parts with pads, want %d: %v", c.name, with, c.parts, b.Doubts)
		}
		for _, d := range c.doubt {
			if !hasDoubt(b, d) {
				t.Errorf("%s: no doubt %q among %v", c.name, d, b.Doubts)
			}
		}
		if c.doubt == nil && hasDoubt(b, "parts") {
			t.Errorf("%s: %v", c.name, b.Doubts)
		}
	}
}
