package boardread

import (
	"math"
	"testing"
)

// A plane drawn in negative is the board less what is drawn, whichever way
// the file says so; both together cancel out.
func TestNegativePlanes(t *testing.T) {
	clear := 4 * math.Pi * 0.8 * 0.8 // four round lands of 1.6 mm
	plot := "G01*\n%ADD11C,1.6*%\nD11*\n" + flash(5, 5) + flash(15, 5) + flash(10, 10) + flash(10, 12) + "M02*\n"
	attribute := "%FSLAX46Y46*%\n%MOMM*%\n%TF.FileFunction,Copper,L2,Bot*%\n"
	for _, c := range []struct {
		name, head string
		mm2        float64
	}{
		{"positive", attribute, clear},
		{"IPNEG", attribute + "%IPNEG*%\n", 320 - clear},
		{"FilePolarity", attribute + "%TF.FilePolarity,Negative*%\n", 320 - clear},
		{"both", attribute + "%IPNEG*%\n%TF.FilePolarity,Negative*%\n", clear},
	} {
		text := c.head + plot
		b := mustRead(t, put(smallBoard(), "b-bottom.gbr", []byte(text)), Options{})
		if got := b.Layers[1].Copper.Area() * 1e-12; math.Abs(got-c.mm2) > 0.01 {
			t.Errorf("%s: %.3f mm2 of copper, want %.3f", c.name, got, c.mm2)
		}
		for _, p := range b.Pads {
			if p.Layer == 1 {
				t.Errorf("%s: pad %+v", c.name, p)
			}
		}
	}
}

// Copper outside the outline does not enlarge the board.
func TestTextOutside(t *testing.T) {
	set := smallBoard()
	top := append([]byte{}, set["b-top.gbr"].Data[:len(set["b-top.gbr"].Data)-len("M02*\n")]...)
	top = append(top, []byte("%TD*%\nD10*\n"+box(-20, -20, 60, 60)+line(-10, 30, 20, 30)+"M02*\n")...)
	b := mustRead(t, put(set, "b-top.gbr", top), Options{})
	if o := b.Outline.Bounds(); o.Max.X-o.Min.X != 20e6 || o.Max.Y-o.Min.Y != 16e6 {
		t.Errorf("size %v", o)
	}
	if len(b.Doubts) > 0 {
		t.Errorf("doubts %v", b.Doubts)
	}
}

// Gerber drill files are used where drill files do not tell the same, and
// drawings of holes are not.
func TestGerberDrillsBesideDrills(t *testing.T) {
	npth := "%ADD20C,2.0*%\nD20*\n" + flash(2, 2) + flash(18, 14)
	same := "%ADD20C,0.8*%\n%ADD21C,0.3*%\nD20*\n" + flash(5, 5) + flash(15, 5) + "D21*\n" + flash(10, 10) + flash(10, 12)
	for _, c := range []struct {
		name, file, function, plot string
		plated, unplated           int
	}{
		{"the same again", "b-pth.gbr", "Plated,1,2,PTH,Drill", same, 4, 0},
		{"unplated ones only there", "b-npth.gbr", "NonPlated,1,2,NPTH,Drill", npth, 4, 2},
		{"a drawing", "b-drill_map.gbr", "", "%ADD20C,0.1*%\nD20*\n" + line(4, 4, 6, 6) + line(4, 6, 6, 4), 4, 0},
		{"a map by attribute", "b-holes.gbr", "Drillmap", same, 4, 0},
	} {
		b := mustRead(t, put(smallBoard(), c.file, gerberText(c.function, c.plot)), Options{})
		plated := 0
		for _, h := range b.Holes {
			if h.Plated {
				plated++
			}
		}
		if plated != c.plated || len(b.Holes)-plated != c.unplated {
			t.Errorf("%s: %d plated, %d unplated, want %d and %d", c.name, plated, len(b.Holes)-plated, c.plated, c.unplated)
		}
	}
}
