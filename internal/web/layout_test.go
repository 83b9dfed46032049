package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// crowded names what of a list of things does not lie within the window, or lies
// under or over another of them.
const crowded = `(() => {
	const out = [], all = [];
	for (const name of [%s]) for (const e of document.querySelectorAll(name)) {
		const r = e.getBoundingClientRect();
		if (r.width > 0 && r.height > 0) all.push([name, r, e]);
	}
	for (const [name, r] of all) {
		if (r.left < -0.5 || r.top < -0.5 || r.right > innerWidth + 0.5 || r.bottom > innerHeight + 0.5) {
			out.push(name + " is out of the window: " + [r.left, r.top, r.right, r.bottom].map(Math.round));
		}
	}
	for (const [i, [a, r, e]] of all.entries()) for (const [b, s, f] of all.slice(i + 1)) {
		if (e.contains(f) || f.contains(e)) continue;
		if (r.left < s.right - 1 && s.left < r.right - 1 && r.top < s.bottom - 1 && s.top < r.bottom - 1) {
			out.push(a + " and " + b + " cover each other: " + [r.top, r.bottom, s.top, s.bottom].map(Math.round));
		}
	}
	return out.join("; ");
})()`

// atHand is what must be in view at every step without scrolling.
var atHand = []string{".told", ".board", ".hold", ".card h1", ".target li", ".doing button.main", ".entry"}

// inHand checks the layout of the step at hand, in a window of each size.
func (w *window) inHand(where string, sizes [][2]int64) {
	w.t.Helper()
	names := ""
	for _, name := range atHand {
		names += fmt.Sprintf("%q,", name)
	}
	for _, size := range sizes {
		w.size(size[0], size[1], 1)
		w.painted()
		w.script("scrollTo(0, 0)")
		if wrong := eval[string](w, fmt.Sprintf(crowded, names)); wrong != "" {
			w.t.Errorf("%s, %d x %d: %s", where, size[0], size[1], wrong)
		}
		w.picture(fmt.Sprintf("hand-%s-%d", where, size[0]))
	}
}

// circled tells whether the answer's circle is drawn in its close-up.
const circled = `(() => {
	const c = document.querySelector(".told canvas");
	const d = c.getContext("2d").getImageData(0, 0, c.width, c.height).data;
	let heat = 0;
	for (let i = 0; i < d.length; i += 4) {
		if (d[i] < 60 && d[i + 1] > 60 && d[i + 1] < 140 && d[i + 2] > 170) heat++;
	}
	return heat > 40;
})()`

// TestInHand: at every step of a unit, the answer, the picture, what to do next
// and the field for a value are in view together, none over another, on a
// laptop's screen and on a telephone's.
func TestInHand(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, r.practice(t, 1))
	sizes := [][2]int64{{1280, 800}, {390, 844}}
	seen := map[string]int{}
	for range 40 {
		step := w.step()
		if step == "rework" {
			w.reworked(r)
		}
		if seen[step]++; seen[step] < 3 {
			w.inHand(fmt.Sprintf("%s-%d", step, seen[step]), sizes)
		}
		if eval[bool](w, onPage+`.job.view.readings.length > 0`) {
			if told := eval[string](w, `document.querySelector(".told").innerText`); len(told) < 8 {
				t.Errorf("%s: no answer beside the picture: %q", step, told)
			}
			w.until(circled)
		}
		if step == "closed" {
			break
		}
		if step == "proven" && w.unticked() {
			continue
		}
		w.moves(func() { w.script(`document.querySelector(".doing button").click()`) })
	}
	if seen["closed"] == 0 || len(seen) < 9 {
		t.Errorf("looked at %v", seen)
	}
}

// TestInHandTyped: the same where values are typed.
func TestInHandTyped(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	r.at(w, readTwice(t, r))
	w.do(chromedp.WaitVisible(".entry"))
	w.inHand("typed", [][2]int64{{1280, 800}, {390, 844}})
	w.look("dark")
	w.inHand("typed-dark", [][2]int64{{1280, 800}, {390, 844}})
}
