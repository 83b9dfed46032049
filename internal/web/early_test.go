package web

import (
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"ohmward/internal/board"
	"ohmward/internal/engine"
	"ohmward/internal/session"
)

// TestEarlyPicture: while the reading of a dropped board is held, its outline and top
// copper are on the page, marked as still read, and a tap picks nothing; let go, the whole
// drawing takes their place at the same zoom and side.
func TestEarlyPicture(t *testing.T) {
	w := openBrowser(t)
	held := make(chan struct{})
	letGo := sync.OnceFunc(func() { close(held) })
	hold := func(b *board.Board) {
		if len(b.Layers[0].Copper) > 0 {
			<-held
		}
	}
	shelf, err := session.OpenFolder(t.TempDir(),
		session.FolderOptions{Options: engine.Options{Early: hold}, Pace: fast})
	if err != nil {
		t.Fatal(err)
	}
	r := serveShelf(t, shelf)
	t.Cleanup(letGo)
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"))
	w.drop(demoFolder(t))
	const canvas = `document.querySelector(".board").canvas`
	w.until(`document.querySelector(".board").dataset.early &&
		` + canvas + `.drawing.Layers[0].Polygons?.length > 0`)
	w.until(`document.querySelector(".reading").checkVisibility() &&
		document.querySelector(".reading").textContent.startsWith("Still reading: painting")`)
	w.picture("early")
	if !eval[bool](w, onPage+`.job.view.board === null && `+canvas+`.drawing.Outline[1] > 0`) {
		t.Error("the board is ready already, or has no outline")
	}
	w.script(canvas + `.zoom(2)`)
	camera := eval[string](w, `JSON.stringify([`+canvas+`.camera, `+canvas+`.state.behind])`)
	w.do(chromedp.Click(".board-canvas"))
	letGo()
	w.painted()
	if got := eval[string](w, `JSON.stringify([`+canvas+`.camera, `+canvas+`.state.behind])`); got != camera {
		t.Errorf("the view jumped from %s to %s", camera, got)
	}
	if eval[bool](w, `document.querySelector(".reading").checkVisibility()`) {
		t.Error("the page still says that it reads")
	}
	known := canvas + `.drawing.Nets.length + ` + onPage + `.job.view.picked.length * 1e6`
	if n := eval[int](w, known); n == 0 || n >= 1e6 {
		t.Errorf("%d nets, a million for each that was picked", n)
	}
}
