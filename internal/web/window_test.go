package web

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// window is one tab of the shared browser, in a profile of its own.
type window struct {
	t     *testing.T
	ctx   context.Context
	clock time.Time // of the last key or tap, as the page sees it
}

// openBrowser gives a window with nothing stored; without a browser the test is
// skipped.
func openBrowser(t *testing.T) *window {
	t.Helper()
	if testing.Short() {
		t.Skip("drives a browser: some seconds")
	}
	if _, err := chromium(); err != nil {
		t.Skip(err)
	}
	browser, err := sharedBrowser()
	if err != nil {
		t.Fatal(err)
	}
	w := newWindow(t, browser, chromedp.WithNewBrowserContext())
	w.size(1280, 800, 1)
	w.look("light")
	return w
}

// another opens a second window with the same profile.
func (w *window) another() *window { return newWindow(w.t, w.ctx) }

func newWindow(t *testing.T, from context.Context, options ...chromedp.ContextOption) *window {
	t.Helper()
	ctx, closeTab := chromedp.NewContext(from, options...)
	t.Cleanup(closeTab)
	// The tab lives as long as the context that it is first used with.
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	return &window{t: t, ctx: ctx}
}

func (w *window) do(steps ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	for i, step := range steps {
		if _, err := run(w, step); err != nil {
			w.t.Fatalf("step %d of %d: %v", i+1, len(steps), err)
		}
	}
}

// run does one thing in a window, and gives up when nothing comes of it.
func run[A any](w *window, step chromedp.Action[A]) (A, error) {
	ctx, cancel := context.WithTimeout(w.ctx, patience)
	defer cancel()
	return chromedp.Run(ctx, step)
}

// size sets the view in CSS pixels, and how many device pixels one has.
func (w *window) size(width, height int64, dense float64) {
	w.t.Helper()
	w.do(chromedp.EmulateViewport(width, height, chromedp.EmulateScale(dense)))
}

// look sets light or dark, with less motion, as a steady picture needs.
func (w *window) look(scheme string) {
	w.t.Helper()
	_, err := chromedp.Call(w.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{
			{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"},
		}})
	if err != nil {
		w.t.Fatal(err)
	}
}

// eval gives the value of an expression in the page; of a promise, what it is
// kept with.
func eval[A any](w *window, expression string) A {
	w.t.Helper()
	v, err := run(w, chromedp.Evaluate[A](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		w.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// script does something in the page.
func (w *window) script(statements string) {
	w.t.Helper()
	eval[bool](w, "(() => { "+statements+"; return true; })()")
}

// holds is a promise that is kept once an expression holds in the page.
const holds = `new Promise((yes) => {
	const look = () => {
		let is = false;
		try { is = Boolean(%s); } catch {}
		is ? yes(true) : setTimeout(look, 20);
	};
	look();
})`

// until waits for an expression to hold. One that cannot be evaluated yet does
// not hold.
func (w *window) until(expression string) {
	w.t.Helper()
	ctx, cancel := context.WithTimeout(w.ctx, patience)
	defer cancel()
	look := chromedp.Evaluate[bool](fmt.Sprintf(holds, expression), chromedp.EvalAwaitPromise)
	var err error
	for ctx.Err() == nil {
		if _, err = chromedp.Run(ctx, look); err == nil {
			return
		}
		time.Sleep(20 * time.Millisecond) // the page was left while it was asked: ask the next
	}
	ctx, cancel = context.WithTimeout(w.ctx, patience)
	defer cancel()
	body, _ := chromedp.Run(ctx, chromedp.Evaluate[string]("document.body.innerText"))
	w.t.Fatalf("not within %v: %s\n%v\nthe page says: %s", patience, expression, err, body)
}

// onPage is the job that the page shows.
const onPage = `document.getElementById("job")`

// step gives where the page stands, once it is at rest.
func (w *window) step() string {
	w.t.Helper()
	w.until(onPage + `.dataset.step && !` + onPage + `.dataset.busy`)
	return eval[string](w, onPage+`.dataset.step`)
}

func (w *window) revision() string {
	w.t.Helper()
	return eval[string](w, onPage+`.dataset.rev || ""`)
}

// moves does something and waits until the case has another revision.
func (w *window) moves(do func()) {
	w.t.Helper()
	was := w.revision()
	do()
	w.until(onPage + `.dataset.rev !== "` + was + `"`)
}

// painted waits for the board, sharp where it looks.
func (w *window) painted() {
	w.t.Helper()
	w.until(`document.querySelector(".board")?.dataset.ready === "yes"`)
	eval[bool](w, `document.querySelector(".board").canvas.settled().then(() => true)`)
}

// keys presses keys. The page sees each a second after the last, so that none
// counts as a bounce of another, however slow the machine is.
func (w *window) keys(keys string) {
	w.t.Helper()
	for _, key := range keys {
		w.keyAt(key, w.later())
	}
}

// keyAt presses a key at a time of the page's clock.
func (w *window) keyAt(key rune, at time.Time) {
	w.t.Helper()
	w.do(chromedp.KeyEvent(string(key), func(p *input.DispatchKeyEventParams) { p.Timestamp = stamp(at) }))
}

// later moves the clock of the window's keys and taps on by a second, and
// never lets it lag behind the true one.
func (w *window) later() time.Time {
	if now := time.Now(); w.clock.Before(now) {
		w.clock = now
	}
	w.clock = w.clock.Add(time.Second)
	return w.clock
}

func stamp(at time.Time) input.TimeSinceEpoch {
	return input.TimeSinceEpoch(float64(at.UnixMicro()) / 1e6)
}

// unfold opens all that is folded away.
func (w *window) unfold() {
	w.t.Helper()
	w.script(`for (const d of document.querySelectorAll("details")) d.open = true`)
}

// picture keeps a screenshot for people to look at, where a folder is named.
func (w *window) picture(name string) {
	w.t.Helper()
	dir := os.Getenv("OHMWARD_SCREENSHOTS")
	if dir == "" {
		return
	}
	png, err := run(w, chromedp.CaptureScreenshot())
	if err != nil {
		w.t.Fatal(err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		w.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		w.t.Fatal(err)
	}
}
