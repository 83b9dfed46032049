package web

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"ohmward/internal/answer"
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

// TestPanelChosen: a panel is a doubt that offers every copy or all; what is
// chosen settles it, and is taken back by what the files say. A copy that is
// not there fails the board and can be left out.
func TestPanelChosen(t *testing.T) {
	if testing.Short() {
		t.Skip("reads a panel over and over: some seconds")
	}
	s := newTest(t, "")
	id := brought(t, s, twoUp(t))
	v := ready(t, s, id)
	if v.Board == nil {
		t.Fatalf("%+v", v.Trouble)
	}
	if d := open(v); len(d) != 1 || d[0].Code != "panel" || len(v.Board.Copies) != 2 {
		t.Fatalf("copies %+v, doubts %+v", v.Board.Copies, v.Board.Doubts)
	}
	take := func(copy string) answer.Act { return answer.Act{Do: "copy", Text: copy} }
	both := v.Board.Parts
	if v = tell(t, s, id, take("all")); v.Board.Parts != both || len(open(v)) != 0 {
		t.Errorf("all copies: %d parts of %d, doubts %+v", v.Board.Parts, both, open(v))
	}
	size := v.Board.Size
	for _, n := range []string{"1", "2"} {
		if v = tell(t, s, id, take(n)); 2*v.Board.Parts != both || v.Board.Copy != n ||
			len(v.Board.Copies) != 2 || v.Board.Size == size {
			t.Errorf("copy %s: %d parts of %d, %s, copy %q", n, v.Board.Parts, both, v.Board.Size, v.Board.Copy)
		}
	}
	if v = tell(t, s, id, take("3")); v.Board != nil || v.Mend == nil || v.Mend.Ways[0].Act.Do != "copy" {
		t.Fatalf("copy 3: %+v, %+v", v.Trouble, v.Mend)
	}
	if v = tell(t, s, id, v.Mend.Ways[0].Act); v.Board == nil {
		t.Fatalf("copy left out: %+v", v.Trouble)
	}
	if v = tell(t, s, id, answer.Act{Do: "as-read"}); v.Board.Parts != both || len(open(v)) == 0 {
		t.Errorf("as the files say: %d parts, doubts %+v", v.Board.Parts, open(v))
	}
}

// TestPanelInPage: the second copy of a panel is chosen in a browser.
func TestPanelInPage(t *testing.T) {
	w := openBrowser(t)
	s := serve(t)
	w.do(chromedp.Navigate(s.URL() + "#/case/" + brought(t, s.Server, twoUp(t))))
	w.step()
	w.painted()
	w.picture("panel")
	w.script(`document.querySelector("section.doubts select").value = "2";
		document.querySelector("[data-key=copy0-go]").click()`)
	w.until(onPage + `.job.view.board?.copy === "2"`)
	w.step()
	w.painted()
	w.picture("panel-copy")
	if doubts := eval[int](w, `document.querySelectorAll("section.doubts li").length`); doubts != 0 {
		t.Errorf("%d doubts are left", doubts)
	}
}
