package web

import (
	"io/fs"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"ohmward/demo"
	"ohmward/internal/answer"
)

// demoFiles are the demo board's files, to be spoilt.
func demoFiles(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	names, err := fs.Glob(demo.Board(), "*")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		data, err := fs.ReadFile(demo.Board(), name)
		if err != nil {
			t.Fatal(err)
		}
		out[name] = string(data)
	}
	return out
}

// brought uploads files and gives the case begun on them.
func brought(t *testing.T, s *Server, files map[string]string) string {
	t.Helper()
	body, kind := form(t, "RL-40", files)
	r := s.request("POST", "/api/boards", body)
	r.Header.Set("Content-Type", kind)
	w := s.do(r)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	_, id, _ := strings.Cut(w.Body.String(), `"id":"`)
	id, _, _ = strings.Cut(id, `"`)
	return id
}

// tell sends an act on what is shown, and gives what comes of it.
func tell(t *testing.T, s *Server, id string, a answer.Act) answer.View {
	t.Helper()
	a.Revision = ready(t, s, id).Revision
	call[map[string]int](t, s, "POST", "/api/cases/"+id+"/act", a)
	return ready(t, s, id)
}

// anew gives a server on the same shelf, as after a restart.
func anew(t *testing.T, s *Server) *Server {
	t.Helper()
	shelf := openShelf(t, s.folder.Dir())
	next, err := New(shelf, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { next.listen[0].Close(); shelf.Close() })
	return next
}

func open(v answer.View) (doubts []answer.DoubtView) {
	for _, d := range v.Board.Doubts {
		if !d.Settled {
			doubts = append(doubts, d)
		}
	}
	return doubts
}

// TestDoubtSettled: a doubt that was looked at stays settled over a restart and
// can be raised again; a made-up one is refused.
func TestDoubtSettled(t *testing.T) {
	s := newTest(t, "")
	files := demoFiles(t)
	delete(files, "RL-40-mask-bottom.gbr")
	id := brought(t, s, files)
	v := ready(t, s, id)
	n := len(open(v))
	if n < 2 {
		t.Fatalf("%d doubts without a mask: %+v", n, v.Board.Doubts)
	}
	key := open(v)[0].Key
	if left := open(tell(t, s, id, answer.Act{Do: "settle", Text: key})); len(left) != n-1 || left[0].Key == key {
		t.Errorf("left: %+v", left)
	}
	s2 := anew(t, s)
	v = ready(t, s2, id)
	if len(open(v)) != n-1 || len(v.Board.Doubts) != n {
		t.Errorf("after a restart %d of %d are open", len(open(v)), len(v.Board.Doubts))
	}
	if left := open(tell(t, s2, id, answer.Act{Do: "settle", Text: key})); len(left) != n {
		t.Errorf("raised again: %+v", left)
	}
	w := s2.do(s2.request("POST", "/api/cases/"+id+"/act",
		encoded(t, answer.Act{Revision: ready(t, s2, id).Revision, Do: "settle", Text: "made up"})))
	if w.Code != http.StatusBadRequest {
		t.Errorf("a made-up doubt: %d %s", w.Code, w.Body)
	}
}

// TestRoleChosen: a file is given another role, the board is read anew and the
// case keeps it; a board that then fails offers the way back.
func TestRoleChosen(t *testing.T) {
	s := newTest(t, "")
	id := brought(t, s, demoFiles(t))
	was := ready(t, s, id)
	v := tell(t, s, id, answer.Act{Do: "role", Place: "RL-40-parts.csv", Text: "ignore"})
	if v.Board == nil || v.Board.Parts == 0 || !slices.Contains(v.Board.Said, "RL-40-parts.csv as ignore") ||
		v.Board.Read == was.Board.Read {
		t.Errorf("read anew: %+v", v.Board)
	}
	for _, bad := range []answer.Act{{Do: "role", Place: "../case.toml", Text: "ignore"},
		{Do: "role", Place: "RL-40-parts.csv", Text: "a pie"}, {Do: "copy", Text: "-1"}} {
		bad.Revision = v.Revision
		if w := s.do(s.request("POST", "/api/cases/"+id+"/act", encoded(t, bad))); w.Code != http.StatusBadRequest {
			t.Errorf("%+v: %d %s", bad, w.Code, w.Body)
		}
	}
	// A role with a span is none of those offered, but --role takes it.
	if v = tell(t, s, id,
		answer.Act{Do: "role", Place: "RL-40-plated.drl", Text: "drill plated L1-L2"}); v.Board == nil ||
		len(v.Board.Said) != 2 {
		t.Fatalf("a role with a span: %+v", v.Trouble)
	}
	v = tell(t, s, id, answer.Act{Do: "role", Place: "RL-40-copper-top.gbr", Text: "drill"})
	if v.Board != nil || v.Trouble == nil || v.Mend == nil ||
		!slices.Contains(v.Mend.Files, "RL-40-copper-top.gbr") || len(v.Mend.Ways) != 1 {
		t.Fatalf("copper as drill: %+v, %+v", v.Trouble, v.Mend)
	}
	w := s.do(s.request("POST", "/api/cases/"+id+"/act",
		encoded(t, answer.Act{Revision: v.Revision, Do: "pick", Text: "GND"})))
	if w.Code != http.StatusBadRequest {
		t.Errorf("a net of no board: %d %s", w.Code, w.Body)
	}
	s2 := anew(t, s)
	if v = ready(t, s2, id); v.Mend == nil {
		t.Fatalf("after a restart: %+v", v.Trouble)
	}
	if v = tell(t, s2, id, v.Mend.Ways[len(v.Mend.Ways)-1].Act); v.Board == nil || len(v.Board.Said) != 0 ||
		v.Board.Nets != was.Board.Nets {
		t.Errorf("as the files say: %+v, %+v", v.Board, v.Trouble)
	}
}

var coordinate = regexp.MustCompile(`([XY])(-?\d+\.\d+)`)

// inInches writes a drill file's places in inches, though it says millimetres.
func inInches(text string) string {
	return coordinate.ReplaceAllStringFunc(text, func(c string) string {
		mm, err := strconv.ParseFloat(c[1:], 64)
		if err != nil {
			return c
		}
		return c[:1] + strconv.FormatFloat(mm/25.4, 'f', 4, 64)
	})
}

// TestDrillFitted: a drill file whose unit does not fit the pads fails the
// board, and one tap reads it as its holes fit.
func TestDrillFitted(t *testing.T) {
	s := newTest(t, "")
	files := demoFiles(t)
	files["RL-40-plated.drl"] = inInches(files["RL-40-plated.drl"])
	id := brought(t, s, files)
	v := ready(t, s, id)
	if v.Mend == nil || len(v.Mend.Ways) != 1 || v.Mend.Ways[0].Act.Text != "drill fitted" ||
		v.Mend.File != "RL-40-plated.drl" {
		t.Fatalf("%+v, %+v", v.Trouble, v.Mend)
	}
	if v = tell(t, s, id, v.Mend.Ways[0].Act); v.Board == nil || v.Step != "nets" {
		t.Errorf("fitted: %+v", v.Trouble)
	}
}

// TestSettleInPage: a doubt is settled in a browser, is folded away, and stays
// so when the page is reloaded.
func TestSettleInPage(t *testing.T) {
	w := openBrowser(t)
	s := serve(t)
	files := demoFiles(t)
	delete(files, "RL-40-mask-bottom.gbr")
	id := brought(t, s.Server, files)
	w.do(chromedp.Navigate(s.URL() + "#/case/" + id))
	w.step()
	w.painted()
	w.picture("doubts-light")
	const open = `document.querySelectorAll("section.doubts > details > ul > li").length`
	w.until(open + ` === 2`)
	w.size(320, 640, 2)
	w.script(`document.querySelector("section.doubts").scrollIntoView()`)
	w.picture("doubts-320")
	if wide := eval[int](w, `document.documentElement.scrollWidth`); wide > 320 {
		t.Errorf("%d px wide at 320", wide)
	}
	w.size(1280, 800, 1)
	w.script(`document.querySelector("[data-key=settle0]").click()`)
	w.until(open + ` === 1`)
	w.do(chromedp.Reload())
	w.step()
	w.until(open + ` === 1 && document.querySelector('[data-key="settled"]').textContent === "1 doubt settled"`)
}
