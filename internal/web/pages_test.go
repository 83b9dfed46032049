package web

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"ohmward/demo"
)

// demoZip writes the demo's board as a zip, as a person would bring it.
func demoZip(t *testing.T) string {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	if err := z.AddFS(demo.Board()); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "logger rev C.zip")
	if err := os.WriteFile(name, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// TestTypedInBrowser: a board is brought as a zip, its nets are searched, and
// values are typed as people type; wrong ones are told of in place; a reading
// is edited and one marked doubtful.
func TestTypedInBrowser(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"),
		chromedp.SetUploadFiles(`input[type=file]:not([webkitdirectory])`, []string{demoZip(t)}))
	w.until(`location.hash.startsWith("#/case/")`)
	if step := w.step(); step != "nets" {
		t.Fatalf("at %s", step)
	}
	w.painted()
	w.picture("nets")
	if title := eval[string](w, `document.querySelector(".unit").textContent`); !strings.Contains(title,
		"logger rev C") {
		t.Errorf("the case is called %q", title)
	}
	w.do(chromedp.Click("details.pairs > summary"))
	w.until(`document.querySelectorAll(".pairs ol li").length > 4`)
	w.picture("pairs")
	for _, net := range []string{"3v3", "gnd"} {
		w.do(chromedp.Focus("#net"))
		w.keys(net)
		w.until(`document.querySelectorAll(".found button").length > 0`)
		w.keys(kb.Enter)
		w.until(`document.querySelectorAll(".found button").length === 0`)
	}
	w.until(`document.querySelector("h1").textContent.includes("+3V3 and GND")`)
	w.keys(kb.Enter)
	w.until(onPage + `.dataset.step !== "nets"`)
	for w.step() == "metal" {
		w.option("Yes")
	}
	w.picture("cautions")
	w.option("All done")
	for _, value := range []string{"23.1m", "23m2", "0.0232"} {
		w.typeValue(value)
	}
	w.option("Nulled")
	w.step()
	for _, wrong := range []string{"12V", "ohm"} {
		w.emptyValue()
		w.do(chromedp.Focus("#value"))
		w.keys(wrong + kb.Enter)
		for _, says := range []string{wrong, "not a resistance"} {
			w.until(fmt.Sprintf(`document.querySelector(".wrong")?.textContent.includes(%q)`, says))
		}
	}
	w.picture("wrong-value")
	w.emptyValue()
	for i, value := range []string{"18.7m", "0.0193", "19m9"} {
		w.typeValue(value)
		if n := eval[int](w, `document.querySelectorAll(".readings li").length`); n != i+1 {
			t.Fatalf("%d readings after %d", n, i+1)
		}
	}
	w.do(chromedp.Click(".readings li:first-child summary"))
	w.inRow(1, "Doubtful")
	w.until(`document.querySelector(".readings li").className.includes("doubtful")`)
	w.picture("readings")
}

// emptyValue clears the field and takes the focus off it.
func (w *window) emptyValue() {
	w.t.Helper()
	w.script(`const f = document.getElementById("value"); f.value = ""; f.blur()`)
}

// TestRubbish: files that are no board are told of in place, with what to do.
func TestRubbish(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	name := filepath.Join(t.TempDir(), "holiday.zip")
	if err := os.WriteFile(name, []byte("PK\x03\x04 and no more"), 0o644); err != nil {
		t.Fatal(err)
	}
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"),
		chromedp.SetUploadFiles(`input[type=file]:not([webkitdirectory])`, []string{name}))
	w.until(`document.querySelector(".card h1")?.textContent === "This board cannot be read"`)
	w.picture("rubbish")
	if said := eval[string](w, `document.querySelector(".card").innerText`); !strings.Contains(said,
		"holiday") || len(said) < 60 {
		t.Errorf("says only %q", said)
	}
}

// pressed presses the button of a region whose words begin so, once it can be.
const pressed = `(() => {
	const all = [...document.querySelectorAll("%s button")];
	const b = all.find((b) => b.textContent.startsWith(%q) && !b.disabled);
	b?.click();
	return b;
})()`

// option presses the button whose words begin so, and waits for what comes.
func (w *window) option(words string) {
	w.t.Helper()
	w.step()
	w.moves(func() { w.until(fmt.Sprintf(pressed, ".doing", words)) })
	w.step()
}

func (w *window) inRow(n int, words string) {
	w.t.Helper()
	w.until(fmt.Sprintf(pressed, fmt.Sprintf(".readings li:nth-child(%d)", n), words))
}

// typeValue types a value with the focus on nothing: digits find their field.
func (w *window) typeValue(value string) {
	w.t.Helper()
	w.step()
	w.moves(func() { w.keys(value + kb.Enter) })
	w.step()
	w.emptyValue()
}

// TestTouch: on a telephone's screen, by taps alone: the nets are tapped on
// the board, and a place to touch is chosen there.
func TestTouch(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	w.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch,
		chromedp.EmulateScale(2), chromedp.EmulatePortrait))
	id, err := r.folder.BeginOn("demo")
	if err != nil {
		t.Fatal(err)
	}
	r.at(w, id)
	if step := w.step(); step != "nets" {
		t.Fatalf("at %s", step)
	}
	for i, pin := range []string{"C9.1", "C9.2"} {
		w.tapPin(pin)
		w.until(fmt.Sprintf(onPage+`.job.view.picked.length === %d`, i+1))
	}
	w.until(`[...document.querySelectorAll(".doing button")].some((b) => b.textContent.startsWith("Begin"))`)
	w.picture("touch-nets")
	w.tap("Begin")
	w.until(onPage + `.dataset.step !== "nets"`)
	for w.step() == "metal" {
		w.option("Yes")
	}
	for _, c := range [][2]string{{"All done", "swap"}, {"Pass over", "null"}, {"Nulled", "read"}} {
		w.tap(c[0])
		w.until(onPage + `.dataset.step === "` + c[1] + `"`)
	}
	w.step()
	w.painted()
	w.picture("touch-read")
	if small := eval[string](w, smallTargets); small != "" {
		t.Errorf("too small to touch: %s", small)
	}
}

// smallTargets lists what can be touched and is less than 44 px high or wide.
const smallTargets = `[...document.querySelectorAll("button, summary, input, a[href]")].filter((e) => {
	const { width, height } = e.getBoundingClientRect();
	const counts = e.offsetParent && !e.closest(".unit") && !e.classList.contains("unseen");
	return counts && Math.min(width, height) < 43.5;
}).map((e) => e.textContent.trim() || e.id).join("; ")`

// tapPin taps the middle of a pin's pad on the board, after looking there.
func (w *window) tapPin(pin string) {
	w.t.Helper()
	at := eval[[]float64](w, fmt.Sprintf(`(() => {
		const v = document.querySelector(".board").canvas, p = v.geometry.table.Pads.find((p) => p.Pin === %q);
		v.look({ x: p.At[0], y: p.At[1], across: 8e6 }, false);
		const r = document.querySelector(".board-canvas").getBoundingClientRect(), s = v.screen(p.At[0], p.At[1]);
		return [r.left + s[0], r.top + s[1]];
	})()`, pin))
	w.touch(at, "pointerup", "pointercancel")
}

// tap taps the button whose words begin so.
func (w *window) tap(words string) {
	w.t.Helper()
	w.step()
	at := eval[[]float64](w, fmt.Sprintf(`(() => {
		const b = [...document.querySelectorAll(".doing button")].find((b) => b.textContent.startsWith(%q));
		b.scrollIntoView({ block: "center" });
		const r = b.getBoundingClientRect();
		return [r.left + r.width / 2, r.top + r.height / 2];
	})()`, words))
	w.touch(at, "click", "contextmenu")
}

// watched is a promise that is kept with the first of two kinds of events.
const watched = `window.watched = new Promise((yes) => {
	for (const kind of ["%s", "%s"]) addEventListener(kind, (e) => yes(e.type), { capture: true, once: true });
})`

// touch touches a place with a finger, for 50 ms by the page's clock. A machine
// under load may hold the finger's lifting back so long that the browser itself
// takes it for a long press: it says so by another event, and it is done again.
func (w *window) touch(at []float64, done, held string) {
	w.t.Helper()
	finger := []*input.TouchPoint{{X: at[0], Y: at[1]}}
	for range 20 {
		w.script(fmt.Sprintf(watched, done, held))
		began := w.later()
		w.send(input.DispatchTouchEventTypeTouchStart, finger, began)
		w.send(input.DispatchTouchEventTypeTouchEnd, []*input.TouchPoint{}, began.Add(50*time.Millisecond))
		if eval[string](w, `window.watched`) == done {
			return
		}
	}
	w.t.Fatalf("touching %v gives %s, never %s", at, held, done)
}

func (w *window) send(kind input.DispatchTouchEventType, fingers []*input.TouchPoint, at time.Time) {
	w.t.Helper()
	event := input.DispatchTouchEventParams{Type: kind, TouchPoints: fingers, Timestamp: stamp(at)}
	if _, err := chromedp.Call(w.ctx, input.DispatchTouchEvent, event); err != nil {
		w.t.Fatal(err)
	}
}

// TestSizes: from 320 px to 4K, light and dark: nothing is wider than the
// screen, and the words are in it.
func TestSizes(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	id := readTwice(t, r)
	for _, size := range []struct {
		name          string
		width, height int64
	}{{"320", 320, 640}, {"tablet", 820, 1180}, {"laptop", 1280, 800}, {"4k", 3840, 2160}} {
		w.size(size.width, size.height, 1)
		w.look("light")
		r.at(w, id)
		for _, scheme := range []string{"light", "dark"} {
			w.look(scheme)
			w.painted()
			where := size.name + "-" + scheme
			w.fits(where, size.width)
			if cut := eval[string](w, cutOff); cut != "" {
				t.Errorf("%s: cut off: %s", where, cut)
			}
			w.picture("size-" + where)
		}
		w.unfold()
		w.fits(size.name+", all unfolded", size.width)
		w.do(chromedp.Navigate(r.URL()+"#"), chromedp.WaitVisible(".drop"))
		for _, scheme := range []string{"light", "dark"} {
			w.look(scheme)
			w.picture("start-" + size.name + "-" + scheme)
			w.fits("start, "+size.name+"-"+scheme, size.width)
		}
	}
}

// fits fails where the page is wider than the screen.
func (w *window) fits(where string, width int64) {
	w.t.Helper()
	if wide := eval[int64](w, `document.documentElement.scrollWidth`); wide > width {
		w.t.Errorf("%s: %d px wide: %s", where, wide, eval[string](w, tooWide))
	}
}

// tooWide names what sticks out on the right.
const tooWide = `[...document.querySelectorAll("body *")]
	.filter((e) => e.getBoundingClientRect().right > innerWidth + 1)
	.slice(0, 5).map((e) => e.tagName + "." + e.className).join(" ")`

// cutOff names what does not hold its words.
const cutOff = `[...document.querySelectorAll("h1, .target b, .doing button")]
	.filter((e) => e.scrollWidth > e.clientWidth + 2 && getComputedStyle(e).display !== "inline")
	.map((e) => e.textContent).join("; ")`

// TestReload: reloaded in the middle, the page stands where it stood.
func TestReload(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, readTwice(t, r))
	said := `[".card", ".history", ".where"].map((part) => document.querySelector(part).innerText).join("\n")`
	w.until(`document.querySelector(".where .answer")`)
	was := eval[string](w, said)
	w.do(chromedp.Reload())
	w.step()
	w.until(`document.querySelector(".where .answer")`)
	if is := eval[string](w, said); is != was {
		t.Errorf("was %q\nis  %q", was, is)
	}
}

// TestInStep: two windows on one case show the same; the one that answers
// late is told in place, and nothing is taken twice.
func TestInStep(t *testing.T) {
	one := openBrowser(t)
	r := serve(t)
	id := readTwice(t, r)
	r.at(one, id)
	two := one.another()
	r.at(two, id)
	// What the second window showed first is what it will answer.
	two.script(`window.late = document.getElementById("job").dataset.rev`)
	one.typeValue("21.3m")
	two.until(`document.getElementById("job").dataset.rev !== window.late`)
	if n := eval[int](two, `document.querySelectorAll(".readings li").length`); n != 3 {
		t.Errorf("the other window shows %d readings", n)
	}
	code := eval[string](two, fmt.Sprintf(`fetch("/api/cases/%s/act", { method: "POST",
		headers: { "Content-Type": "application/json" },
		body: JSON.stringify({ rev: Number(window.late), do: "value", text: "21.3m" }),
	}).then(async (r) => r.status + (await r.json()).error.code)`, id))
	if code != "409conflict" {
		t.Errorf("answering late: %s", code)
	}
	two.script(`const { job } = document.getElementById("job");
		job.view.rev--;
		job.act({ do: "value", text: "21.3m" })`)
	two.until(`document.querySelector(".wrong")?.textContent.includes("another window")`)
	two.picture("conflict")
	if n := eval[int](one, `document.querySelectorAll(".readings li").length`); n != 3 {
		t.Errorf("%d readings after answering late", n)
	}
}

// TestNothingFromOutside: the page names no other host.
func TestNothingFromOutside(t *testing.T) {
	err := fs.WalkDir(embedded, "page", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(embedded, name)
		banned := []string{"https://", "//cdn", "eval(", "innerHTML"}
		switch filepath.Ext(name) {
		case ".css":
			banned = append(banned, "http://", "@import", "url(")
		case ".js", ".html":
			banned = append(banned, "http://")
		}
		for _, far := range banned {
			if strings.Contains(string(data), far) {
				t.Errorf("%s has %s", name, far)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
