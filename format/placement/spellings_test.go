package placement

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"ohmward/geom"
)

// Sides as programs and people write them (common practice, no source).
func TestSides(t *testing.T) {
	for side, words := range map[Side]string{
		Top:    "top,T,TOP,Top Layer,TopLayer,TOP_SIDE,F.Cu,F,front,Component Side,CS,1,L1,Oberseite,oben,Bestückungsseite,Dessus,Cara superior,顶层,верх,部品面",
		Bottom: "bottom,B,BOT,Bottom Layer,BottomLayer,B.Cu,back,Solder Side,SS,2,16,Unterseite,unten,Rückseite,Dessous,Cara inferior,底层,низ,半田面",
	} {
		for _, w := range strings.Split(words, ",") {
			if got, ok := sideOf(w); !ok || got != side {
				t.Errorf("%q: %v %v, want %v", w, got, ok, side)
			}
		}
	}
	for _, w := range []string{"left", "3", "yes", "inner"} {
		if got, ok := sideOf(w); ok {
			t.Errorf("%q is taken as %v", w, got)
		}
	}
	table, err := Read(strings.NewReader("Ref,X,Y,Side\nC1,1,2,0\nC2,1,3,1\n"), "a.csv")
	if err != nil || table.Rows[0].Side != Top || table.Rows[1].Side != Bottom {
		t.Errorf("sides 0 and 1: %+v %v", table.Rows, err)
	}
}

func TestUnfitted(t *testing.T) {
	for cell, want := range map[string][2]bool{ // under a title such as DNP, and one such as Fitted
		"": {false, false}, "yes": {true, false}, "x": {true, false}, "1": {true, false}, "ja": {true, false}, "no": {false, true}, "0": {false, true}, "nein": {false, true}, "non": {false, true},
		"DNP": {true, true}, "DNF": {true, true}, "do not fit": {true, true}, "Not Fitted": {true, true}, "no-stuff": {true, true}, "nicht bestückt": {true, true},
		"Fitted": {false, false}, "populate": {false, false}, "mounted": {false, false}, "true": {true, false}, "FALSE": {false, true},
	} {
		if got := [2]bool{unfitted(cell, true), unfitted(cell, false)}; got != want {
			t.Errorf("%q: %v, want %v", cell, got, want)
		}
	}
}

// A part is left out by a mark in any column, and by a quantity of nought; words
// that only sound like it leave it in.
func TestLeftOutAnywhere(t *testing.T) {
	for text, want := range map[string]bool{
		"Ref,Value,Notes\nR1,0R,DNP\n": true, "Ref,Value,Description\nR1,0R,do not fit\n": true, "Ref,Value,Comment\nR1,0R,DNF\n": true,
		"Ref,Value,Mounting\nR1,0R,not mounted\n": true, "Ref;Value;Remarks\nR1;0R;option, not fitted\n": true, "Ref,Value,Variant\nR1,0R,Do-Not-Populate\n": true,
		"Ref,Value,BOM\nR1,0R,excluded from BOM\n": true, "Ref,Value,Qty\nR1,0R,0\n": true, "Ref,Value,Notes\nR1,0R,nicht bestückt\n": true,
		"Ref,Value,Notes\nR1,0R (DNP),\n": true, "Ref,Value,Notes\nR1,0R,resistor [no stuff]\n": true,
		"Ref,Value,Notes\nR1,0R,\n": false, "Ref,Value,Notes\nR1,0R,fitted\n": false, "Ref,Value,Notes\nR1,0R,fit only with R2\n": false,
		"Ref,Value,Notes\nR1,0R,no lead\n": false, "Ref,Value,Qty\nR1,0R,1\n": false, "Ref,Value,Notes\nR1,0R,do not fit R2\n": false,
		"Ref,Value,Notes\nR1,0R,NC\n": false,
	} {
		table, err := Read(strings.NewReader(text), "bom.csv")
		if err != nil || len(table.Rows) != 1 || table.Rows[0].NotFitted != want {
			t.Errorf("%q: %+v %v, want left out %v", text, table, err, want)
		}
	}
}

// Tables of other languages and programs, one part each at 1.5, -2.5 mm.
func TestTitlesOfManyKinds(t *testing.T) {
	want := row("R1", "10k", "0402", 1.5, -2.5, 90, Bottom, 2)
	for name, text := range map[string]string{
		"German":             "Bauteil;Wert;Gehäuse;X [mm];Y [mm];Drehung;Bestückungsseite\nR1;10k;0402;1,5;-2,5;90;Unterseite\n",
		"French":             "Repère;Valeur;Boîtier;X (mm);Y (mm);Angle;Face\nR1;10k;0402;1,5;-2,5;90;dessous\n",
		"Spanish":            "Referencia,Valor,Huella,X mm,Y mm,Rotación,Cara\nR1,10k,0402,1.5,-2.5,90,inferior\n",
		"Italian":            "Riferimento\tValore\tContenitore\tX(mm)\tY(mm)\tRotazione\tLato\nR1\t10k\t0402\t1.5\t-2.5\t90\tinferiore\n",
		"Chinese":            "位号,参数,封装,坐标X(mm),坐标Y(mm),旋转角度,层\nR1,10k,0402,1.5,-2.5,90,底层\n",
		"Russian":            "Обозначение;Номинал;Корпус;X, mm;Y, mm;Угол;Слой\nR1;10k;0402;1,5;-2,5;90;низ\n",
		"with bars":          "Ref|Val|Package|PosX|PosY|Rot|Side\nR1|10k|0402|1.5mm|-2.5mm|90|B\n",
		"with exclamations":  "REFDES ! VALUE ! PACKAGE ! SYM_X ! SYM_Y ! ROTATION ! SIDE\nR1 ! 10k ! 0402 ! 1.5mm ! -2.5mm ! 90 ! BOT\n",
		"any order":          "Rot,Layer,PosY(mm),Package,PosX(mm),Designator,Comment\n90,BottomLayer,-2.5,0402,1.5,R1,10k\n",
		"a comment's mark":   "#Ref,Val,Package,PosX,PosY,Rot,Side\nR1,10k,0402,1.5,-2.5,90,bottom\n",
		"mils in the cells":  "Designator,Comment,Footprint,Mid X,Mid Y,Layer,Rotation\nR1,10k,0402,59.0551mil,-98.4252mil,B,90.00\n",
		"a blank first":      ";Ref;Val;Package;X;Y;Rot;Side\n7;R1;10k;0402;1.5;-2.5;90;B\n",
		"a tab first":        "\tRef\tVal\tPackage\tX\tY\tRot\tSide\n7\tR1\t10k\t0402\t1.5\t-2.5\t90\tB\n",
		"microns":            "Ref,Val,Package,X (um),Y (um),Rot,Side\nR1,10k,0402,1500,-2500,90,B\n",
		"R and quoted units": "\"Ref\",\"Val\",\"Package\",\"X\",\"Y\",\"Rot\",\"Side\"\r\n\"R1\",\"10k\",\"0402\",\"1.5 mm\",\"-2.5 mm\",\"R90\",\"bottom\"\r\n",
	} {
		table, err := Read(strings.NewReader(text), "a.csv")
		if err != nil || len(table.Rows) != 1 {
			t.Errorf("%s: %v %+v", name, err, table)
			continue
		}
		got := table.Rows[0]
		if geom.Distance(got.At, want.At) < 2 { // mils are rounded
			got.At = want.At
		}
		if got != want {
			t.Errorf("%s: %v\n got %+v\nwant %+v", name, table.Warnings, got, want)
		}
	}
}

func TestPartsOfManyKinds(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"a part's name as the value": {"Item\tQuantity\tReference\tPart\n1\t2\tC1,C2\t100n\n2\t1\tR1\t0R\n", "[C1=100n C2=100n R1=0R]"},
		"its number as the value":    {"Designator,MPN,Qty\nFB1,BLM18AG601SN1D,1\n", "[FB1=BLM18AG601SN1D]"},
		"waves and words":            {"Refs,Value\n\"C1~C3\",1u\nD1 thru D2,LED\nL1 bis L2,bead\n", "[C1=1u C2=1u C3=1u D1=LED D2=LED L1=bead L2=bead]"},
		"strokes between":            {"Refs,Value\nR1/R2/R5,10k\n", "[R1=10k R2=10k R5=10k]"},
		"wide commas":                {"位号,值\n\"C1，C2、C5\",1u\n", "[C1=1u C2=1u C5=1u]"},
		"a column of fitting":        {"Ref,Value,BOM Status\nR1,10k,Fitted\nR2,1k,Not Fitted\n", "[R1=10k R2=1k!]"},
		"do not fit":                 {"Ref,Value,Do Not Fit\nR1,10k,\nR2,1k,X\n", "[R1=10k R2=1k!]"},
		"German":                     {"Menge;Wert;Bauteile;Bestückt\n1;10k;R1;ja\n1;1k;R2;nein\n", "[R1=10k R2=1k!]"},
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

// UTF-16 without its mark is plain from its zeros.
func TestUnmarkedUTF16(t *testing.T) {
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		var b []byte
		for _, u := range utf16.Encode([]rune("Ref\tValue\r\nR1\t10k\r\nR2\t0R\r\n")) {
			b = order.AppendUint16(b, u)
		}
		table, err := Read(strings.NewReader(string(b)), "bom.txt")
		if err != nil || fmt.Sprint(values(table)) != "[R1=10k R2=0R]" {
			t.Errorf("%v: %+v, %v", order, table, err)
		}
	}
}
