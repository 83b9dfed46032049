package web

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"ohmward/internal/bench"
)

var hit = regexp.MustCompile(`(?m)^X([0-9.-]+)Y([0-9.-]+)$`)

// twoUp makes a panel of two copies of the demo board side by side: every
// image becomes a block that is placed twice, every hole is repeated.
func twoUp(t *testing.T) map[string]string {
	t.Helper()
	files := demoFiles(t)
	delete(files, "RL-40.gbrjob") // it tells the size of one board
	for name, text := range files {
		switch {
		case strings.HasSuffix(name, ".gbr"):
			head, body, _ := strings.Cut(text, "G75*\n")
			files[name] = head + "G75*\n%ABD999*%\n" + strings.TrimSuffix(body, "M02*\n") +
				"%AB*%\n%TD*%\n%LPD*%\nD999*\nX0Y0D03*\nX62000000Y0D03*\nM02*\n"
		case strings.HasSuffix(name, ".drl"):
			files[name] = hit.ReplaceAllStringFunc(text, func(line string) string {
				var x, y float64
				if _, err := fmt.Sscanf(line, "X%fY%f", &x, &y); err != nil {
					t.Fatal(err)
				}
				return fmt.Sprintf("%s\nX%.3fY%.3f", line, x+62, y)
			})
		}
	}
	return files
}

// TestPanelChosen: a panel is a doubt that offers one copy or all; what is
// chosen settles it, and is taken back by what the files say.
func TestPanelChosen(t *testing.T) {
	s := newTest(t, "")
	id := brought(t, s, twoUp(t))
	v := ready(t, s, id)
	if v.Board == nil {
		t.Fatalf("%+v", v.Trouble)
	}
	ways := map[string]bench.Act{}
	for _, d := range open(v) {
		for _, w := range d.Ways {
			ways[w.Act.Text] = w.Act
		}
	}
	if len(ways) != 2 {
		t.Fatalf("ways %+v of %+v", ways, v.Board.Doubts)
	}
	both := v.Board.Parts
	if v = tell(t, s, id, ways["all"]); v.Board.Parts != both || len(open(v)) != 0 {
		t.Errorf("all copies: %d parts of %d, doubts %+v", v.Board.Parts, both, open(v))
	}
	if v = tell(t, s, id, ways["1"]); 2*v.Board.Parts != both || len(v.Board.Said) != 1 {
		t.Errorf("one copy: %d parts of %d, said %v", v.Board.Parts, both, v.Board.Said)
	}
	if v = tell(t, s, id, bench.Act{Do: "as-read"}); v.Board.Parts != both || len(open(v)) == 0 {
		t.Errorf("as the files say: %d parts, doubts %+v", v.Board.Parts, open(v))
	}
}
