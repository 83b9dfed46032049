package web

import (
	"testing"

	"github.com/chromedp/chromedp"

	"ohmward/internal/answer"
	"ohmward/internal/session"
)

// openUncached opens a folder of cases where all is worked out anew.
func openUncached(t *testing.T, dir string) *session.CaseFolder {
	t.Helper()
	shelf, err := session.OpenFolder(dir, session.FolderOptions{Pace: fast})
	if err != nil {
		t.Fatal(err)
	}
	return shelf
}

// TestStoredAtOnce: a stored practice case, opened in a browser after the
// program was started anew, shows its readings and its answer at once, while
// board and copper are still being made ready.
func TestStoredAtOnce(t *testing.T) {
	w := openBrowser(t)
	dir := t.TempDir()
	s := serveShelf(t, openUncached(t, dir))
	id := s.practice(t, 1)
	for _, do := range []string{"cautions", "pass-swap", "nulled"} {
		tell(t, s.Server, id, answer.Act{Do: do})
	}
	await(t, s.Server, id, "nulled", func(v answer.View, _ *session.Session) bool { return v.Step == "read" })
	v := tell(t, s.Server, id, answer.Act{Do: "value", Text: "18.7m"})
	if len(v.Readings) != 1 || v.Where == nil {
		t.Fatalf("at %s with %d readings", v.Step, len(v.Readings))
	}
	s.stop()
	again := serveShelf(t, openUncached(t, dir))
	took := w.openLast(again)
	busy := eval[string](w, `window.stored.busy`)
	w.picture("stored-opening")
	t.Logf("a stored practice case is on the page after %.0f ms; at work then: %q", took, busy)
	if busy != "yes" {
		t.Errorf("it came only once all was ready")
	}
	w.step()
	w.painted()
	if n := eval[int](w, `document.querySelectorAll(".readings li").length`); n != 1 {
		t.Errorf("%d readings once ready", n)
	}
}

// watchStored notes when readings and an answer first stand on the page, and
// whether the case was busy then.
const watchStored = `window.stored = { clicked: performance.now(), at: 0 };
	new MutationObserver(() => {
		const there = [".readings li", ".where .answer"].every((s) => document.querySelector(s));
		if (stored.at || !there) return;
		Object.assign(stored, { at: performance.now(), busy: document.getElementById("job").dataset.busy });
	}).observe(document.body, { subtree: true, childList: true });
	document.querySelector(".recent a").click()`

// openLast opens the last case from the first page and gives how long that
// takes until its readings and its answer stand there, in milliseconds.
func (w *window) openLast(r *running) float64 {
	w.t.Helper()
	w.do(chromedp.Navigate(r.URL()))
	w.until(`document.querySelector(".recent a")`)
	w.script(watchStored)
	w.until(`window.stored.at > 0`)
	return eval[float64](w, `stored.at - stored.clicked`)
}
