package web

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/engine"
	"ohmward/internal/meter"
	"ohmward/internal/session"
)

// wiredBench is the practice meter behind a line that can be cut, and the hands
// that hold its tips.
type wiredBench struct {
	t       *testing.T
	server  string // host:port of the meter itself
	address string // of the line to it
	nets    []string
	hands   net.Conn
	answers *bufio.Scanner

	mu    sync.Mutex
	cut   bool
	lines []net.Conn
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
	at, err := meter.ParseAddress(p.Answer.Address)
	if err != nil {
		t.Fatal(err)
	}
	b := &wiredBench{t: t, server: fmt.Sprintf("%s:%d", at.Host, at.Port), nets: p.Answer.Nets}
	if b.hands, err = net.Dial("tcp", b.server); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.hands.Close() })
	b.answers = bufio.NewScanner(b.hands)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close(); b.setCut(true) })
	b.address = fmt.Sprintf("TCPIP0::127.0.0.1::%d::SOCKET", l.Addr().(*net.TCPAddr).Port)
	go b.pass(l)
	return b
}

// pass hands bytes on between the line and the meter.
func (b *wiredBench) pass(l net.Listener) {
	for {
		c, err := l.Accept()
		if err != nil {
			return
		}
		far, err := net.Dial("tcp", b.server)
		if err != nil {
			c.Close()
			continue
		}
		b.mu.Lock()
		b.lines = append(b.lines, c, far)
		if b.cut {
			c.Close()
			far.Close()
		}
		b.mu.Unlock()
		go func() { _, _ = io.Copy(far, c); far.Close() }()
		go func() { _, _ = io.Copy(c, far); c.Close() }()
	}
}

// setCut cuts the line, or mends it.
func (b *wiredBench) setCut(cut bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.cut = cut
	for _, c := range b.lines {
		c.Close()
	}
	b.lines = nil
}

// hand moves the tips.
func (b *wiredBench) hand(command string) {
	b.t.Helper()
	fmt.Fprintf(b.hands, "%s;:SYST:ERR?\n", command)
	if !b.answers.Scan() || !strings.HasPrefix(b.answers.Text(), "0,") {
		b.t.Fatalf("%s: %q, %v", command, b.answers.Text(), b.answers.Err())
	}
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
			tell(b.t, r.Server, id, answer.Act{Do: "meter", Text: b.address})
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
	b.hand("SIM:PROB:SHOR")
	w.until(onPage + `.dataset.step === "read"`)
	for _, words := range []string{"PRACTICE METER", "range 100", "integration 1 NPLC", "null ", "minute old"} {
		w.says(".print", words)
	}
	w.heardNotes()
	rev := w.revision()
	touches := func(n int) {
		t.Helper()
		b.hand("SIM:PROB:LIFT")
		w.until(`(v => !v.meter.lost && v.card.text.every((s) => !s.includes("Lift the tips")))(` +
			onPage + `.job.view)`)
		places := eval[[]string](w, `(t => [t.red.place, t.black.place])(`+onPage+`.job.view.target)`)
		b.hand(fmt.Sprintf("SIM:PROB %q,%q", places[0], places[1]))
		w.until(fmt.Sprintf(onPage+`.dataset.rev !== %q || `+onCard, rev, fmt.Sprintf("Touch %d: ", n)))
	}
	touches(1)
	w.until(`!document.querySelector(".live").hidden &&
		document.querySelector(".live .value").textContent.includes("Ω")`)
	b.setCut(true)
	w.says(".card", "The meter is not heard")
	w.until(onPage + `.job.view.card.tone === "care"`)
	b.setCut(false)
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
