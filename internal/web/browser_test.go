package web

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestKeyboardAlone: a practice unit from the start page to a closed case by
// the keyboard alone: the one key, and nothing else. The keys are counted.
func TestKeyboardAlone(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	w.do(chromedp.Navigate(r.URL()))
	w.until(`document.activeElement?.textContent.startsWith("Practice unit")`)
	w.picture("start-light")
	keys := 0
	press := func() {
		keys++
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
		w.moves(press)
	}
	t.Logf("%d keys from the start page to a closed case", keys)
	if keys > 40 {
		t.Errorf("%d keys are too many", keys)
	}
}
