package web

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"ohmward/internal/check"
)

// demoFolder writes the demo's board as a folder, a part of it in a folder of
// its own.
func demoFolder(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "logger rev D")
	for name, text := range demoFiles(t) {
		if filepath.Ext(name) == ".drl" {
			name = filepath.Join("drill", name)
		}
		name = filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// drop lets files or folders fall on the middle of the page.
func (w *window) drop(paths ...string) {
	w.t.Helper()
	data := &input.DragData{Items: []*input.DragDataItem{}, Files: paths, DragOperationsMask: 1}
	for _, kind := range []input.DispatchDragEventType{
		input.DispatchDragEventTypeDragEnter, input.DispatchDragEventTypeDragOver, input.DispatchDragEventTypeDrop,
	} {
		_, err := chromedp.Call(w.ctx, input.DispatchDragEvent,
			input.DispatchDragEventParams{Type: kind, X: 640, Y: 400, Data: data})
		if err != nil {
			w.t.Fatalf("%s: %v", kind, err)
		}
	}
}

// demoParts is how many parts the demo's board has.
const demoParts = 93

// TestDropped: a folder with folders in it is dropped on the page, then a zip
// and the files one by one: each is read whole and named.
func TestDropped(t *testing.T) {
	w := openBrowser(t)
	r := serve(t)
	folder := demoFolder(t)
	loose, err := filepath.Glob(filepath.Join(folder, "*.*"))
	if err != nil {
		t.Fatal(err)
	}
	drills, err := filepath.Glob(filepath.Join(folder, "drill", "*"))
	if err != nil || len(drills) == 0 {
		t.Fatal(err, drills)
	}
	for _, c := range []struct {
		what, title string
		paths       []string
	}{
		{"a folder", "logger rev D", []string{folder}},
		{"a zip", "logger rev C", []string{demoZip(t)}},
		{"single files", "", append(loose, drills...)},
	} {
		w.do(chromedp.Navigate(r.URL()+"#"), chromedp.WaitVisible(".drop"))
		w.drop(c.paths...)
		w.until(`location.hash.startsWith("#/case/")`)
		if step := w.step(); step != "nets" {
			t.Fatalf("%s: at %s: %s", c.what, step, eval[string](w, `document.querySelector(".card").innerText`))
		}
		w.painted()
		name := eval[string](w, onPage+`.job.view.board.name`)
		parts := eval[int](w, onPage+`.job.view.board.parts`)
		doubts := eval[string](w, `JSON.stringify(`+onPage+`.job.view.board.doubts)`)
		if !strings.Contains(name, c.title) || parts != demoParts || doubts != "[]" {
			t.Errorf("%s: %s; %d parts; doubts %s", c.what, name, parts, doubts)
		}
	}
}

// TestDesignFile: a board in one IPC-2581 file is brought.
func TestDesignFile(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(check.Shared(t), "checks", "boards", "ipc2581-dm0002", "*.xml"))
	if err != nil || len(files) != 1 {
		t.Fatal(files, err)
	}
	w := openBrowser(t)
	r := serve(t)
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"))
	w.drop(files[0])
	w.until(`location.hash.startsWith("#/case/")`)
	if step := w.step(); step != "nets" {
		t.Fatalf("at %s", step)
	}
	w.painted()
	w.picture("design-file")
	if n := eval[int](w, `document.getElementById("job").job.view.board.parts`); n < 5 {
		t.Errorf("%d parts", n)
	}
}
