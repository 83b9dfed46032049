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
	r := serve(t, t.TempDir(), 0, 0)
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"), chromedp.SetUploadFiles(`input[type=file]:not([webkitdirectory])`, []string{demoZip(t)}))
	w.until(`location.hash.startsWith("#/case/")`)
	if step := w.step(); step != "nets" {
		t.Fatalf("at %s", step)
	}
	w.painted()
	w.picture("nets")
	if title := eval[string](w, `document.querySelector(".unit").textContent`); !strings.Contains(title, "logger rev C") {
		t.Errorf("the case is called %q", title)
	}
	w.do(chromedp.Click("details.pairs > summary"))
	w.until(`document.querySelectorAll(".pairs ol li").length > 4`)
	w.picture("pairs")
	for _, net := range []string{"3v3", "gnd"} {
		w.do(chromedp.Focus("#net"), chromedp.KeyEvent(net))
		w.until(`document.querySelectorAll(".found button").length > 0`)
		w.do(chromedp.KeyEvent(kb.Enter))
		w.until(`document.querySelectorAll(".found button").length === 0`)
	}
	w.until(`document.querySelector("h1").textContent.includes("+3V3 and GND")`)
	w.do(chromedp.KeyEvent(kb.Enter))
	w.until(`document.getElementById("job").dataset.step !== "nets"`)
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
		w.do(chromedp.Focus("#value"), chromedp.KeyEvent(wrong), chromedp.KeyEvent(kb.Enter))
		w.until(`document.querySelector(".wrong")?.textContent.includes("not a resistance")`)
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
	eval[bool](w, `(() => { const f = document.getElementById("value"); f.value = ""; f.blur(); return true; })()`)
}

// TestRubbish: files that are no board are told of in place, with what to do.
func TestRubbish(t *testing.T) {
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, 0)
	name := filepath.Join(t.TempDir(), "holiday.zip")
	if err := os.WriteFile(name, []byte("PK\x03\x04 and no more"), 0o644); err != nil {
		t.Fatal(err)
	}
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"), chromedp.SetUploadFiles(`input[type=file]:not([webkitdirectory])`, []string{name}))
	w.until(`document.querySelector(".card h1")?.textContent === "This board cannot be read"`)
	w.picture("rubbish")
	if said := eval[string](w, `document.querySelector(".card").innerText`); !strings.Contains(said, "holiday") || len(said) < 60 {
		t.Errorf("says only %q", said)
	}
}

// option presses the button whose words begin so, and waits for what comes.
func (w *window) option(words string) {
	w.t.Helper()
	w.step()
	was := w.revision()
	w.until(fmt.Sprintf(`(() => { const b = [...document.querySelectorAll(".doing button")].find((b) => b.textContent.startsWith(%q)); if (b && !b.disabled) b.click(); return Boolean(b); })()`, words))
	w.until(`document.getElementById("job").dataset.rev !== "` + was + `"`)
	w.step()
}

func (w *window) inRow(n int, words string) {
	w.t.Helper()
	w.until(fmt.Sprintf(`(() => { const b = [...document.querySelectorAll(".readings li:nth-child(%d) button")].find((b) => b.textContent.startsWith(%q)); b?.click(); return Boolean(b); })()`, n, words))
}

// typeValue types a value with the focus on nothing: digits find their field.
func (w *window) typeValue(value string) {
	w.t.Helper()
	w.step()
	was := w.revision()
	w.do(chromedp.KeyEvent(value), chromedp.KeyEvent(kb.Enter))
	w.until(`document.getElementById("job").dataset.rev !== "` + was + `"`)
	w.step()
	w.emptyValue()
}

// TestTouch: on a telephone's screen, by taps alone: the nets are tapped on
// the board, and a place to touch is chosen there.
func TestTouch(t *testing.T) {
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, 0)
	w.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2), chromedp.EmulatePortrait))
	id, err := r.shelf.BeginOn("demo")
	if err != nil {
		t.Fatal(err)
	}
	r.at(w, id)
	if step := w.step(); step != "nets" {
		t.Fatalf("at %s", step)
	}
	for i, pin := range []string{"C9.1", "C9.2"} {
		w.tapPin(pin)
		w.until(fmt.Sprintf(`document.querySelector("h1").textContent !== %q`, [...]string{"Which two nets touch?", ""}[i]))
	}
	w.until(`[...document.querySelectorAll(".doing button")].some((b) => b.textContent.startsWith("Begin"))`)
	w.picture("touch-nets")
	w.tap("Begin")
	w.until(`document.getElementById("job").dataset.step !== "nets"`)
	for w.step() == "metal" {
		w.option("Yes")
	}
	w.tap("All done")
	w.until(`document.getElementById("job").dataset.step === "swap"`)
	w.tap("Pass over")
	w.until(`document.getElementById("job").dataset.step === "null"`)
	w.tap("Nulled")
	w.until(`document.getElementById("job").dataset.step === "read"`)
	w.step()
	time.Sleep(500 * time.Millisecond)
	w.picture("touch-read")
	if small := eval[string](w, smallTargets); small != "" {
		t.Errorf("too small to touch: %s", small)
	}
}

// smallTargets lists what can be touched and is less than 44 px high or wide.
const smallTargets = `[...document.querySelectorAll("button, summary, input, a[href]")]
	.filter((e) => e.offsetParent && !e.closest(".unit") && !e.classList.contains("unseen") && (e.getBoundingClientRect().height < 43.5 || e.getBoundingClientRect().width < 43.5))
	.map((e) => e.textContent.trim() || e.id).join("; ")`

// tapPin taps the middle of a pin's pad on the board, after looking there.
func (w *window) tapPin(pin string) {
	w.t.Helper()
	at := eval[[]float64](w, fmt.Sprintf(`(() => {
		const v = document.querySelector(".board").view, p = v.geometry.table.Pads.find((p) => p.Pin === %q);
		v.look({ x: p.At[0], y: p.At[1], across: 8e6 }, false);
		const r = document.querySelector(".board-canvas").getBoundingClientRect(), s = v.screen(p.At[0], p.At[1]);
		return [r.left + s[0], r.top + s[1]];
	})()`, pin))
	w.do(chromedp.TapXY(at[0], at[1]))
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
	w.do(chromedp.TapXY(at[0], at[1]))
}

// TestSizes: from 320 px to 4K, light and dark: nothing is wider than the
// screen, and the words are in it.
func TestSizes(t *testing.T) {
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, time.Millisecond)
	id := readTwice(t, r)
	for _, size := range []struct {
		name          string
		width, height int64
	}{{"320", 320, 640}, {"tablet", 820, 1180}, {"laptop", 1280, 800}, {"4k", 3840, 2160}} {
		for _, scheme := range []string{"light", "dark"} {
			w.size(size.width, size.height, 1)
			w.look(scheme)
			w.do(chromedp.Navigate("about:blank"))
			r.at(w, id)
			if wide := eval[int](w, `document.documentElement.scrollWidth`); int64(wide) > size.width {
				t.Errorf("%s %s: %d px wide: %s", size.name, scheme, wide, eval[string](w, tooWide))
			}
			if cut := eval[string](w, `[...document.querySelectorAll("h1, .target b, .doing button")].filter((e) => e.scrollWidth > e.clientWidth + 2 && getComputedStyle(e).display !== "inline").map((e) => e.textContent).join("; ")`); cut != "" {
				t.Errorf("%s %s: cut off: %s", size.name, scheme, cut)
			}
			w.picture("size-" + size.name + "-" + scheme)
			eval[bool](w, `(() => { for (const d of document.querySelectorAll("details")) d.open = true; return true; })()`)
			if wide := eval[int](w, `document.documentElement.scrollWidth`); int64(wide) > size.width {
				t.Errorf("%s %s, all unfolded: %d px wide: %s", size.name, scheme, wide, eval[string](w, tooWide))
			}
			w.do(chromedp.Navigate(r.URL()+"#"), chromedp.WaitVisible(".drop"))
			w.picture("start-" + size.name + "-" + scheme)
			if wide := eval[int](w, `document.documentElement.scrollWidth`); int64(wide) > size.width {
				t.Errorf("start, %s %s: %d px wide", size.name, scheme, wide)
			}
		}
	}
}

// tooWide names what sticks out on the right.
const tooWide = `[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1).slice(0, 5).map((e) => e.tagName + "." + e.className).join(" ")`

// TestReload: reloaded in the middle, the page stands where it stood.
func TestReload(t *testing.T) {
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, time.Millisecond)
	r.at(w, readTwice(t, r))
	said := `document.querySelector(".card").innerText + document.querySelector(".history").innerText + document.querySelector(".where").innerText`
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
	r := serve(t, t.TempDir(), 0, time.Millisecond)
	id := readTwice(t, r)
	r.at(one, id)
	two := one.another()
	r.at(two, id)
	// The second window is kept from hearing, as one whose network is slow.
	eval[bool](two, `(() => { window.late = document.querySelector("#job").dataset.rev; return true; })()`)
	one.typeValue("21.3m")
	two.until(`document.getElementById("job").dataset.rev !== window.late`)
	if n := eval[int](two, `document.querySelectorAll(".readings li").length`); n != 3 {
		t.Errorf("the other window shows %d readings", n)
	}
	code := eval[string](two, fmt.Sprintf(`(() => { const r = new XMLHttpRequest(); r.open("POST", "/api/cases/%s/act", false); r.setRequestHeader("Content-Type", "application/json");
		r.send(JSON.stringify({ rev: Number(window.late), do: "value", text: "21.3m" })); return r.status + JSON.parse(r.responseText).error.code; })()`, id))
	if code != "409conflict" {
		t.Errorf("answering late: %s", code)
	}
	eval[bool](two, `(() => { const j = document.getElementById("job").job; j.view.rev--; j.act({ do: "value", text: "21.3m" }); return true; })()`)
	two.until(`document.querySelector(".wrong")?.textContent.includes("another window")`)
	two.picture("conflict")
	if n := eval[int](one, `document.querySelectorAll(".readings li").length`); n != 3 {
		t.Errorf("%d readings after answering late", n)
	}
}

// readTwice gives a practice case with two readings taken.
func readTwice(t *testing.T, r *running) string {
	t.Helper()
	id := r.practice(t, 3)
	act := func(do, text string) {
		v := ready(t, r.Server, id)
		call[map[string]int](t, r.Server, "POST", "/api/cases/"+id+"/act", map[string]any{"rev": v.Revision, "do": do, "text": text})
	}
	act("cautions", "")
	act("pass-swap", "")
	act("touch", "")
	for range 200 {
		if ready(t, r.Server, id).Step == "read" {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	for n := range 2 {
		act("touch", "")
		for range 200 {
			if len(ready(t, r.Server, id).Readings) > n {
				break
			}
			time.Sleep(20 * time.Millisecond)
		}
	}
	return id
}

// TestNothingFromOutside: the page names no other host.
func TestNothingFromOutside(t *testing.T) {
	err := fs.WalkDir(embedded, "page", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(embedded, name)
		for _, far := range []string{"https://", "//cdn", "@import", "eval(", "innerHTML"} {
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
