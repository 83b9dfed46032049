package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestHeldInPage: a case that another bench works on says so, shows what is done
// there, and goes on here once it is taken over; an edit of its file by hand is asked
// about, and Enter alone answers neither.
func TestHeldInPage(t *testing.T) {
	w := openBrowser(t)
	dir := t.TempDir()
	there := serveShelf(t, openShelf(t, dir))
	id := readTwice(t, there)
	here := serveShelf(t, openNamed(t, dir, "the bench at the window"))
	here.at(w, id)
	head := `document.querySelector(".card h1").innerText`
	w.until(head + ` === "Another bench works on this case"`)
	w.keys(kb.Enter)
	w.picture("held-elsewhere")
	w.until(fmt.Sprintf(pressed, ".doing", "Take this case over"))
	w.until(head + ` !== "Another bench works on this case"`)
	w.step()
	w.typeValue("41.2m")

	file := filepath.Join(dir, "cases", id, "case.toml")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	edited := strings.Replace(string(text), "ohms = 0.0412", "ohms = 0.0413", 1)
	if edited == string(text) {
		t.Fatalf("no such reading:\n%s", text)
	}
	if err := os.WriteFile(file, []byte(edited), 0o644); err != nil {
		t.Fatal(err)
	}
	w.until(head + ` === "The case file was changed by another hand"`)
	w.until(`document.querySelector(".card").innerText.includes("0.0412 → 0.0413")`)
	w.keys(kb.Enter)
	w.picture("changed-by-hand")
	w.until(fmt.Sprintf(pressed, ".doing", "What the file says"))
	w.until(head + ` !== "The case file was changed by another hand"`)
	w.until(`document.querySelector(".readings").innerText.includes("41.3 mΩ")`)
	w.until(`document.querySelector("[data-no=undo]").innerText.startsWith("Another hand changed the case file")`)
	w.until(`document.querySelector(".doing [data-key=undo]") === null`)
}
