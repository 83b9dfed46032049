package web

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

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
	r := serve(t)
	w.do(chromedp.Navigate(r.URL()), chromedp.WaitVisible(".drop"))
	audit := func(where string) {
		for _, scheme := range []string{"light", "dark"} {
			w.audit(engine, where, scheme)
		}
	}
	audit("start")
	r.at(w, r.practice(t, 1))
	seen := map[string]bool{}
	for range 40 {
		step := w.step()
		if step == "rework" {
			w.reworked(r)
		}
		if !seen[step] {
			seen[step] = true
			w.unfold()
			audit(step)
		}
		if step == "closed" {
			break
		}
		w.moves(func() {
			w.script(`document.querySelector(".items [aria-checked=false], .doing button").click()`)
		})
	}
	if !seen["closed"] || len(seen) < 10 {
		t.Errorf("only %d steps were looked at", len(seen))
	}
}

// TestAccessibleDoubts: nor where doubts are settled or a board fails to read.
func TestAccessibleDoubts(t *testing.T) {
	engine := auditEngine(t)
	w := openBrowser(t)
	r := serve(t)
	doubtful, failing := demoFiles(t), demoFiles(t)
	delete(doubtful, "RL-40-mask-bottom.gbr")
	failing["RL-40-plated.drl"] = inInches(failing["RL-40-plated.drl"])
	for expected, files := range map[string]map[string]string{"section.doubts label": doubtful,
		".mend button": failing} {
		w.do(chromedp.Navigate(r.URL() + "#/case/" + brought(t, r.Server, files)))
		w.until(`document.querySelector("` + expected + `")`)
		w.unfold()
		for _, scheme := range []string{"light", "dark"} {
			w.audit(engine, expected, scheme)
		}
	}
}

// audit has the engine look over the page. What depends on light or dark is
// colours alone: in the dark only their rules are asked.
func (w *window) audit(engine, where, scheme string) {
	w.t.Helper()
	w.look(scheme)
	rules := ""
	if scheme == "dark" {
		rules = `, runOnly: { type: "rule", values: ["color-contrast", "link-in-text-block"] }`
	}
	// Evaluated by the debugger, so that the page's own policy stays as it is.
	if !eval[bool](w, `"axe" in window`) {
		eval[bool](w, engine+";true")
	}
	where += ", " + scheme
	text := eval[string](w, `axe.run(document, { resultTypes: ["violations"]`+rules+` }).then((r) =>
		r.passes.length > 0 || r.violations.length > 0 ? JSON.stringify(r.violations) : "no rule applied")`)
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
