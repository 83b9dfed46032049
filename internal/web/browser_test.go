package web

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestKeyboardAlone: a practice unit from the start page to a closed case by
// the keyboard alone: the one key, and nothing else. The keys are counted.
func TestKeyboardAlone(t *testing.T) {
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, 20*time.Millisecond)
	w.do(chromedp.Navigate(r.URL()))
	w.until(`document.activeElement?.textContent.startsWith("Practice unit")`)
	w.picture("start-light")
	keys := 0
	press := func() {
		keys++
		w.do(chromedp.KeyEvent(kb.Enter))
	}
	press()
	w.until(`location.hash.startsWith("#/case/")`)
	shown := map[string]bool{}
	for step := ""; step != "closed"; {
		step = w.step()
		w.painted()
		if !shown[step] {
			shown[step] = true
			w.picture("practice-" + step)
		}
		if step == "closed" {
			break
		}
		if keys > 60 {
			t.Fatalf("still at %s after %d keys", step, keys)
		}
		if step == "rework" {
			time.Sleep(900 * time.Millisecond) // the simulated rework
			w.picture("practice-rework-after")
		}
		rev := w.revision()
		press()
		w.until(`document.getElementById("job").dataset.rev !== "` + rev + `"`)
	}
	t.Logf("%d keys from the start page to a closed case", keys)
	if keys > 40 {
		t.Errorf("%d keys are too many", keys)
	}
}
