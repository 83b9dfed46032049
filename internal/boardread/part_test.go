package boardread

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/internal/board"
)

// partRow is one row of the table of doubts in docs/formats.md.
type partRow struct {
	what  string
	words []string
	part  bool // the exit code is 3
}

func partRows(t *testing.T) (out []partRow) {
	t.Helper()
	text, err := os.ReadFile("../../docs/formats.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(text), "| what is wrong | words of the doubt | exit code |\n| --- | --- | --- |\n")
	for line := range strings.SplitSeq(table, "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if len(cells) != 3 {
			break
		}
		r := partRow{what: cells[0], part: cells[2] == "3"}
		for i, w := range strings.Split(cells[1], "`") {
			if i%2 == 1 {
				r.words = append(r.words, w)
			}
		}
		out = append(out, r)
	}
	if len(out) == 0 {
		t.Fatal("no table of doubts in docs/formats.md")
	}
	return out
}

// partBreakages are sound boards broken in the ways of the table.
func partBreakages() map[string][]fstest.MapFS {
	good := smallBoard()
	good["b-mask.gbr"] = &fstest.MapFile{Data: gerberText("Soldermask,Top", "D11*\n"+flash(5, 5)+flash(15, 5))}
	good["b-maskb.gbr"] = &fstest.MapFile{Data: gerberText("Soldermask,Bot", "D11*\n"+flash(5, 5)+flash(15, 5))}
	swapped := func(name, old, to string) fstest.MapFS {
		text := strings.Replace(string(good[name].Data), old, to, 1)
		if text == string(good[name].Data) {
			panic(name + " has no " + old)
		}
		return put(good, name, []byte(text))
	}
	each := func(old, to string, names ...string) (out []fstest.MapFS) {
		for _, n := range names {
			out = append(out, swapped(n, old, to))
		}
		return out
	}
	lands := "D13*\n"
	for x := 4.0; x < 10; x++ {
		lands += flash(x, 14)
	}
	stacked := put(put(good, "b-top.gbr", gerberText("Copper,L1,Top", lands)), "b-bottom.gbr",
		gerberText("Copper,L2,Bot", lands))
	one := put(put(put(good, "b-bottom.gbr", nil), "b.drl", nil), "b-maskb.gbr", nil)
	whole := wholeText("")
	wholes := func(old, to string) fstest.MapFS {
		return wholeSet("b.xml", []byte(strings.Replace(whole, old, to, 1)))
	}
	netlist := "P  UNITS CUST 1\n317A                R1    -1     D0800PA00X+005000Y+005000X1600Y0000R000S0\n" +
		"317B                R1    -2     D0800PA00X+015000Y+005000X1600Y0000R000S0\n" +
		"327A                C1    -1          A01X+005000Y+012000X1000Y0600R000S1\n" +
		"327B                C1    -2          A01X+007000Y+012000X1000Y0600R000S1\n"
	slits := "D13*\n"
	var drilled, tooling strings.Builder
	for k := range 12 {
		x := 3 + float64(k)
		slits += "D10*\n" + line(x, 10.25, x, 14)
		fmt.Fprintf(&drilled, "X%.3fY10.0\n", x)
		for y := 1.0; y < 4; y += 0.25 {
			fmt.Fprintf(&tooling, "X%.3fY%.3f\n", x+0.5, y)
		}
	}
	return map[string][]fstest.MapFS{
		"end mark missing, in any file of copper, mask, paste, outline or holes": append(
			each("M02*\n", "", "b-top.gbr", "b-bottom.gbr", "b-profile.gbr", "b-mask.gbr"), swapped("b.drl", "M30\n", "")),
		"data behind the end mark, in copper or holes": append(
			each("M02*\n", "M02*\nX1000000Y1000000D03*\nM02*\n", "b-top.gbr", "b-bottom.gbr"),
			swapped("b.drl", "T2\nX", "M30\nT2\nX")),
		"command not known, in copper or holes": append(
			each("D11*\n", "D11*\nQ1*\nG99*\n%ZZ1*%\n", "b-top.gbr", "b-bottom.gbr"),
			swapped("b.drl", "X15.0Y5.0", "?15.0Y5.0"), swapped("b.drl", "T2\nX", "T2\nG66\nX"), swapped("b.drl", "T2\nX", "T2\nM66\nX")),
		"include, in copper": each("D11*\n", "%IFother.gbr*%\nD11*\n", "b-top.gbr", "b-bottom.gbr"),
		"command that cannot be done, in copper": {swapped("b-top.gbr", "D11*\n", "X1Y1*\nD11*\n"),
			swapped("b-top.gbr", "D11*\n", "X1Y1D11*\n"),
			swapped("b-top.gbr", "M02*", "G36*\nX0Y0D03*\nG37*\nM02*"), swapped("b-top.gbr", "M02*", "G36*\nX0Y0D02*\nX1000000Y0D01*\nX0Y1000000D01*\nX0Y0D01*\nM02*"),
			swapped("b-top.gbr", "D11*\n", "%AMA*99,1*1,1,1,0,0*%\n%ADD40A*%\nD11*\n")},
		"command that cannot be done, in holes": {swapped("b.drl", "T1\nX", "T1\nR2X1.0\nX"),
			swapped("b.drl", "T1\nX", "T1\nR2M02X1.0\nX"), swapped("b.drl", "T1\nX", "T1\nM97,TEXT\nX")},
		"holes whose tool has no size, or that have no tool": {swapped("b.drl", "T2C0.300\n", "T2\n"), swapped("b.drl", "T1\nX", "X")},
		"features left out, in IPC-2581": {wholes(`<Circle diameter="0.6"/>`, `<StandardPrimitiveRef id="none"/>`),
			wholeSet("b.xml", []byte(whole+"<More/>")), wholes(`<Hole diameter="0.3"`, `<Hole diameter="0"`),
			wholes(`<LayerFeature layerRef="B">`, `<LayerFeature layerRef="X">`)},
		"no drill file, with two layers or more": {put(good, "b.drl", nil)},
		"holes off the copper, another board's drill file": {
			put(good, "b.drl", drillText("T1\nX1.3Y2.9\nX3.7Y8.1\nX18.2Y1.4\nX11.1Y14.7\n"))},
		"holes half through copper, another board's drill file": {
			put(put(put(good, "b-top.gbr", gerberText("Copper,L1,Top", slits)), "b.drl", drillText("T2\n"+drilled.String())),
				"b-npth.drl", []byte("M48\nMETRIC\n;TYPE=NON_PLATED\nT1C0.2\n%\nT1\n"+tooling.String()+"M30\n"))},
		"more than a tenth of the lands above each other without a hole": {stacked},
		"no drill file, with one layer":                                  {one},
		"data behind the end mark, in mask, paste or outline":            each("M02*\n", "M02*\nX1000000Y1000000D03*\nM02*\n", "b-mask.gbr", "b-profile.gbr"),
		"command not known, in mask, paste or outline":                   each("G75*\n", "G75*\nQ1*\n", "b-mask.gbr", "b-profile.gbr"),
		"end mark missing, in a netlist":                                 {put(good, "b.d356", []byte(netlist))},
		"copper layer empty":                                             {put(put(good, "b-bottom.gbr", gerberText("Copper,L2,Bot", "")), "b.drl", drillText("T1\nX5.0Y5.0\nX15.0Y5.0\n"))},
		"no outline":                                                     {put(good, "b-profile.gbr", nil)},
	}
}

// TestPartDoubts breaks boards in all the ways of the table in docs/formats.md:
// the doubt is given in its words, and makes the exit code 3 or not as it says.
func TestPartDoubts(t *testing.T) {
	breakages := partBreakages()
	if b := mustRead(t, smallBoard(), Options{}); b.Partial {
		t.Errorf("the sound board is in part: %v", b.Doubts)
	}
	for _, row := range partRows(t) {
		sets := breakages[row.what]
		delete(breakages, row.what)
		if len(sets) == 0 {
			t.Errorf("no board is broken by: %s", row.what)
		}
		for i, set := range sets {
			b := mustRead(t, set, Options{})
			if d := saidBy(b.Doubts, row.words); d == nil || d.Part != row.part || b.Partial != row.part {
				t.Errorf("%s, case %d: the table says part-read %v; the doubts are %+v", row.what, i, row.part, b.Doubts)
			}
		}
	}
	for what := range breakages {
		t.Errorf("docs/formats.md has no row: %s", what)
	}
}

// saidBy gives the first doubt in one of the words, those that make the exit code
// 3 before others.
func saidBy(doubts []board.Doubt, words []string) (found *board.Doubt) {
	for i := range doubts {
		for _, w := range words {
			if strings.Contains(doubts[i].What, w) && (found == nil || doubts[i].Part && !found.Part) {
				found = &doubts[i]
			}
		}
	}
	return found
}

// TestPartDoubtsListed finds in the code every doubt that makes the exit code 3,
// and its words in the table.
func TestPartDoubtsListed(t *testing.T) {
	rows := partRows(t)
	count := 0
	for _, dir := range []string{".", "../../format/gerber", "../../format/excellon", "../../format/ipc2581"} {
		files, err := filepath.Glob(dir + "/*.go")
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			tree, err := parser.ParseFile(token.NewFileSet(), f, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			for _, words := range partWords(tree) {
				count++
				if !inPartRow(rows, words) {
					t.Errorf("%s: docs/formats.md does not list the doubt %q", f, words)
				}
			}
		}
	}
	if count < 30 {
		t.Errorf("only %d doubts found in the code", count)
	}
}

func inPartRow(rows []partRow, words string) bool {
	for _, r := range rows {
		for _, w := range r.words {
			if r.part && strings.Contains(words, w) {
				return true
			}
		}
	}
	return false
}

// partWords gives the words that a file hands to what makes such a doubt.
func partWords(tree *ast.File) (out []string) {
	ast.Inspect(tree, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		name := ""
		switch f := call.Fun.(type) {
		case *ast.SelectorExpr:
			name = f.Sel.Name
		case *ast.Ident:
			name = f.Name
		}
		args := call.Args
		switch name {
		case "partOf":
			inner, ok := call.Args[0].(*ast.CallExpr)
			if !ok {
				return true
			}
			args = inner.Args
		case "Lose", "LoseOnce", "LoseAt", "doubtPart":
		default:
			return true
		}
		for _, a := range args {
			if s := joined(a); s != "" && s != "%s" && strings.Contains(s, " ") {
				out = append(out, s)
			}
		}
		return true
	})
	return out
}

// joined is the text of string literals that are added up.
func joined(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		if s, err := strconv.Unquote(e.Value); err == nil && e.Kind == token.STRING {
			return s
		}
	case *ast.BinaryExpr:
		return joined(e.X) + joined(e.Y)
	}
	return ""
}
