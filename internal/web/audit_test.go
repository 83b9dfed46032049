package web

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// auditEngine is the accessibility engine's script, which scripts/test puts
// into the user's cache.
func auditEngine(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("OHMWARD_AUDIT")
	if dir == "" {
		t.Skip("OHMWARD_AUDIT names no folder with axe-core (scripts/test sets it)")
	}
	text, err := os.ReadFile(filepath.Join(dir, "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		t.Skip("no axe-core in " + dir)
	}
	return string(text)
}

// finding is what the engine complains of.
type finding struct {
	ID     string `json:"id"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Nodes  []struct {
		HTML    string `json:"html"`
		Summary string `json:"failureSummary"`
	} `json:"nodes"`
}

// TestAccessible: no finding of the engine on the start page and on every step
// of a practice unit, light and dark.
func TestAccessible(t *testing.T) {
	engine := auditEngine(t)
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, time.Millisecond)
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"))
	audit := func(where string) {
		for _, scheme := range []string{"light", "dark"} {
			w.look(scheme)
			w.audit(engine, where+", "+scheme)
		}
	}
	audit("start")
	r.at(w, r.practice(t, 1))
	seen := map[string]bool{}
	for range 40 {
		step := w.step()
		if step == "rework" {
			time.Sleep(300 * time.Millisecond)
		}
		if !seen[step] {
			seen[step] = true
			eval[bool](w, `(() => { for (const d of document.querySelectorAll("details")) d.open = true; return true; })()`)
			audit(step)
		}
		if step == "closed" {
			break
		}
		rev := w.revision()
		eval[bool](w, `(document.querySelector(".doing button").click(), true)`)
		w.until(`document.getElementById("job").dataset.rev !== "` + rev + `"`)
	}
	if !seen["closed"] || len(seen) < 10 {
		t.Errorf("only %d steps were looked at", len(seen))
	}
}

// TestAccessibleDoubts: nor where doubts are settled or a board fails to read.
func TestAccessibleDoubts(t *testing.T) {
	engine := auditEngine(t)
	w := openBrowser(t)
	r := serve(t, t.TempDir(), 0, time.Millisecond)
	doubtful, failing := demoFiles(t), demoFiles(t)
	delete(doubtful, "RL-40-mask-bottom.gbr")
	failing["RL-40-plated.drl"] = inInches(failing["RL-40-plated.drl"])
	for shown, files := range map[string]map[string]string{"section.doubts label": doubtful, ".mend button": failing} {
		w.do(chromedp.Navigate(r.URL() + "#/case/" + brought(t, r.Server, files)))
		w.until(`document.querySelector("` + shown + `")`)
		eval[bool](w, `(() => { for (const d of document.querySelectorAll("details")) d.open = true; return true; })()`)
		for _, scheme := range []string{"light", "dark"} {
			w.look(scheme)
			w.audit(engine, shown+", "+scheme)
		}
	}
}

func (w *window) audit(engine, where string) {
	w.t.Helper()
	// Evaluated by the debugger, so that the page's own policy stays as it is.
	if err := chromedp.Do(w.ctx, chromedp.Evaluate[chromedp.Void](engine+";undefined")); err != nil {
		w.t.Fatal(err)
	}
	text, err := chromedp.Run(w.ctx, chromedp.Evaluate[string](`axe.run(document, { resultTypes: ["violations"] }).then((r) => JSON.stringify(r.violations))`, chromedp.EvalAwaitPromise))
	if err != nil {
		w.t.Fatal(err)
	}
	var list []finding
	if err := json.Unmarshal([]byte(text), &list); err != nil {
		w.t.Fatal(err)
	}
	for _, f := range list {
		if f.Impact == "minor" {
			w.t.Logf("%s: minor: %s", where, f.Help)
			continue
		}
		for _, n := range f.Nodes {
			w.t.Errorf("%s: %s (%s): %s\n%s", where, f.ID, f.Impact, n.HTML, n.Summary)
		}
	}
}
