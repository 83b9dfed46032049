package web

import (
	"testing"

	"github.com/chromedp/chromedp"

	"ohmward/internal/answer"
)

// TestSeenTapped: who sees what bridges taps it on the board, off any pad too, says
// what it is, and the next card is about that place.
func TestSeenTapped(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	w.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch,
		chromedp.EmulateScale(2), chromedp.EmulatePortrait))
	id := readTwice(t, r)
	for _, a := range []answer.Act{{Do: "mend"}, {Do: "start"}, {Do: "outcome", Text: "bridge"}} {
		tell(t, r.Server, id, a)
	}
	r.at(w, id)
	if step := w.step(); step != "seen" {
		t.Fatalf("at %s", step)
	}
	w.painted()
	w.picture("seen-where")
	w.moves(func() { w.tapPin("C9.1") })
	w.step()
	w.until(`document.querySelector("h1").textContent === "What is it?"`)
	w.picture("seen-what")
	w.option("Solder")
	w.until(`document.querySelector(".findings").textContent.includes("solder seen to bridge")`)
	w.until(`document.querySelector(".card").textContent.includes("You saw solder") ||
		document.querySelector(".card").textContent.includes("Seen: solder")`)
	w.picture("seen-then")
}
