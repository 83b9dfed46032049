package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestMeterSaysOtherwise: on the page, "it reads open now" is asked back at once
// while the bar on the same page shows a short; nothing is recorded.
func TestMeterSaysOtherwise(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, readTwice(t, r))
	for step := w.step(); step != "rework"; step = w.step() {
		if step == "mend" {
			w.moves(func() { w.until(fmt.Sprintf(pressed, ".doing", "Begin")) })
			continue
		}
		w.moves(func() { w.until(fmt.Sprintf(pressed, ".doing", "Enough")) })
	}
	was := w.revision()
	w.until(fmt.Sprintf(pressed, ".doing", "It reads open now"))
	w.until(`document.body.innerText.includes("he meter shows")`)
	if w.revision() != was || w.step() != "rework" {
		t.Errorf("at %s, revision %s after %s", w.step(), w.revision(), was)
	}
}

// TestPolarityInPage: where the names of the nets do not tell, the page asks which is
// the more negative, once; the words and the marks of the tips go by the answer.
func TestPolarityInPage(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	id, err := r.folder.BeginOn("demo")
	if err != nil {
		t.Fatal(err)
	}
	r.at(w, id)
	w.step()
	for _, net := range []string{"nrst", "gnd"} {
		w.script(`document.getElementById("net").focus()`)
		w.keys(net)
		w.until(`document.querySelectorAll(".found button").length > 0`)
		w.keys(kb.Enter)
		w.until(`document.querySelectorAll(".found button").length === 0`)
	}
	w.until(`document.querySelector(".doing button:not([aria-disabled=true])")`)
	w.moves(func() { w.script(`document.querySelector(".doing button").click()`) })
	if step := w.step(); step != "polarity" {
		t.Fatalf("at %s", step)
	}
	w.picture("polarity")
	w.option("NRST is the more negative")
	for step := w.step(); step != "swap"; step = w.step() {
		w.moves(func() { w.script(`document.querySelector(".doing button").click()`) })
	}
	tips := eval[string](w, `document.querySelector(".target").innerText`)
	if !strings.Contains(tips, "Red, GND, on") || !strings.Contains(tips, "Black, NRST, on") {
		t.Errorf("the tips: %s", tips)
	}
	if legend := eval[string](w, `[...document.querySelectorAll(".legend, .notes")].map((e) => e.innerText).join()`); !strings.Contains(
		strings.Join(strings.Fields(legend), " "), "GND red") {
		t.Errorf("the legend: %s", legend)
	}
}
