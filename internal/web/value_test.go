package web

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestSignKept: with the focus on nothing, every character that a value begins
// with begins it, the minus above all; a value pasted anywhere lands in the field
// with its minus as text programs set it; one that is refused stays there,
// selected, so that what is typed next replaces it.
func TestSignKept(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, readTwice(t, r))
	field := func() string { return eval[string](w, `document.getElementById("value").value`) }
	for _, text := range []string{"-0.11m", "+0.2m", ".5m", ",5m", "18,7m", "O"} {
		w.emptyValue()
		w.keys(text)
		if got := field(); got != text {
			t.Errorf("typed %q, the field has %q", text, got)
		}
	}
	w.emptyValue()
	w.script(`const clip = new DataTransfer();
		clip.setData("text", "\u22120.11 m\u03a9\n");
		document.body.dispatchEvent(new ClipboardEvent("paste",
			{ clipboardData: clip, bubbles: true, cancelable: true }))`)
	if got := field(); got != "\u22120.11 mΩ" {
		t.Errorf("pasted, the field has %q", got)
	}
	w.emptyValue()
	w.keys("-12V" + kb.Enter)
	w.until(`document.querySelector(".wrong")?.textContent.includes("-12V")`)
	w.until(`getSelection().toString() === "-12V" || (() => {
		const f = document.getElementById("value");
		return document.activeElement === f && f.selectionStart === 0 && f.selectionEnd === f.value.length;
	})()`)
	was := eval[int](w, `document.querySelectorAll(".readings li").length`)
	w.moves(func() { w.keys("21,3m" + kb.Enter) })
	w.step()
	if n := eval[int](w, `document.querySelectorAll(".readings li").length`); n != was+1 {
		t.Errorf("%d readings after %d", n, was)
	}
	w.until(`document.querySelector(".readings li:last-child").textContent.includes("21.3 mΩ")`)
}
