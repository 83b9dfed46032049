package format

import (
	"sort"
	"strings"
	"testing"
)

// TestMoreNames: endings and words of many layout programs (common practice,
// no source).
func TestMoreNames(t *testing.T) {
	for want, names := range map[string]string{
		"copper L1": "TOP.art|x.TOP|Copper_Signal_Top.gbr|EtchLayerTop.gdo|EtchLayer1Top.gdo|ART01.PHO|art001.pho|x - CADCAM Top Copper.TXT|" +
			"Top Copper.gbr|x_copper_top.gbr|x_copperTop.gtl|COMPONENT_SIDE.ger|CompSide.gbr|x.toplayer.ger|front.gbr|Conductor-1.fph|L1-TOP.gbr|" +
			"signal_top.pho|x-F_Cu.gtl|board name with spaces-F_Cu.gbr|Layer_1.cam|TOPCOPPER.GER|copper-layer-1.gbr|x (Top Copper).gbr",
		"copper bottom": "BOTTOM.art|x.BOT|Copper_Signal_Bot.gbr|EtchLayerBottom.gdo|x - CADCAM Bottom Copper.TXT|x_copper_bottom.gbr|SOLDER_SIDE.ger|" +
			"SolderSide.gbr|back.gbr|x.bottomlayer.ger|Bottom Copper.gbr|x_copperBottom.gbl",
		"copper L2": "ART02.PHO|art002.pho|EtchLayer2.gdo|L2_GND.art|GND02.art|PWR02.pho|x-L02.gbr|Conductor-2.fph|layer_02_gnd.gbr|x-In1_Cu.gbr",
		"copper L4": "EtchLayer4Bottom.gdo|art004.pho|L4-BOT.gbr",
		"copper inner 1": "Copper_Signal_1.gbr|Copper_Plane_1.gbr|x.G1|x.GP1|x.IN1|x.internalplane1.ger|InnerLayer1.gbr|Inner1.gbr|MidLayer1.gbr|Mid 1.ger|" +
			"Int1.gbr|Copper Inner 1.gbr|x.GND|GND.art|Ground Plane.gbr|x - CADCAM Inner 1.TXT|Inner Layer 01.gbr",
		"copper inner 2":  "x.ly2|x.LY2|x.PWR|POWER.art|PWR.pho|x.VCC|Copper_Plane_2.gbr|inner_2.gbr",
		"copper inner 15": "x.ly15",
		"mask top": "x.tsm|SOLDERMASK_TOP.art|SM0121.PHO|sm001021.pho|SMT.art|Soldermask_Top.gbr|SoldermaskTop.gdo|x - CADCAM Top Solder Resist.TXT|" +
			"Top Copper (Resist).gbr|Resist-A.fph|topmask.gbr|x_soldermask_top.gbr|solder_stop_top.gbr|x_maskTop.gts|x-tsm.pho|x.TSM",
		"mask bottom": "x.bsm|SOLDERMASK_BOTTOM.art|SM0228.PHO|sm028028.pho|SMB.art|Resist-B.fph|bottommask.gbr|Bottom Copper (Resist).gbr|Mask Bottom.gbr",
		"paste top": "x.tsp|x.tps|PASTEMASK_TOP.art|SMD0123.PHO|smd001023.pho|SPT.art|Paste_Top.gbr|SolderPasteTop.gdo|x - CADCAM Top SMT Paste Mask.TXT|" +
			"x_smdmask_top.gbr|MetalMask-A.fph|x.tcream.ger|Top Copper (Paste).gbr|x_pasteMaskTop.gtp|stencil_top.gbr",
		"paste bottom": "x.bsp|x.bps|PASTEMASK_BOTTOM.art|SMD0222.PHO|MetalMask-B.fph|x.bcream.ger|x_smdmask_bottom.gbr",
		"legend top": "x.tsk|x.tss|SILKSCREEN_TOP.art|SST0126.PHO|sst001026.pho|SST.art|Legend_Top.gbr|SilkscreenTop.gdo|x - CADCAM Top Silk Screen.TXT|" +
			"Symbol-A.fph|topsilk.gbr|TopOverlay.gbr|x_silkTop.gto|Top Silkscreen.gbr",
		"legend bottom": "x.bsk|SILKSCREEN_BOTTOM.art|SSB0229.PHO|Symbol-B.fph|bottomsilk.gbr|BottomOverlay.gbr",
		"profile": "x.mil|OUTLINE.art|BoardOutline.gdo|x.boardoutline.ger|Profile.gbr|x_contour.gm1|x - CADCAM Mechanical 1.TXT|Board Outline.gbr|" +
			"Mechanical1.gbr|x.GKO|Gerber_BoardOutlineLayer.GKO|board-edge.gbr|Dimension.ger|OutLine.fph|x-route.gbr",
		"drill": "x - CADCAM Drill.TXT|drill.gbr|PTH.gbr",
		"other": "ADT.art|AST.pho|TopAssembly.gbr|topassy.gbr|Assembly Drawing Top.gbr|DrillDrawingThrough.gdo|Drill_Drawing.gbr|x-drill_map.gbr|FAB.art|" +
			"Fabrication Notes.gbr|Keep-out.gbr|KeepOutTop.gbr|x.gm13|x.gd1|x.gg1|x.gpt|x-User_1.gbr|Top Courtyard.gbr|Top Assembly.gbr|Power supply board.gbr|" +
			"Top Pads Master.gbr|readme.ger",
	} {
		for _, name := range strings.Split(names, "|") {
			got, why := GerberRole(name, nil)
			if got.String() != want || why == "" {
				t.Errorf("%s: got %v (%s), want %s", name, got, why, want)
			}
		}
	}
}

func TestWhy(t *testing.T) {
	for name, want := range map[string]string{
		"x.GTL": "ending .gtl", "Bottom Copper.gbr": `its name says "bottom copper"`,
		"x-In1_Cu.gbr": `its name says "in1 cu"`, "x.zzz": "neither attribute nor name tells",
	} {
		if _, why := GerberRole(name, nil); why != want {
			t.Errorf("%s: %s, want %s", name, why, want)
		}
	}
}

// TestSets: whole sets as layout programs name them, with invented project
// names, some of which hold words of layers themselves. Drill files are named
// apart from images, since their content tells them.
func TestSets(t *testing.T) {
	for set, files := range map[string]string{
		"two layers, endings": `RAINGAUGE.GTL copper L1|RAINGAUGE.GBL copper bottom|RAINGAUGE.GTS mask top|RAINGAUGE.GBS mask bottom|
			RAINGAUGE.GTO legend top|RAINGAUGE.GBO legend bottom|RAINGAUGE.GTP paste top|RAINGAUGE.GKO profile|RAINGAUGE.GM15 other`,
		"two layers, component and solder side": `pump.cmp copper L1|pump.sol copper bottom|pump.stc mask top|pump.sts mask bottom|
			pump.plc legend top|pump.pls legend bottom|pump.crc paste top|pump.dim profile`,
		"two layers, words with spaces": `Top side lamp - Top Copper.gbr copper L1|Top side lamp - Bottom Copper.gbr copper bottom|
			Top side lamp - Top Copper (Resist).gbr mask top|Top side lamp - Bottom Copper (Resist).gbr mask bottom|
			Top side lamp - Top Silkscreen.gbr legend top|Top side lamp - Board Outline.gbr profile|Top side lamp - Top Copper (Paste).gbr paste top`,
		"two layers, front and back": `front.gbr copper L1|back.gbr copper bottom|frontmask.gbr mask top|backmask.gbr mask bottom|
			frontsilk.gbr legend top|frontpaste.gbr paste top|outline.gbr profile|fab.gbr other`,
		"four layers, full names": `Bottom_Feeder-F_Cu.gbr copper L1|Bottom_Feeder-In1_Cu.gbr copper L2|Bottom_Feeder-In2_Cu.gbr copper L3|
			Bottom_Feeder-B_Cu.gbr copper bottom|Bottom_Feeder-F_Mask.gbr mask top|Bottom_Feeder-B_Mask.gbr mask bottom|
			Bottom_Feeder-F_Silkscreen.gbr legend top|Bottom_Feeder-B_Paste.gbr paste bottom|Bottom_Feeder-Edge_Cuts.gbr profile|
			Bottom_Feeder-User_Drawings.gbr other|Bottom_Feeder-F_Courtyard.gbr other`,
		"four layers, numbered art": `art001.pho copper L1|art002.pho copper L2|art003.pho copper L3|art004.pho copper L4|
			sm001021.pho mask top|sm004028.pho mask bottom|sst001026.pho legend top|ssb004029.pho legend bottom|
			smd001023.pho paste top|smd004022.pho paste bottom|adt001027.pho other`,
		"four layers, planes by name": `TOP.art copper L1|GND.art copper inner 1|PWR.art copper inner 2|BOTTOM.art copper bottom|
			SMT.art mask top|SMB.art mask bottom|SST.art legend top|SPT.art paste top|OUTLINE.art profile|ADT.art other`,
		"four layers, planes numbered": `TOP.art copper L1|GND02.art copper L2|PWR03.art copper L3|BOTTOM.art copper bottom|
			SOLDERMASK_TOP.art mask top|PASTEMASK_BOTTOM.art paste bottom|SILKSCREEN_TOP.art legend top`,
		"four layers, capitals": `TIDE_COPPER_SIGNAL_TOP.GBR copper L1|TIDE_COPPER_PLANE_1.GBR copper inner 1|TIDE_COPPER_PLANE_2.GBR copper inner 2|
			TIDE_COPPER_SIGNAL_BOT.GBR copper bottom|TIDE_SOLDERMASK_TOP.GBR mask top|TIDE_PROFILE.GBR profile|TIDE_LEGEND_BOT.GBR legend bottom`,
		"six layers, etch": `EtchLayer1Top.gdo copper L1|EtchLayer2.gdo copper L2|EtchLayer3.gdo copper L3|EtchLayer4.gdo copper L4|
			EtchLayer5.gdo copper L5|EtchLayer6Bottom.gdo copper L6|SoldermaskTop.gdo mask top|SolderPasteBottom.gdo paste bottom|
			SilkscreenTop.gdo legend top|BoardOutline.gdo profile|DrillDrawingThrough.gdo other|AssemblyTop.gdo other`,
		"six layers, inner layers by ending": `well.GTL copper L1|well.G1 copper inner 1|well.G2 copper inner 2|well.G3 copper inner 3|
			well.G4 copper inner 4|well.GBL copper bottom|well.GM1 profile|well.GTS mask top`,
		"six layers, sides A and B": `Conductor-1.fph copper L1|Conductor-2.fph copper L2|Conductor-6.fph copper L6|Resist-A.fph mask top|
			Resist-B.fph mask bottom|Symbol-A.fph legend top|MetalMask-B.fph paste bottom|OutLine.fph profile`,
	} {
		for _, f := range strings.Split(files, "|") {
			f = strings.TrimSpace(f)
			i := strings.LastIndexByte(f, '.')
			k := i + strings.IndexByte(f[i:], ' ')
			if got, why := GerberRole(f[:k], nil); got.String() != f[k+1:] {
				t.Errorf("%s: %s: got %v (%s), want %s", set, f[:k], got, why, f[k+1:])
			}
		}
	}
}

// TestMoreDrillNames: plating and span by name (common practice, no source).
func TestMoreDrillNames(t *testing.T) {
	cases := map[string]string{
		"ThruHolePlated.ncd": "drill plated 1-bottom", "ThruHoleNonPlated.ncd": "drill unplated 1-bottom",
		"Drill Data - [Through Hole].drl": "drill 1-bottom", "Drill Data - [Through Hole] (Unplated).drl": "drill unplated 1-bottom",
		"x-1-4.drl": "drill 1-4", "x-1-2.drl": "drill 1-2", "x-1-4-np.drl": "drill unplated 1-4", "x-2-3.drl": "drill 2-3",
		"x-v1-2.drl": "drill", "x-rev-1-2.drl": "drill", "x-4-1.drl": "drill", "x 2020-07-20.drl": "drill",
		"x-PTH-front-in1.drl": "drill plated 1-2", "PTH_Through.drl": "drill plated 1-bottom", "NPTH_Through.drl": "drill unplated 1-bottom",
		"x_drill_L1_L2.drl": "drill 1-2", "top-inner1.drl": "drill 1-2", "L1-L6.exc": "drill 1-6", "x.plated-drill.cnc": "drill plated",
		"x.unplated-drill.cnc": "drill unplated", "holes_nonplated.txt": "drill unplated", "x-slots-plated.txt": "drill plated",
	}
	names := make([]string, 0, len(cases))
	for name := range cases {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if got, _ := DrillRole(name, nil); got.String() != cases[name] {
			t.Errorf("%s: got %v, want %s", name, got, cases[name])
		}
	}
}
