package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// heldActs makes what the page sends to the case wait until it is let go.
const heldActs = `const fetched = window.fetch;
	window.acts = 0;
	window.held = new Promise((yes) => { window.letGo = yes; });
	window.fetch = async (path, init) => {
		if (!path.endsWith("/act")) return fetched(path, init);
		window.acts++;
		await window.held;
		return fetched(path, init);
	}`

// TestWorkedOn: the button that was pressed shows that it is worked on before
// anything has come back, in the very task of the press; the others look as if
// they could not be pressed, and say so; a press meanwhile is told of in place and
// not sent; then all is as before.
func TestWorkedOn(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, readTwice(t, r))
	w.step()
	w.script(heldActs)
	n := eval[int](w, `document.querySelectorAll(".doing button").length`)
	if n < 3 {
		t.Fatalf("only %d buttons", n)
	}
	const state = `(() => {
		const all = [...document.querySelectorAll(".doing button")];
		return [all.filter((b) => b.getAttribute("aria-busy") === "true").length,
			all.filter((b) => b.getAttribute("aria-disabled") === "true").length, window.acts];
	})()`
	is := func(when string, want ...int) {
		t.Helper()
		if got := eval[[]int](w, state); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s: busy, disabled, sent %v, want %v", when, got, want)
		}
	}
	at := eval[[]int](w, `(() => { document.querySelector(".doing button").click(); return `+state+`; })()`)
	if fmt.Sprint(at) != fmt.Sprint([]int{1, n - 1, 1}) {
		t.Errorf("in the task of the press: busy, disabled, sent %v of %d buttons", at, n)
	}
	if look := eval[string](w, `getComputedStyle(document.querySelector(".doing button:last-child")).opacity`); look != "0.5" {
		t.Errorf("a button that cannot be pressed has the opacity %s", look)
	}
	w.picture("worked-on")
	w.keys(kb.Enter)
	w.until(`document.querySelector(".missed")?.checkVisibility() &&
		document.querySelector(".missed").textContent.startsWith("Not counted")`)
	w.do(chromedp.Click(".doing button:last-child"))
	is("pressed meanwhile", 1, n-1, 1)
	w.script(`window.letGo()`)
	w.until(`document.querySelectorAll("[aria-busy]").length === 0`)
	w.until(`document.querySelectorAll(".doing [aria-disabled]").length === 0`)
}
