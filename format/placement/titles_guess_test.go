package placement

import (
	"strings"
	"testing"

	"ohmward/geom"
)

func TestUntitledLists(t *testing.T) {
	for _, c := range []struct {
		name, file, text string
		want             Row // of the second line
		n                int
	}{
		{"blanks, the ending tells the side", "logger.mnt",
			"C1 10.00 5.50 90 100n 0603\nR12 12.70 8.25 180 4k7 0603\nU3  20.1 9.9   0 regulator SOT23\n",
			Row{Ref: "R12", Value: "4k7", Package: "0603", At: geom.FromMM(12.7, 8.25), HasAt: true, Rotation: 180, HasRotation: true, Side: Top}, 3},
		{"the other side", "logger.mnb",
			"C1 10.00 5.50 90 100n 0603\nR12 12.70 8.25 270.0 4k7 0603\nR13 14.70 8.25 270.0 4k7 0603\n",
			Row{Ref: "R12", Value: "4k7", Package: "0603", At: geom.FromMM(12.7, 8.25), HasAt: true, Rotation: 270, HasRotation: true, Side: Bottom}, 3},
		{"commas, side in a column, two kinds of part", "places.csv",
			"C1,100n,0603,10.00mm,5.50mm,T,90\nR12,4k7,0603,12.70mm,8.25mm,B,45\nJ2,card,socket,30mm,20mm,T,0\n",
			Row{Ref: "R12", Value: "4k7", Package: "0603", At: geom.FromMM(12.7, 8.25), HasAt: true, Rotation: 45, HasRotation: true, Side: Bottom}, 3},
		{"a comment in front, tabs", "x.xy",
			"# made for the assembler\nC1\t10.0\t5.5\t0\nR12\t12.7\t8.25\t-90\nQ1\t1.5\t2.5\t0\n",
			Row{Ref: "R12", At: geom.FromMM(12.7, 8.25), HasAt: true, Rotation: 270, HasRotation: true}, 3},
	} {
		got, err := Read(strings.NewReader(c.text), c.file)
		if err != nil || got.Kind != Positions || len(got.Rows) != c.n {
			t.Errorf("%s: %+v, %v", c.name, got, err)
			continue
		}
		row := got.Rows[1]
		c.want.Line = row.Line
		if row != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, row, c.want)
		}
		if len(got.Warnings) == 0 || !strings.Contains(got.Warnings[0].What, "no line of titles") {
			t.Errorf("%s: no warning says that the columns are guessed: %v", c.name, got.Warnings)
		}
	}
}

// What is numbered but no list of parts stays none.
func TestUntitledIsNotGuessedFromAnything(t *testing.T) {
	for name, text := range map[string]string{
		"drill.txt":  "T1 0.300 120 0\nT2 0.800 34 0\nT3 1.000 6 0\n",
		"tools.rpt":  "T01 0.012 0.003 PLATED\nT02 0.032 0.003 PLATED\nT03 0.125 0.003 NON\n",
		"notes.txt":  "L1 copper 35 18\nL2 copper 35 18\ncore FR4 1.5 0\n",
		"points.xy":  "1.0 2.0 3.0 4.0\n5.0 6.0 7.0 8.0\n1 2 3 4\n",
		"letter.txt": "Dear all,\nplease make 40 of them by May 12.\nThanks\n",
	} {
		got, err := Read(strings.NewReader(text), name)
		if err != nil || got.Kind != None {
			t.Errorf("%s is taken as a %v: %v", name, got.Kind, err)
		}
	}
}
