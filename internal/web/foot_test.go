package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestFoot: a foot-switch sends any key. It goes on, takes back and doubts the
// last reading, also while the focus is in the field for values; a press that
// bounces counts once; what it was taught is kept when the page is reloaded.
func TestFoot(t *testing.T) {
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, time.Millisecond)
	r.at(w, readTwice(t, r))
	for words, key := range map[string]string{"main": kb.F8, "undo": kb.F9, "doubt": kb.F7} {
		eval[bool](w, `(() => { for (const d of document.querySelectorAll(".settings details")) d.open = true; return true; })()`)
		w.until(fmt.Sprintf(`(() => { const b = document.querySelector('.settings button[data-key=%q]'); b?.click(); return Boolean(b); })()`, words))
		w.until(fmt.Sprintf(`document.querySelector('.settings button[data-key=%q] small').textContent === "press it now"`, words))
		w.do(chromedp.KeyEvent(key))
		w.until(fmt.Sprintf(`document.querySelector('.settings button[data-key=%q] small').textContent.startsWith("key F")`, words))
	}
	w.do(chromedp.Reload())
	if step := w.step(); step != "read" {
		t.Fatalf("at %s", step)
	}
	readings := func() int { return eval[int](w, `document.querySelectorAll(".readings li").length`) }
	press := func(key string) {
		t.Helper()
		time.Sleep(bounceTime)
		rev := w.revision()
		w.do(chromedp.KeyEvent(key))
		w.until(`document.getElementById("job").dataset.rev !== "` + rev + `"`)
		w.step()
	}
	press(kb.F8)
	if n := readings(); n != 3 {
		t.Fatalf("%d readings after the foot went on", n)
	}
	eval[bool](w, `(document.getElementById("value").focus(), true)`)
	press(kb.F7)
	w.until(`document.querySelector(".readings li:last-child").className.includes("doubtful")`)
	press(kb.F9)
	for n := readings(); n == 3; n = readings() { // a move that was on offer first
		press(kb.F9)
	}
	if n := readings(); n != 2 {
		t.Errorf("%d readings after the foot took back", n)
	}
	// Two presses of one foot, as a worn switch sends them.
	was := w.revision()
	time.Sleep(bounceTime)
	w.do(chromedp.KeyEvent(kb.F9), chromedp.KeyEvent(kb.F9))
	time.Sleep(2 * bounceTime)
	w.step()
	if is := w.revision(); is != fmt.Sprint(atoi(t, was)+1) {
		t.Errorf("a bounce took it from revision %s to %s", was, is)
	}
}

func atoi(t *testing.T, s string) (n int) {
	t.Helper()
	if _, err := fmt.Sscan(s, &n); err != nil {
		t.Fatal(err)
	}
	return n
}
