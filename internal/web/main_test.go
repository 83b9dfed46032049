package web

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// patience bounds one wait for one event. No wait takes so long unless the
// event never comes, on a machine loaded many times over neither.
const patience = 3 * time.Minute

// scratch is a folder that all tests of a run share.
var scratch string

// TestMain gives the run a cache of its own, which the program that some tests
// start uses too, and ends the browser that the tests share.
func TestMain(m *testing.M) {
	var err error
	if scratch, err = os.MkdirTemp("", "ohmward-web-"); err != nil {
		panic(err)
	}
	if err := os.Setenv("OHMWARD_CACHE", filepath.Join(scratch, "cache")); err != nil {
		panic(err)
	}
	code := m.Run()
	endBrowser()
	if err := os.RemoveAll(scratch); err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	os.Exit(code)
}

// chromium finds the browser.
func chromium() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("no chromium on this machine (scripts/test installs it)")
}

var endBrowser = func() {}

// sharedBrowser starts the one browser of the run.
var sharedBrowser = sync.OnceValues(func() (context.Context, error) {
	path, err := chromium()
	if err != nil {
		return nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.DisableGPU,
		chromedp.WSURLReadTimeout(patience))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	all, end := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(all)
	endBrowser = func() { stop(); end() }
	return ctx, chromedp.Do(ctx)
})

// builtOnce builds the program, once a run.
var builtOnce = sync.OnceValues(func() (string, error) {
	program := filepath.Join(scratch, "ohmward")
	build := exec.Command("go", "build", "-o", program, "ohmward/cmd/ohmward")
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return program, nil
})

// built gives the program's file.
func built(t *testing.T) string {
	t.Helper()
	program, err := builtOnce()
	if err != nil {
		t.Fatal(err)
	}
	return program
}
