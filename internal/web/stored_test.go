package web

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"ohmward/internal/answer"
)

// TestStoredAtOnce: a stored practice case, opened in a browser after the
// program was started anew, shows its readings and its answer within a second,
// before its copper is solved.
func TestStoredAtOnce(t *testing.T) {
	w := openBrowser(t)
	dir := t.TempDir()
	s := serve(t, dir, 0, time.Millisecond)
	id := call[begun](t, s.Server, "POST", "/api/practice", map[string]int{"unit": 1}).ID
	for _, a := range []answer.Act{{Do: "cautions"}, {Do: "pass-swap"}, {Do: "nulled"}} {
		tell(t, s.Server, id, a)
	}
	for range 100 { // the simulated null comes when it is steady
		if v := ready(t, s.Server, id); v.Step == "read" {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	v := tell(t, s.Server, id, answer.Act{Do: "value", Text: "18.7m"})
	if len(v.Readings) != 1 || v.Where == nil {
		t.Fatalf("at %s with %d readings", v.Step, len(v.Readings))
	}
	s.stop()
	again := serve(t, dir, 0, time.Millisecond)
	took := w.shownAfter(again)
	busy := eval[string](w, `window.busyThen`)
	w.picture("stored-opening")
	t.Logf("a stored practice case is shown after %.0f ms; at work then: %q", took, busy)
	if took > 1000 {
		t.Errorf("shown after %.0f ms", took)
	}
	if busy != "yes" {
		t.Errorf("it was shown only once all was ready")
	}
	w.step()
	w.painted()
	if n := eval[int](w, `document.querySelectorAll(".readings li").length`); n != 1 {
		t.Errorf("%d readings once ready", n)
	}
}

// shownAfter opens the last case from the first page and gives how long that
// takes until its readings and its answer stand there, in milliseconds.
func (w *window) shownAfter(r *running) float64 {
	w.t.Helper()
	w.do(chromedp.Navigate(r.URL()))
	w.until(`document.querySelector(".recent a")`)
	eval[float64](w, `(window.began = performance.now(), window.shownAt = 0, window.busyThen = "",
		new MutationObserver(() => { const j = document.getElementById("job");
			if (!shownAt && document.querySelector(".readings li") && document.querySelector(".where .answer")) { shownAt = performance.now(); busyThen = j.dataset.busy; } }).observe(document.body, { subtree: true, childList: true }),
		document.querySelector(".recent a").click(), 0)`)
	w.until(`window.shownAt > 0`)
	return eval[float64](w, `window.shownAt - window.began`)
}
