package boardread

import (
	"fmt"
	"math"
	"testing"
	"testing/fstest"
)

// placedSet is a board of two-pin parts on both sides and a list of places,
// each written by put, under the given titles.
func placedSet(titles string, put func(x, y float64, bottom bool) string) fstest.MapFS {
	var plot [2]string
	list := titles + "\n"
	for i, p := range listedPins() {
		side, word := 0, "top"
		if p.bottom {
			side, word = 1, "bottom"
		}
		ref := fmt.Sprintf("C%d", i+1)
		plot[side] += pin(ref, "1", "A") + flash(p.x-0.6, p.y) + pin(ref, "2", "B") + flash(p.x+0.6, p.y)
		list += fmt.Sprintf("%s,%s,%s\n", ref, put(p.x, p.y, p.bottom), word)
	}
	return fstest.MapFS{
		"b.gtl": {Data: gerberText("Copper,L1,Top", "D12*\n"+plot[0])},
		"b.gbl": {Data: gerberText("Copper,L2,Bot", "D12*\n"+plot[1])},
		"b.gko": {Data: gerberText("Profile,NP", "D10*\n"+box(0, 0, 42, 26))},
		"b.csv": {Data: []byte(list)},
	}
}

// TestPlacesFitted: a list's places come onto the pads wherever its origin
// lies and whatever its unit; what is odd is a doubt.
func TestPlacesFitted(t *testing.T) {
	plain := func(per, dx, dy float64, mirror func(bottom bool) bool) func(x, y float64, bottom bool) string {
		return func(x, y float64, bottom bool) string {
			x += dx
			if mirror(bottom) {
				x = -x
			}
			return fmt.Sprintf("%.4f,%.4f", x/per, (y+dy)/per)
		}
	}
	no, all, below := func(bool) bool { return false }, func(bool) bool { return true }, func(b bool) bool { return b }
	for _, c := range []struct {
		name, titles string
		put          func(x, y float64, bottom bool) string
		doubt        string
	}{
		{"as it is", "Ref,X (mm),Y (mm),Side", plain(1, 0, 0, no), ""},
		{"moved", "Ref,X (mm),Y (mm),Side", plain(1, 120, -33, no), ""},
		{"mils said", "Ref,X (mil),Y (mil),Side", plain(0.0254, 0, 0, no), ""},
		{"all mirrored", "Ref,X (mm),Y (mm),Side", plain(1, 5, 0, all), ""},
		{"the bottom mirrored", "Ref,X (mm),Y (mm),Side", plain(1, 5, 3, below), "bottom's places fit the pads only turned against the top's"},
		{"inches not said", "Ref,X,Y,Side", plain(25.4, 0, 0, no), "does not say its unit"},
		{"mils not said", "Ref,X,Y,Side", plain(0.0254, 0, 0, no), ""}, // beyond a metre as millimetres
		{"inches called mm", "Ref,X (mm),Y (mm),Side", plain(25.4, 0, 0, no), "says a unit in which its places do not fit"},
		{"mm called mils", "Ref,X (mil),Y (mil),Side", plain(1, 9, 9, no), "39.37 times as large"},
	} {
		b := mustRead(t, placedSet(c.titles, c.put), Options{})
		if len(b.Parts) != 24 {
			t.Fatalf("%s: %d parts", c.name, len(b.Parts))
		}
		middle := padMiddles(b.Pads)
		for _, p := range b.Parts {
			if m := middle[p.Ref]; math.Hypot(float64(p.At.X-m.X), float64(p.At.Y-m.Y)) > 5000 {
				t.Errorf("%s: %s at %v, its pads at %v", c.name, p.Ref, p.At, m)
			}
		}
		told := false
		for _, d := range b.Doubts {
			if d.File == "b.csv" {
				told = true
				if c.doubt == "" && c.name != "mils not said" {
					t.Errorf("%s: %v", c.name, d)
				}
			}
		}
		if c.doubt != "" && (!told || !hasDoubt(b, "b.csv", c.doubt)) {
			t.Errorf("%s: no doubt %q among %v", c.name, c.doubt, b.Doubts)
		}
	}
	// Another board's list.
	n := 0.0
	other := func(x, y float64, bottom bool) string {
		n++
		return fmt.Sprintf("%.3f,%.3f", 40*math.Mod(n*0.37, 1), 25*math.Mod(n*0.71, 1))
	}
	b := mustRead(t, placedSet("Ref,X (mm),Y (mm),Side", other), Options{})
	if !hasDoubt(b, "b.csv", "another board's or revision's list") {
		t.Errorf("another board's list: %v", b.Doubts)
	}
}

// TestSpreadsheet: one line says what to do with a spreadsheet.
func TestSpreadsheet(t *testing.T) {
	zip := []byte("PK\x03\x04\x14\x00\x06\x00\x08\x00\x00\x00!\x00[Content_Types].xml")
	for name, data := range map[string][]byte{"parts.xlsx": zip, "parts.ods": zip, "parts.xls": []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), "parts": append(zip, "xl/workbook.xml"...)} {
		b := mustRead(t, put(smallBoard(), name, data), Options{})
		found := false
		for _, f := range b.Files {
			found = found || f.Path == name && f.Role == ignored && f.Why == sheetRefused
		}
		if !found || !hasDoubt(b, name, "save its sheet as .csv") {
			t.Errorf("%s: files %v, doubts %v", name, b.Files, b.Doubts)
		}
		b = mustRead(t, put(put(smallBoard(), name, data), "v.csv", []byte("Ref,Value\nR1,10k\nC1,1u\n")), Options{})
		if hasDoubt(b, "spreadsheet") {
			t.Errorf("%s beside a table: %v", name, b.Doubts)
		}
	}
	b := mustRead(t, put(put(smallBoard(), "p.xlsx", zip), RolesFile, []byte("[files]\n\"p.xlsx\" = \"parts list\"\n")), Options{})
	if !hasDoubt(b, "p.xlsx", "save its sheet as .csv") {
		t.Errorf("a spreadsheet said to be a parts list: %v", b.Doubts)
	}
}
