package web

import (
	"os"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestReadmePictures takes the README's three pictures; scripts/pictures runs
// it. It looks at nothing: the other tests do.
func TestReadmePictures(t *testing.T) {
	if os.Getenv("OHMWARD_SCREENSHOTS") == "" {
		t.Skip("takes pictures for scripts/pictures")
	}
	w := openBrowser(t)
	w.size(1120, 700, 1)
	r := serve(t)
	r.at(w, readTwice(t, r))
	w.picture("readme-reading")
	for want := map[string]string{"mend": "repair", "proven": "cleared"}; len(want) > 0; {
		step := w.step()
		if step == "closed" {
			t.Fatal("closed before all pictures were taken")
		}
		if name := want[step]; name != "" {
			w.painted()
			w.picture("readme-" + name)
			delete(want, step)
			continue
		}
		if step == "rework" {
			w.reworked(r)
		}
		w.moves(func() { w.keys(kb.Enter) })
	}
}
