package placement

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf16"

	"ohmward/geom"
)

func row(ref, value, pack string, x, y, rotation float64, side Side, line int) Row {
	return Row{Ref: ref, Value: value, Package: pack, At: geom.FromMM(x, y), HasAt: true,
		Rotation: rotation, HasRotation: true, Side: side, Line: line}
}

func TestPositions(t *testing.T) {
	for name, c := range map[string]struct {
		file, text string
		want       []Row
	}{
		"comma": {"a.csv", "Ref,Val,Package,PosX,PosY,Rot,Side\n\"C1\",\"1uF, 10V\",\"0402\",-132.685000,82.215000,-90.000000,bottom\n",
			[]Row{row("C1", "1uF, 10V", "0402", -132.685, 82.215, 270, Bottom, 2)}},
		"title with unit, several places": {"a.csv", "\xef\xbb\xbfDesignator,Footprint,Mid X(mil),Mid Y(mil),Ref X(mil),Ref Y(mil),Pad X(mil),Pad Y(mil),Layer,Rotation,Comment\r\n" +
			"R1,0402,1000,2000,1,2,3,4,TopLayer,45.5,10k\r\n", []Row{row("R1", "10k", "0402", 25.4, 50.8, 45.5, Top, 2)}},
		"unit in the cells": {"a.csv", "Designator,Mid X,Mid Y,Layer,Rotation\nU3,12.5mm,-0.5in,T,0\nU4,100mil,\"2\"\"\",B,R90\n",
			[]Row{row("U3", "", "", 12.5, -12.7, 0, Top, 2), row("U4", "", "", 2.54, 50.8, 90, Bottom, 3)}},
		"semicolon, decimal comma": {"a.csv", "Bauteil;Wert;X [mm];Y [mm];Winkel;Seite\nR1;10k;12,5;1.234,25;90,5°;unten\n",
			[]Row{}},
		"semicolon, decimal comma, within": {"a.csv", "Bauteil;Wert;X [mm];Y [mm];Winkel;Seite\nR1;10k;12,5;-34,25;90,5°;unten\n",
			[]Row{row("R1", "10k", "", 12.5, -34.25, 90.5, Bottom, 2)}},
		"tab": {"a.txt", "RefDes\tPart Decal\tLayer\tOrient.\tX\tY\nU1\tSO8\tF.Cu\t180\t\t\nU2\tSO8\tB.Cu\t180\t1\t2\nU3\tSO8\t\t180\t1\t3\n",
			[]Row{{Ref: "U1", Package: "SO8", Rotation: 180, HasRotation: true, Side: Top, Line: 2},
				row("U2", "", "SO8", 1, 2, 180, Bottom, 3), row("U3", "", "SO8", 1, 3, 180, SideUnknown, 4)}},
		"by blanks": {"a.pos", "### Positions - created today ###\n## Unit = mm, Angle = deg.\n## Side : All\n" +
			"# Ref     Val       Package                PosX       PosY       Rot  Side\n" +
			"C1        100n      C_0402             132.6850   -82.2150   90.0000  top\n" +
			"R11       4k7       R_0402               2.5000    -2.2500    0.0000  bottom\n## End\n",
			[]Row{row("C1", "100n", "C_0402", 132.685, -82.215, 90, Top, 5), row("R11", "4k7", "R_0402", 2.5, -2.25, 0, Bottom, 6)}},
		"by blanks, under the titles, blank cells": {"a.txt", "Units used: mils\n\n" +
			"Designator  Comment       Layer     Center-X  Center-Y  Rotation\n" +
			"----------  -------       -----     --------  --------  --------\n" +
			"C1          100 nF 16 V   TopLayer  1000      2000      90\n" +
			"TP1                       TopLayer  3000      4000      0\n",
			[]Row{row("C1", "100 nF 16 V", "", 25.4, 50.8, 90, Top, 5), row("TP1", "", "", 76.2, 101.6, 0, Top, 6)}},
		"titles of two words": {"a.txt", "Ref Des Mid X Mid Y Rot TB\nC1 1.5 2.5 90 B\n",
			[]Row{row("C1", "", "", 1.5, 2.5, 90, Bottom, 2)}},
		"mirror and rotation with letters": {"a.csv", "Part,Value,X,Y,Rot,Mirror\nC1,1u,1,2,MR180,\nC2,1u,2,2,R180,no\nC3,1u,3,2,0,yes\n",
			[]Row{row("C1", "1u", "", 1, 2, 180, Bottom, 2), row("C2", "1u", "", 2, 2, 180, Top, 3), row("C3", "1u", "", 3, 2, 0, Bottom, 4)}},
		"side from the name": {"logger-bottom-pos.csv", "Ref,X,Y,Rot\nC1,1,2,0\n",
			[]Row{row("C1", "", "", 1, 2, 0, Bottom, 2)}},
		"units under the titles": {"a.csv", "Ref,X,Y,Rot\n,inch,inch,deg\nC1,1,2,0\n",
			[]Row{row("C1", "", "", 25.4, 50.8, 0, SideUnknown, 3)}},
		"titles again, units by ending": {"a.csv", "Ref,X_mm,Y_mm,Rot\nC1,1,2,0\nRef,X_mm,Y_mm,Rot\nC2,1,3,-0.0\n",
			[]Row{row("C1", "", "", 1, 2, 0, SideUnknown, 2), row("C2", "", "", 1, 3, 0, SideUnknown, 4)}},
		"a dash in the name is no range": {"a.csv", "Ref,X,Y,Rot\nR1-2,1,2,0\nR3,1,3,0\n",
			[]Row{row("R1-2", "", "", 1, 2, 0, SideUnknown, 2), row("R3", "", "", 1, 3, 0, SideUnknown, 3)}},
	} {
		table, err := Read(strings.NewReader(c.text), c.file)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(c.want) == 0 { // beyond a metre: the row stays, its place does not
			if len(table.Rows) != 1 || table.Rows[0].HasAt {
				t.Errorf("%s: got %+v", name, table.Rows)
			}
			continue
		}
		if table.Kind != Positions || !slices.Equal(table.Rows, c.want) {
			t.Errorf("%s: %v %s %v\n got %+v\nwant %+v", name, table.Kind, table.Why, table.Warnings, table.Rows, c.want)
		}
	}
}

func TestUnitSaid(t *testing.T) {
	for text, want := range map[string]bool{
		"Ref,X,Y\nR1,1,2\n":             false,
		"Ref,X (mm),Y (mm)\nR1,1,2\n":   true,
		"Ref,X,Y\nR1,1mm,2mm\n":         true,
		"Ref,X,Y\nR1,1mm,2\n":           false,
		"unit: inch\nRef,X,Y\nR1,1,2\n": true,
	} {
		table, err := Read(strings.NewReader(text), "a.csv")
		if err != nil || table.Kind != Positions || table.UnitGiven != want {
			t.Errorf("%q: %+v, %v; want unit said %v", text, table, err, want)
		}
	}
}

// values gives "ref=value" of every row.
func values(table *Table) (out []string) {
	for _, r := range table.Rows {
		s := r.Ref + "=" + r.Value
		if r.NotFitted {
			s += "!"
		}
		out = append(out, s)
	}
	return out
}

func TestParts(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"references and ranges":             {"Value,References,Qty\n10k,\"R1, R2, R5-R7\",5\n1u,C1 C2;C3,3\n", "[R1=10k R2=10k R5=10k R6=10k R7=10k C1=1u C2=1u C3=1u]"},
		"ranges spelled otherwise":          {"Parts;Value\n\"C08..C10, C1 - C2\";1u\nD1–D2;LED\nL1 to L2;bead\n", "[C08=1u C09=1u C10=1u C1=1u C2=1u D1=LED D2=LED L1=bead L2=bead]"},
		"a bare range as the quantity asks": {"Ref,Value,Quantity\nR1-4,10k,4\nJ1-2,plug,1\n", "[R1=10k R2=10k R3=10k R4=10k J1-2=plug]"},
		"after a title page":                {"Board: logger\nRevision: 2,5\n\nItem,Qty,Designator,Description\n1,2,\"R1,R2\",Resistor 10k\n", "[R1=Resistor 10k R2=Resistor 10k]"},
		"sep line":                          {"sep=|\nRef|Value\nR1|10k,5%\n", "[R1=10k,5%]"},
		"lines within a cell":               {"Ref,Value\n\"R1,\nR2\",10k\nR3,1k\n", "[R1=10k R2=10k R3=1k]"},
		"more references below":             {"Qty,Value,Parts\n4,10k,\"R1, R2,\"\n,,\"R3, R4\"\n1,1u,C1\n", "[R1=10k R2=10k R3=10k R4=10k C1=1u]"},
		"not fitted":                        {"Ref,Value,DNP\nR1,10k,DNP\nR2,10k,\n", "[R1=10k! R2=10k]"},
		"fitted":                            {"Ref,Value,Fitted\nR1,10k,No\nR2,10k,yes\nR3,10k,\n", "[R1=10k! R2=10k R3=10k]"},
		"Latin-1":                           {"Ref,Value\nR1,10\xb5\n", "[R1=10µ]"},
		"bare returns":                      {"Ref,Value\rR1,10k\r", "[R1=10k]"},
		"a spreadsheet's text":              {"Ref,Value\n\"=\"\"R1\"\"\",\"=\"\"0402\"\"\"\n", "[R1=0402]"},
		"a total below":                     {"Ref,Value,Qty\nR1,10k,1\nR2,1k,1\nTotal of parts,,2\n", "[R1=10k R2=1k]"},
		"by blanks":                         {"Partlist\n\nQty Value      Device     Package  Parts        Description\n" + "2   10k        R-EU_R0402 R0402    R1, R2       RESISTOR\n" + "1              PINHD-1X2  1X02     JP1          PIN HEADER\n", "[R1=10k R2=10k JP1=]"},
	} {
		table, err := Read(strings.NewReader(c.text), "bom.csv")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := fmt.Sprint(values(table)); table.Kind != Parts || got != c.want {
			t.Errorf("%s: %v %s %v\n got %s\nwant %s", name, table.Kind, table.Why, table.Warnings, got, c.want)
		}
	}
}

func TestUTF16(t *testing.T) {
	for _, order := range []bool{true, false} {
		b := []byte{0xff, 0xfe}
		if !order {
			b = []byte{0xfe, 0xff}
		}
		for _, u := range utf16.Encode([]rune("Ref\tValue\r\nR1\t10 Ω\r\n")) {
			if order {
				b = append(b, byte(u), byte(u>>8))
			} else {
				b = append(b, byte(u>>8), byte(u))
			}
		}
		table, err := Read(strings.NewReader(string(b)), "bom.txt")
		if err != nil || fmt.Sprint(values(table)) != "[R1=10 Ω]" {
			t.Errorf("little end first %v: %+v, %v", order, table, err)
		}
	}
}

func TestColumnsShown(t *testing.T) {
	table, err := Read(strings.NewReader("Ref,Comment,Value,Spice,MPN\nR1,a,10k,,x\n"), "bom.csv")
	if err != nil {
		t.Fatal(err)
	}
	want := []Column{{"Ref", RoleRef}, {"Comment", Unused}, {"Value", RoleValue}, {"Spice", Unused}, {"MPN", RoleOther}}
	if !slices.Equal(table.Columns, want) {
		t.Errorf("got %v, want %v", table.Columns, want)
	}
}

func TestStreamFails(t *testing.T) {
	broken := errors.New("the cable came out")
	if _, err := Read(iotest.ErrReader(broken), "a.csv"); !errors.Is(err, broken) {
		t.Errorf("got %v, want it to wrap %v", err, broken)
	}
}
