package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"ohmward/internal/check"
)

// TestBoardsInHand: two real boards from their nets to a closed case, with typed
// values: at every step the answer, the picture, what to do next and the field
// for a value are in view together on a laptop's screen and on a telephone's. Light
// and dark pictures of every card are kept where a folder is named.
func TestBoardsInHand(t *testing.T) {
	for _, c := range []struct {
		board  string
		nets   [2]string
		values []string // of the first readings
	}{
		{"openrpncalc", [2]string{"GND", "+5V"}, []string{"84.6m", "37.8m", "60.7m"}},
		{"glasgow-revc0", [2]string{"GND", "/IO_Banks/VIOA"}, []string{"12.1m", "14.9m", "11.2m"}},
	} {
		t.Run(c.board, func(t *testing.T) {
			folder := filepath.Join(check.Shared(t), "checks", "boards", c.board)
			w := openBrowser(t)
			r := serve(t)
			id, err := r.folder.BeginOn(folder)
			if err != nil {
				t.Fatal(err)
			}
			r.at(w, id)
			w.tour(c.board, c.nets, c.values)
		})
	}
}

// tour goes through a case whose values are typed and looks at each of its cards.
func (w *window) tour(name string, nets [2]string, values []string) {
	w.t.Helper()
	seen := map[string]int{}
	for range 60 {
		step := w.step()
		if seen[step]++; seen[step] < 4 {
			w.everyLook(fmt.Sprintf("%s-%s-%d", name, step, seen[step]))
		}
		switch step {
		case "closed":
			return
		case "nets":
			for _, net := range nets {
				w.script(`document.getElementById("net").focus()`)
				w.keys(net)
				w.until(`document.querySelectorAll(".found button").length > 0`)
				w.keys(kb.Enter)
				w.until(`document.querySelectorAll(".found button").length === 0`)
			}
			w.until(`document.querySelector(".doing button:not([aria-disabled=true])")`)
			w.moves(func() { w.script(`document.querySelector(".doing button").click()`) })
		case "swap":
			w.typeValue(values[0])
		case "read":
			if n := seen[step]; n <= len(values) {
				w.typeValue(values[n-1])
				continue
			}
			w.moves(func() { w.until(fmt.Sprintf(pressed, "#job", "Enough")) })
		case "rework":
			w.option("It reads open now")
		case "leads":
			w.typeValue("0.2")
		case "across":
			w.typeValue("OL")
		case "proven":
			if w.unticked() {
				continue
			}
			w.moves(func() { w.script(`document.querySelector(".doing button").click()`) })
		default:
			w.moves(func() { w.script(`document.querySelector(".doing button").click()`) })
		}
	}
	w.t.Errorf("never closed: %v", seen)
}

// unticked ticks the next check that is not ticked yet, and tells whether there was
// one.
func (w *window) unticked() bool {
	w.t.Helper()
	const box = `document.querySelector('.items [aria-checked="false"]')`
	if !eval[bool](w, box+" !== null") {
		return false
	}
	w.moves(func() { w.script(box + ".click()") })
	w.step()
	return true
}

// everyLook checks the layout of a card at both sizes and keeps its pictures,
// dark ones too.
func (w *window) everyLook(name string) {
	w.t.Helper()
	w.inHand(name, [][2]int64{{390, 844}, {1280, 800}})
	if os.Getenv("OHMWARD_SCREENSHOTS") == "" {
		return
	}
	w.look("dark")
	w.painted()
	w.picture("hand-" + strings.ToLower(name) + "-dark")
	w.look("light")
}
