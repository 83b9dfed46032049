package web

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/engine"
	"ohmward/internal/meter/metertest"
	"ohmward/internal/session"
)

// wiredBench is the practice meter behind a line that can be cut.
type wiredBench struct {
	*metertest.Bench
	t    *testing.T
	nets []string
}

func serveWire(t *testing.T, unit uint64) *wiredBench {
	t.Helper()
	cache, err := bench.UserCache()
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	o := bench.PracticeOptions{Options: engine.Options{Cache: cache}, Seed: unit}
	p, err := bench.ServePractice(ctx, o, "127.0.0.1:0")
	if err != nil {
		stop()
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- p.Serve(ctx) }()
	t.Cleanup(func() { stop(); <-ended })
	return &wiredBench{metertest.NewBench(t, p.Answer.Address), t, p.Answer.Nets}
}

// onCard tells whether the card has some words.
const onCard = `document.querySelector(".card").innerText.includes(%q)`

// says waits until the card or the small print has the words.
func (w *window) says(selector, words string) {
	w.t.Helper()
	w.until(fmt.Sprintf(`document.querySelector(%q)?.innerText.includes(%q)`, selector, words))
}

// onWire gives a case on the unit's nets, read by the meter on the line, at its
// null.
func (b *wiredBench) onWire(w *window, r *running) string {
	b.t.Helper()
	id, err := r.folder.BeginOn("demo")
	if err != nil {
		b.t.Fatal(err)
	}
	tell(b.t, r.Server, id, answer.Act{Do: "nets", Nets: b.nets})
	for {
		v := await(b.t, r.Server, id, "at rest",
			func(v answer.View, _ *session.Session) bool { return v.Busy == "" })
		switch v.Step {
		case "null":
			tell(b.t, r.Server, id, answer.Act{Do: "meter", Text: b.Address})
			r.at(w, id)
			return id
		case "swap":
			tell(b.t, r.Server, id, answer.Act{Do: "pass-swap"})
		case "cautions":
			tell(b.t, r.Server, id, answer.Act{Do: "cautions"})
		default:
			tell(b.t, r.Server, id, v.Card.Doing[0].Act)
		}
	}
}

// TestMeterOnPage: from the null to the first reading nothing is pressed. A touch
// is shown and counted, a cut line told of and mended by itself, the third touch
// sounds and brings the next card; one press takes the reading back. Below stands
// which meter reads, and how.
func TestMeterOnPage(t *testing.T) {
	w := openBrowser(t)
	w.listen()
	r := serve(t)
	b := serveWire(t, 2)
	b.onWire(w, r)
	if step := w.step(); step != "null" {
		t.Fatalf("at %s", step)
	}
	w.script(`window.pressed = 0;
		for (const e of ["pointerdown", "keydown", "click"])
			addEventListener(e, () => window.pressed++, { capture: true })`)
	w.until(onPage + `.job.view.meter.words.includes("PRACTICE METER")`)
	b.Hand("SIM:PROB:SHOR")
	w.until(onPage + `.dataset.step === "read"`)
	for _, words := range []string{"PRACTICE METER", "range 100", "integration 1 NPLC", "null ", "minute old"} {
		w.says(".print", words)
	}
	w.heardNotes()
	rev := w.revision()
	touches := func(n int) {
		t.Helper()
		b.Hand("SIM:PROB:LIFT")
		w.until(`(v => !v.meter.lost && v.card.text.every((s) => !s.includes("Lift the tips")))(` +
			onPage + `.job.view)`)
		places := eval[[]string](w, `(t => [t.red.place, t.black.place])(`+onPage+`.job.view.target)`)
		b.Hand(fmt.Sprintf("SIM:PROB %q,%q", places[0], places[1]))
		w.until(fmt.Sprintf(onPage+`.dataset.rev !== %q || `+onCard, rev, fmt.Sprintf("Touch %d: ", n)))
	}
	touches(1)
	w.until(`!document.querySelector(".live").hidden &&
		document.querySelector(".live .value").textContent.includes("Ω")`)
	b.SetCut(true)
	w.says(".card", "The meter is not heard")
	w.until(onPage + `.job.view.card.tone === "care"`)
	b.SetCut(false)
	w.until(fmt.Sprintf("!"+onCard, "not heard"))
	w.says(".card", "Touch 1: ")
	for n := 2; w.revision() == rev; n++ {
		touches(n)
	}
	w.until(`document.querySelectorAll(".readings li").length === 1`)
	if n := w.heardNotes(); !slices.Equal(n, noteTaken) {
		t.Errorf("the reading plays %v", n)
	}
	if n := eval[int](w, `window.pressed`); n != 0 {
		t.Errorf("%d presses up to the first reading", n)
	}
	w.until(`document.querySelector(".now").classList.contains("taken")`)
	w.step()
	w.until(onPage + `.job.view.target || ` + onPage + `.dataset.step !== "read"`)
	w.picture("wire-reading")
	w.moves(func() { w.keys(kb.Backspace) })
	w.until(`document.querySelectorAll(".readings li").length === 0`)
}
