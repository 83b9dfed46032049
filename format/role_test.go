package format

import (
	"testing"

	"ohmward/format/excellon"
	"ohmward/format/gerber"
)

// TestNames: customary names and endings (common practice, no source).
func TestNames(t *testing.T) {
	for name, want := range map[string]string{
		"x.GTL": "copper L1", "x.gbl": "copper bottom", "x.G1": "copper inner 1", "x.g2": "copper inner 2",
		"x.GP1": "copper inner 1", "x.G2L": "copper L2", "x.G3L": "copper L3", "x.G1L": "copper L1",
		"x.GTS": "mask top", "x.GBS": "mask bottom", "x.GTP": "paste top", "x.GBP": "paste bottom",
		"x.GTO": "legend top", "x.GBO": "legend bottom", "x.GKO": "profile", "x.GM1": "profile", "x.GML": "profile",
		"x-F_Cu.gbr": "copper L1", "x-F.Cu.gbr": "copper L1", "x-B_Cu.gbr": "copper bottom", "x-In1.Cu.gbr": "copper L2",
		"x-In12_Cu.gbr": "copper L13", "x-CuTop.gbr": "copper L1", "x-CuBottom.gbr": "copper bottom",
		"x-inner1.gbr": "copper inner 1", "x_inner_4.gbr": "copper inner 4", "Gerber_TopLayer.GTL": "copper L1",
		"TopLayer.gbr": "copper L1", "bottom_layer.ger": "copper bottom", "Gerber_InnerLayer1.G1": "copper inner 1",
		"layer2.gbr": "copper L2", "L3.gbr": "copper L3", "copper_top.gbr": "copper L1", "top.gbr": "copper L1",
		"board-bottom.gbr": "copper bottom", "x.cmp": "copper L1", "x.sol": "copper bottom",
		"x-F_Mask.gbr": "mask top", "x-B.Mask.gbr": "mask bottom", "MaskTop.gbr": "mask top", "soldermask_bottom.gbr": "mask bottom",
		"TopSolderMaskLayer.gbr": "mask top", "Top_Solder_Resist.gbr": "mask top",
		"x-F_Paste.gbr": "paste top", "PasteBottom.gbr": "paste bottom", "BottomPasteMaskLayer.gbr": "paste bottom",
		"x-F_SilkS.gbr": "legend top", "x-B_Silkscreen.gbr": "legend bottom", "silk_top.gbr": "legend top", "TopOverlay.gbr": "legend top",
		"x-Edge_Cuts.gbr": "profile", "x-EdgeCuts.gbr": "profile", "board_outline.gbr": "profile", "profile.gbr": "profile",
		"x-PTH-drl.gbr": "drill", "x-PTH-drl_map.gbr": "other", "x-F_Fab.gbr": "other", "x-F_CrtYd.gbr": "other",
		"x-Margin.gbr": "other", "x-User_Comments.gbr": "other", "readme.gbr": "other",
		"laptop.GBL": "copper bottom", "desktop-B_Cu.gbr": "copper bottom", "outline_tool-F_Cu.gbr": "copper L1",
		"drill_press.gtl": "copper L1", "dir.gtl/x-B_Mask.gbr": "mask bottom",
	} {
		if got, _ := GerberRole(name, nil); got.String() != want {
			t.Errorf("%s: got %v, want %s", name, got, want)
		}
	}
}

// TestFileFunction: REFERENCES E1, row .FileFunction, and trap T6.
func TestFileFunction(t *testing.T) {
	for _, c := range []struct {
		ff   []string
		want string
	}{
		{[]string{"Copper", "L1", "Top"}, "copper L1"},
		{[]string{"Copper", "L2", "Inr", "Plane"}, "copper L2"},
		{[]string{"Copper", "L4", "Bot", "Signal"}, "copper L4"},
		{[]string{"Soldermask", "Top"}, "mask top"},
		{[]string{"SolderMask", "Bot", "1"}, "mask bottom"},
		{[]string{"SolderPaste", "Top"}, "paste top"},
		{[]string{"Legend", "Bot"}, "legend bottom"},
		{[]string{"Profile", "NP"}, "profile"},
		{[]string{"Plated", "1", "4", "PTH"}, "drill plated 1-4"},
		{[]string{"NonPlated", "1", "2", "NPTH", "Drill"}, "drill unplated 1-2"},
		{[]string{"MixedPlating", "1", "2"}, "drill 1-2"},
		{[]string{"Component", "L1", "Top"}, "component top"},
		{[]string{"Drillmap"}, "other"},
		{[]string{"Other", "User"}, "other"},
	} {
		img := &gerber.Image{Attributes: map[string][]string{".FileFunction": c.ff}}
		got, why := GerberRole("x-B_Cu.gbl", img)
		if got.String() != c.want || why == "" {
			t.Errorf("%v: got %v, want %s", c.ff, got, c.want)
		}
	}
}

func TestDrillNames(t *testing.T) {
	for name, want := range map[string]string{
		"x.drl": "drill", "x-PTH.drl": "drill plated", "x-NPTH.drl": "drill unplated",
		"x-front-in1.drl": "drill 1-2", "x-in1-in2.drl": "drill 2-3", "x-in2-back.drl": "drill 3-bottom",
		"x-L1-L2.drl": "drill 1-2", "x_L3-L6_PTH.drl": "drill plated 3-6", "Drill_PTH_Through.DRL": "drill plated 1-bottom",
		"Drill_NPTH_Through.DRL": "drill unplated 1-bottom", "x-NonPlated.txt": "drill unplated", "x-Plated.txt": "drill plated",
		"x-non_plated.xln": "drill unplated", "x-PTH-NPTH.drl": "drill", "Drill_PTH_Through_Via.DRL": "drill plated 1-bottom",
		"x-in2-in1.drl": "drill", "x-front-back.drl": "drill 1-bottom",
	} {
		if got, _ := DrillRole(name, nil); got.String() != want {
			t.Errorf("%s: got %v, want %s", name, got, want)
		}
	}
	f := &excellon.File{Plating: excellon.Plated, From: 2, To: 3}
	if got, _ := DrillRole("x-NPTH-L1-L2.drl", f); got.String() != "drill plated 2-3" {
		t.Errorf("the file's own words must win: %v", got)
	}
	mixed := &excellon.File{Hits: []excellon.Hit{{Plating: excellon.Plated}, {Plating: excellon.Unplated}}}
	if got, _ := DrillRole("x-PTH.drl", mixed); got.Plated != excellon.PlatingUnknown {
		t.Errorf("a name must not overrule hits that differ: %v", got)
	}
}

func TestSniff(t *testing.T) {
	for _, c := range []struct {
		name, head string
		want       Kind
	}{
		{"x.txt", "%FSLAX24Y24*%\n%MOIN*%\n", Gerber},
		{"x.txt", "G04 Layer: TopLayer*\nG04 x*\n", Gerber},
		{"x.drl", "G75*\r%MOIN*%\r%OFA0B0*%\r", Gerber},
		{"x.gbr", "D10*X0Y0D02*X1Y1D01*M02*", Gerber},
		{"x.gbr", "M48\nMETRIC,TZ\nT1C0.3\n%\n", Excellon},
		{"x", "; DRILL file\n; FORMAT\nFMAT,2\nINCH\n", Excellon},
		{"x", "%\nT01\nX01Y02\nX03Y04\nX05Y06\nM30\n", Excellon},
		{"x", "\ufeffM48\r\nINCH\r\n", Excellon},
		{"x", "P  JOB   X\nP  UNITS CUST 0\n", IPCD356},
		{"x", "317GND              VIA        MD0039PA01X-050620Y+032205X0079Y0000R000S3\n", IPCD356},
		{"x", "<?xml version=\"1.0\"?>\n<IPC-2581 revision=\"C\" xmlns=\"http://webstds.ipc.org/2581\">", IPC2581},
		{"x", "<?xml version=\"1.0\"?><svg>", Unknown},
		{"x", "{\n \"Header\": {\"GenerationSoftware\": {}}}", Job},
		{"x.json", "{\"a\": 1}", Unknown},
		{"x", "PK\x03\x04....", Zip},
		{"x.xlsx", "PK\x03\x04....[Content_Types].xml", Unknown},
		{"x.gbr", "MZ\x00\x01", Unknown},
		{"readme.txt", "How to order: upload G04 files. X marks the spot.", Unknown},
		{"x.csv", "Ref,Val,X,Y\nC1,100n,1,2\n", Unknown},
		{"x.gtl", "", Gerber}, {"x.drl", " \n", Excellon}, {"x.txt", "", Unknown},
	} {
		if got := Sniff(c.name, []byte(c.head)); got != c.want {
			t.Errorf("%s %.30q: got %v, want %v", c.name, c.head, got, c.want)
		}
	}
}
