package web

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestKeyboardAlone: a practice unit from the start page to a closed case by
// the keyboard alone: the one key, and nothing else, until the checks before the
// unit goes back: these no press of the one key ticks or passes, each is ticked by
// itself. The keys are counted.
func TestKeyboardAlone(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	w.do(chromedp.Navigate(r.URL()))
	w.until(`document.activeElement?.textContent.startsWith("Practice unit")`)
	w.picture("start-light")
	keys := 0
	press := func() {
		keys++
		t.Logf("key %d: Enter, %s", keys, eval[string](w, `[document.querySelector(".card h1")?.innerText,
			document.activeElement?.innerText.split("\n")[0]].filter(Boolean).join(" / ")`))
		w.keys(kb.Enter)
	}
	press()
	w.until(`location.hash.startsWith("#/case/")`)
	seen := map[string]bool{}
	for step := ""; step != "closed"; {
		step = w.step()
		w.painted()
		if !seen[step] {
			seen[step] = true
			w.picture("practice-" + step)
		}
		if step == "closed" {
			break
		}
		if keys > 60 {
			t.Fatalf("still at %s after %d keys", step, keys)
		}
		if step == "rework" {
			w.reworked(r)
			w.picture("practice-rework-after")
		}
		if step == "proven" && eval[bool](w, `document.querySelectorAll(".items button").length > 0`) {
			w.until(`document.activeElement.closest(".doing") === null`)
			w.keys(kb.Enter) // by itself it closes nothing, and says so
			w.until(`document.querySelector(".missed")?.checkVisibility()`)
			w.tickAll(&keys)
			continue
		}
		w.moves(press)
	}
	t.Logf("%d keys from the start page to a closed case", keys)
	if keys > 40 {
		t.Errorf("%d keys are too many", keys)
	}
}

// tickAll goes through the checks by the keyboard and ticks each, then closes the
// case; it adds the keys to a count.
func (w *window) tickAll(keys *int) {
	w.t.Helper()
	is := func(of string) bool { return eval[bool](w, `document.activeElement?.matches('`+of+`')`) }
	press := func(key string) {
		*keys++
		w.t.Logf("key %d: %q among the checks", *keys, key)
		w.keys(key)
	}
	for range 60 {
		switch {
		case is(`.items [aria-checked="false"]`):
			w.moves(func() { press(" ") })
			w.until(`document.activeElement?.matches('.items [aria-checked="true"]')`)
		case is(`.doing button.main`):
			w.moves(func() { press(kb.Enter) })
			return
		default:
			press(kb.Tab)
		}
	}
	w.t.Fatal("the checks are not reached by the keyboard")
}
