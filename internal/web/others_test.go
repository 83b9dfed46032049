package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestCannotReachInBrowser: the page asks which end cannot be reached and lists other
// readings with what they cost, in place, unfolded as it was; one of them is aimed at.
func TestCannotReachInBrowser(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, readTwice(t, r))
	place := func(lead string) string {
		return eval[string](w, `document.querySelector(".target .`+lead+` b").textContent`)
	}
	red := place("red")
	w.do(chromedp.Click(".others > summary"))
	w.until(fmt.Sprintf(pressed, ".others", "Red's"))
	w.until(`document.querySelector(".others [aria-pressed=true]")?.textContent === "Red's" &&
		document.querySelector(".others").open`)
	w.picture("cannot-reach")
	costs := eval[[]string](w, `[...document.querySelectorAll(".others li small")].map((e) => e.textContent)`)
	if len(costs) == 0 {
		t.Fatal("nothing on offer")
	}
	for _, cost := range costs {
		var bits, seconds float64
		if n, err := fmt.Sscanf(cost, "%f bits, %f s", &bits, &seconds); n != 2 || err != nil || bits < 0 || seconds <= 0 {
			t.Errorf("a cost of %q", cost)
		}
	}
	w.do(chromedp.Click(".others li button"))
	w.until(fmt.Sprintf(`document.querySelector(".target .red b").textContent !== %q`, red))
}
