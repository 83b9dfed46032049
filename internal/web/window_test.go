package web

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"ohmward/internal/session"
)

// window is one tab of a headless browser.
type window struct {
	t   *testing.T
	ctx context.Context
}

// browser finds Chromium; without one the test is skipped.
func browser(t *testing.T) string {
	t.Helper()
	if testing.Short() {
		t.Skip("drives a browser: some seconds")
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("no chromium on this machine (scripts/test installs it)")
	return ""
}

// openBrowser starts a browser and gives its first window.
func openBrowser(t *testing.T) *window {
	t.Helper()
	path := browser(t)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.DisableGPU)
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	all, end := chromedp.NewExecAllocator(context.Background(), options...)
	late, stop := context.WithTimeout(all, 4*time.Minute)
	ctx, closeTab := chromedp.NewContext(late)
	t.Cleanup(func() { closeTab(); stop(); end() })
	w := &window{t, ctx}
	w.size(1280, 800, 1)
	w.look("light")
	return w
}

// another opens a second window of the same browser.
func (w *window) another() *window {
	ctx, closeTab := chromedp.NewContext(w.ctx)
	w.t.Cleanup(closeTab)
	return &window{w.t, ctx}
}

func (w *window) do(steps ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	if err := chromedp.Do(w.ctx, steps...); err != nil {
		w.t.Fatal(err)
	}
}

// size sets the view in CSS pixels, and how many device pixels one has.
func (w *window) size(width, height int64, dense float64) {
	w.t.Helper()
	w.do(chromedp.EmulateViewport(width, height, chromedp.EmulateScale(dense)))
}

// look sets light or dark, with less motion, as a steady picture needs.
func (w *window) look(scheme string) {
	w.t.Helper()
	_, err := chromedp.Call(w.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
		{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"},
	}})
	if err != nil {
		w.t.Fatal(err)
	}
}

// eval gives the value of an expression in the page.
func eval[A any](w *window, expression string) A {
	w.t.Helper()
	v, err := chromedp.Run(w.ctx, chromedp.Evaluate[A](expression))
	if err != nil {
		w.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to hold.
func (w *window) until(expression string) {
	w.t.Helper()
	for range 900 {
		if v, err := chromedp.Run(w.ctx, chromedp.Evaluate[bool]("Boolean("+expression+")")); err == nil && v {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	w.t.Fatalf("never: %s\nthe page says: %s", expression, eval[string](w, "document.body.innerText"))
}

// step gives where the page stands, once it is at rest.
func (w *window) step() string {
	w.t.Helper()
	w.until(`document.getElementById("job").dataset.step && !document.getElementById("job").dataset.busy`)
	return eval[string](w, `document.getElementById("job").dataset.step`)
}

func (w *window) revision() string {
	w.t.Helper()
	return eval[string](w, `document.getElementById("job").dataset.rev || ""`)
}

// painted waits for the board.
func (w *window) painted() {
	w.t.Helper()
	w.until(`document.querySelector(".board")?.dataset.ready === "yes"`)
	time.Sleep(300 * time.Millisecond) // it has looked where it should
	if _, err := chromedp.Run(w.ctx, chromedp.Evaluate[bool](`document.querySelector(".board").view.settled().then(() => true)`, chromedp.EvalAwaitPromise)); err != nil {
		w.t.Fatal(err)
	}
}

// picture keeps a screenshot for people to look at, where a folder is named.
func (w *window) picture(name string) {
	w.t.Helper()
	dir := os.Getenv("OHMWARD_SCREENSHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(w.ctx, chromedp.CaptureScreenshot())
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

// running is a bench served on a port of its own.
type running struct {
	*Server
	dir  string
	stop func()
}

// serve serves a bench; port 0 takes a free one.
func serve(t *testing.T, dir string, port int, pace time.Duration) *running {
	t.Helper()
	shelf, err := session.OpenFolder(dir, session.FolderOptions{Pace: pace})
	if err != nil {
		t.Fatal(err)
	}
	s, err := New(shelf, Options{Port: port})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx) }()
	stopped := false
	stop := func() {
		if stopped {
			return
		}
		stopped = true
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
		shelf.Close()
	}
	t.Cleanup(stop)
	return &running{s, dir, stop}
}

// at opens a case that was begun.
func (r *running) at(w *window, id string) {
	w.t.Helper()
	w.do(chromedp.Navigate(r.URL() + "#/case/" + id))
	w.step()
	w.painted()
}

func (r *running) practice(t *testing.T, unit int) string {
	t.Helper()
	id, err := r.shelf.BeginPractice(unit)
	if err != nil {
		t.Fatal(fmt.Errorf("unit %d: %w", unit, err))
	}
	return id
}
