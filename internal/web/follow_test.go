package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// looksAt gives whether the picture shows what the card speaks of: the whole of
// it in view and not small, on its side.
const looksAt = `(() => {
	const { canvas } = document.querySelector(".board"), f = document.getElementById("job").job.view.focus;
	if (!f) return "no place";
	const o = canvas.drawing.Origin, at = (x, y) => canvas.screen(x * 1e6 - o[0], y * 1e6 - o[1]);
	const ends = [at(f.x0_mm, f.y0_mm), at(f.x1_mm, f.y1_mm)];
	for (const [x, y] of ends) if (x < 0 || y < 0 || x > canvas.width || y > canvas.height) return "out of view";
	if (f.side && (f.side === "bottom") !== canvas.state.behind) return "the other side";
	const mm = Math.min(canvas.width, canvas.height) / (canvas.camera.scale * 1e6);
	const most = 2 * Math.max(f.x1_mm - f.x0_mm, f.y1_mm - f.y0_mm) + 12;
	return mm > most ? mm.toFixed(1) + " mm in view for " + JSON.stringify(f) : "";
})()`

// TestPictureFollows: the picture shows the part that is asked about, then the
// place of each move that is looked at, then the tips; what is asked for on the
// other side is told, and a press turns to it.
func TestPictureFollows(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	id, err := r.folder.BeginOn("demo")
	if err != nil {
		t.Fatal(err)
	}
	r.at(w, id)
	for _, net := range []string{"+3V3_RF", "GND"} {
		w.moves1(`{ do: "pick", text: "` + net + `" }`)
	}
	w.option("Begin")
	shows := func(where string) {
		t.Helper()
		w.step()
		w.painted()
		if wrong := eval[string](w, looksAt); wrong != "" {
			t.Errorf("%s: %s", where, wrong)
		}
		w.picture("follow-" + strings.ReplaceAll(where, " ", "-"))
	}
	for n := 0; w.step() == "metal"; n++ {
		shows(fmt.Sprintf("metal %d", n))
		w.option("Yes")
	}
	for _, words := range []string{"All done", "Pass over", "Nulled"} {
		w.option(words)
	}
	for _, value := range []string{"31m", "48m"} {
		shows("tips " + value)
		w.typeValue(value)
	}
	w.option("Enough")
	shows("best")
	places := map[string]bool{}
	for n := range 5 {
		w.moves1(fmt.Sprintf(`{ do: "move", n: %d }`, n))
		shows(fmt.Sprintf("move %d", n))
		places[eval[string](w, `JSON.stringify(`+onPage+`.job.view.focus)`)] = true
	}
	if len(places) < 2 {
		t.Errorf("five moves are all at one place")
	}
	w.script(onPage + `.job.board.turn()`)
	w.until(`!document.querySelector(".over").hidden`)
	w.picture("follow-over")
	w.do(chromedp.Click(".over button"))
	w.until(`document.querySelector(".over").hidden`)
	shows("turned back")
	w.script(`const { job } = ` + onPage + `, v = structuredClone(job.view);
		Object.assign(v.focus, { side: "bottom", x0_mm: 20, y0_mm: 20, x1_mm: 22, y1_mm: 21 });
		job.view = v;
		job.board.show(v)`)
	w.until(`document.querySelector(".board").canvas.state.behind`)
	shows("on the bottom")
}

// moves1 does an act that changes what is shown, but no revision.
func (w *window) moves1(act string) {
	w.t.Helper()
	eval[bool](w, onPage+`.job.act(`+act+`).then(() => true)`)
	w.step()
}

// fourWire is a case on the demo where a four-wire reading is advised.
const fourWire = `board = "demo"
nets = ["+3V3", "GND"]

[meter]
profile = "bench-6.5-digit-hand"

[[metal]]
part = "J3"
net = "GND"

[[reading]]
from = "C33.1"
to = "C33.2"
ohms = 0.349

[[reading]]
from = "C2.1"
to = "U2.2"
ohms = 0.188

[[reading]]
from = "C25.1"
to = "C26.2"
ohms = 0.316

[[reading]]
from = "L1.1"
to = "C3.1"
ohms = 0.189

[[null]]
after_reading = 0

[bench]
revision = 9
cautions = true
swap_skipped = true
metal_asked = ["J2", "J3", "J5"]
`

// TestFourMarks: a four-wire reading has four marks, all in view, clips first in
// the card too.
func TestFourMarks(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	id, err := r.folder.BeginOn("demo")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(r.folder.Dir(), "cases", id, "case.toml")
	if err := os.WriteFile(file, []byte(fourWire), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, size := range [][2]int64{{1280, 800}, {390, 844}} {
		w.size(size[0], size[1], 1)
		r.at(w, id)
		w.until(`document.querySelectorAll(".target li").length === 4`)
		w.painted()
		w.picture(fmt.Sprintf("four-wire-%d", size[0]))
		marks := eval[[]string](w, `(() => {
			const { canvas } = document.querySelector(".board");
			return canvas.state.marks.filter((m) => m.large).map((m) => {
				const [x, y] = canvas.screen(m.x, m.y), is = x > 0 && y > 0 && x < canvas.width && y < canvas.height;
				return m.note + (is ? "" : " out of view");
			});
		})()`)
		words := [4]string{"first: red clip, ", "first: black clip, ", "then: red tip, ", "then: black tip, "}
		if len(marks) != 4 {
			t.Fatalf("marks %q", marks)
		}
		for i, m := range marks {
			if !strings.HasPrefix(m, words[i]) || strings.HasSuffix(m, "out of view") {
				t.Errorf("%d px wide: mark %d is %q", size[0], i, m)
			}
		}
		first := eval[string](w, `document.querySelector(".target li").innerText`)
		if !strings.Contains(first, "clip") {
			t.Errorf("the card begins with %q", first)
		}
	}
}

// pixel is the colour of the board's picture where a pin lies.
const pixel = `(() => {
	const { canvas } = document.querySelector(".board"), c = document.querySelector(".board-canvas");
	const pad = canvas.drawing.Pads.find((p) => p.Pin === %q), [x, y] = canvas.screen(...pad.At);
	const [bx, by] = canvas.place(x, y), off = Math.hypot(bx - pad.At[0], by - pad.At[1]);
	const d = c.getContext("2d").getImageData(x * devicePixelRatio, y * devicePixelRatio, 1, 1).data;
	return { x, y, off, ink: [...d].join(" ") };
})()`

type seenPixel struct {
	X   float64 `json:"x"`
	Y   float64 `json:"y"`
	Off float64 `json:"off"`
	Ink string  `json:"ink"`
}

// TestRotateInPage: a press turns the picture by a quarter, clockwise as it is
// seen, from the bottom too; copper, taps and marks turn along, and the case
// keeps it.
func TestRotateInPage(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, r.practice(t, 1))
	w.script(onPage + `.job.board.fit()`)
	at := func(pin string) seenPixel {
		t.Helper()
		w.painted()
		return eval[seenPixel](w, fmt.Sprintf(pixel, pin))
	}
	rotate := fmt.Sprintf(pressed, ".hold", "Rotate")
	a, b := at("L1.1"), at("L1.2")
	for turns := 1; turns <= 4; turns++ {
		w.moves(func() { w.until(rotate) })
		w.until(fmt.Sprintf(onPage+`.job.view.turns === %d`, turns%4))
		c, d := at("L1.1"), at("L1.2")
		// What lay along (x, y) from one to the other now lies along (-y, x): y is down.
		along := ((d.X-c.X)*-(b.Y-a.Y) + (d.Y-c.Y)*(b.X-a.X))
		across := ((d.X-c.X)*(b.X-a.X) + (d.Y-c.Y)*(b.Y-a.Y))
		if along <= 0 || across*across > 1e-6*along*along {
			t.Errorf("turn %d: from %v, %v to %v, %v", turns, a, b, c, d)
		}
		if c.Ink != a.Ink || d.Ink != b.Ink || c.Off > 1 {
			t.Errorf("turn %d: pads have inks %q, %q, had %q, %q; a tap is off by %v nm", turns, c.Ink, d.Ink, a.Ink,
				b.Ink, c.Off)
		}
		w.picture(fmt.Sprintf("rotated-%d", turns))
		a, b = c, d
	}
	w.script(onPage + `.job.board.turn()`)
	a, b = at("L1.1"), at("L1.2")
	w.moves(func() { w.until(rotate) })
	w.until(onPage + `.job.view.turns === 3`)
	c, d := at("L1.1"), at("L1.2")
	if along := (d.X-c.X)*-(b.Y-a.Y) + (d.Y-c.Y)*(b.X-a.X); along <= 0 {
		t.Errorf("turned over, it rotates the other way: from %v, %v to %v, %v", a, b, c, d)
	}
	w.do(chromedp.Reload())
	w.step()
	w.painted()
	if n := eval[int](w, `document.querySelector(".board").canvas.state.turns`); n != 3 {
		t.Errorf("loaded again, it is turned by %d quarters", n)
	}
}

// slowPainter holds back what the painter has drawn until it is let go.
const slowPainter = `const Real = window.Worker;
	window.held = null;
	window.Worker = class {
		constructor(...given) {
			this.real = new Real(...given);
			this.real.onmessage = (e) => window.held && !e.data.ready ? window.held.push(() => this.onmessage(e))
				: this.onmessage(e);
		}
		postMessage(...given) { this.real.postMessage(...given); }
		terminate() { this.real.terminate(); }
	};`

// TestBeingDrawn: while the painter is at work, the old picture moves along under
// the hand, and it is said that it is being drawn; once it is, that goes.
func TestBeingDrawn(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	if _, err := chromedp.Call(w.ctx, cdppage.AddScriptToEvaluateOnNewDocument,
		cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: slowPainter}); err != nil {
		t.Fatal(err)
	}
	r.at(w, r.practice(t, 1))
	was := eval[seenPixel](w, fmt.Sprintf(pixel, "L1.1"))
	w.until(`document.querySelector(".drawing").hidden`)
	w.script(`window.held = []; document.querySelector(".board").canvas.pan(-37, 23)`)
	w.until(`!document.querySelector(".drawing").hidden`)
	w.script(`document.querySelector(".board").canvas.pan(-20, 10)`)
	// Two frames on, what is on the screen has been drawn.
	eval[bool](w, `new Promise((yes) => requestAnimationFrame(() => requestAnimationFrame(() => yes(true))))`)
	w.picture("being-drawn")
	is := eval[seenPixel](w, fmt.Sprintf(pixel, "L1.1"))
	if is.X-was.X < -57.5 || is.X-was.X > -56.5 || is.Y-was.Y < 32.5 || is.Y-was.Y > 33.5 {
		t.Errorf("moved from %v to %v", was, is)
	}
	if is.Ink != was.Ink {
		t.Errorf("the old picture did not move along: %q, was %q", is.Ink, was.Ink)
	}
	if eval[bool](w, `document.querySelector(".drawing").hidden`) {
		t.Error("nothing says that it is being drawn")
	}
	w.script(`const all = window.held; window.held = null; for (const go of all) go()`)
	w.until(`document.querySelector(".drawing").hidden`)
	w.painted()
}
