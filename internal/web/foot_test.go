package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// countingActs counts in the page what it sends to the case, from its request
// on.
const countingActs = `const fetched = window.fetch;
	window.acts = 0;
	window.fetch = (path, init) => {
		if (path.endsWith("/act")) window.acts++;
		return fetched(path, init);
	}`

// TestFoot: a foot-switch sends any key. It goes on, takes back and doubts the
// last reading, also while the focus is in the field for values; a press that
// bounces counts once; what it was taught is kept when the page is reloaded.
func TestFoot(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, readTwice(t, r))
	for words, key := range map[string]string{"main": kb.F8, "undo": kb.F9, "doubt": kb.F7} {
		button := fmt.Sprintf(`document.querySelector('.settings button[data-key=%q]')`, words)
		w.unfold()
		w.until(button)
		w.script(button + `.click()`)
		w.until(button + `.querySelector("small").textContent === "press it now"`)
		w.keys(key)
		w.until(button + `.querySelector("small").textContent.startsWith("key F")`)
	}
	w.do(chromedp.Reload())
	if step := w.step(); step != "read" {
		t.Fatalf("at %s", step)
	}
	readings := func() int { return eval[int](w, `document.querySelectorAll(".readings li").length`) }
	press := func(key string) {
		t.Helper()
		w.moves(func() { w.keys(key) })
		w.step()
	}
	press(kb.F8)
	if n := readings(); n != 3 {
		t.Fatalf("%d readings after the foot went on", n)
	}
	w.script(`document.getElementById("value").focus()`)
	press(kb.F7)
	w.until(`document.querySelector(".readings li:last-child").className.includes("doubtful")`)
	press(kb.F9)
	for n := readings(); n == 3; n = readings() { // a move that was on offer first
		press(kb.F9)
	}
	if n := readings(); n != 2 {
		t.Errorf("%d readings after the foot took back", n)
	}
	w.script(countingActs)
	press(kb.F9)
	// Again 40 ms later by the page's clock, as a worn switch sends it, although
	// what the first press did is over.
	w.keyAt([]rune(kb.F9)[0], w.clock.Add(40*time.Millisecond))
	if n := eval[int](w, `window.acts`); n != 1 {
		t.Errorf("a press that bounces acts %d times", n)
	}
	press(kb.F9)
	if n := eval[int](w, `window.acts`); n != 2 {
		t.Errorf("a second press leaves %d acts", n)
	}
}
