package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// listening stands in for the browser's sound and voice and writes down what
// is played and said: headless browsers have neither.
const listening = `window.heard = { notes: [], tone: [], running: 0, said: [] };
class Value {
	constructor() { this.value = 0; }
	setValueAtTime(v) { this.value = v; }
	linearRampToValueAtTime(v) { this.value = v; }
	exponentialRampToValueAtTime(v) { this.value = v; }
	setTargetAtTime(v) { this.value = v; heard.tone.push(v); }
}
window.AudioContext = class {
	state = "running"; currentTime = 0; destination = {};
	resume() { return Promise.resolve(); }
	createGain() { return { gain: new Value(), connect: (to) => to }; }
	createOscillator() {
		const o = { frequency: new Value(), connect: (to) => to, stop() { heard.running--; } };
		o.start = () => { heard.running++; if (o.type !== "triangle") heard.notes.push(o.frequency.value); };
		return o;
	}
};
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
const speechSynthesis = { getVoices: () => [{}], cancel() {}, speak: (u) => heard.said.push(u.text) };
Object.defineProperty(window, "speechSynthesis", { value: speechSynthesis });`

// What the page plays, in hertz.
var (
	noteTaken  = []int{740, 988}
	noteOpened = []int{587, 880}
)

// heardNotes gives the notes played since the last asking.
func (w *window) heardNotes() []int { return eval[[]int](w, `heard.notes.splice(0)`) }

func (w *window) heardWords() string { return eval[string](w, `heard.said.splice(0).join(" / ")`) }

// listen has the page play to listening.
func (w *window) listen() {
	w.t.Helper()
	script := cdp.AddScriptToEvaluateOnNewDocumentParams{Source: listening}
	if _, err := chromedp.Call(w.ctx, cdp.AddScriptToEvaluateOnNewDocument, script); err != nil {
		w.t.Fatal(err)
	}
}

// toggle presses a switch of the settings.
func (w *window) toggle(words string) {
	w.t.Helper()
	toggle := fmt.Sprintf(`document.querySelector('[role=switch][data-key=%q]')`, words)
	w.until(toggle)
	was := eval[string](w, toggle+`.ariaChecked`)
	w.script(toggle + `.click()`)
	w.until(toggle + `.ariaChecked !== "` + was + `"`)
}

// goOn does the main thing and waits for what comes of it.
func (w *window) goOn() string {
	w.t.Helper()
	w.moves(func() { w.keys(kb.Enter) })
	return w.step()
}

// TestHeard: a reading that is taken sounds, and the next places are said when
// speech is wanted.
func TestHeard(t *testing.T) {
	w := openBrowser(t)
	w.listen()
	r := serve(t)
	r.at(w, readTwice(t, r))
	if n, said := w.heardNotes(), w.heardWords(); len(n) > 0 || said != "" {
		t.Errorf("opened, it plays %v and says %q", n, said)
	}
	if step := w.step(); step != "read" {
		t.Fatalf("at %s", step)
	}
	w.goOn()
	if n, said := w.heardNotes(), w.heardWords(); !slices.Equal(n, noteTaken) || said != "" {
		t.Errorf("a reading is taken without speech: it plays %v and says %q", n, said)
	}
	w.toggle("Speak")
	w.heardWords()
	if w.step() != "read" {
		w.option("Another reading first")
	}
	w.heardNotes()
	said := w.heardWords()
	if said == "" { // it was there already: say it again
		w.keys("s")
		said = w.heardWords()
	}
	plain := func(s string) string { return strings.ReplaceAll(s, " ", "") }
	for _, lead := range []string{"Red", "Black"} {
		is := `document.querySelector(".target .` + strings.ToLower(lead) + ` `
		on, place := eval[string](w, is+`small").innerText`), eval[string](w, is+`b").innerText`)
		if !strings.HasPrefix(on, lead) || !strings.Contains(plain(said), plain(on+place)) {
			t.Errorf("%s %q, but it says %q", on, place, said)
		}
	}
	w.goOn()
	value := eval[string](w, `document.querySelector(".readings li:last-child b").innerText`)
	spoken := strings.NewReplacer("mΩ", "milliohms", "kΩ", "kilohms").Replace(value)
	if n, said := w.heardNotes(), w.heardWords(); !slices.Equal(n, noteTaken) || !strings.Contains(said, spoken+". ") {
		t.Errorf("a reading of %s is taken with speech: it plays %v and says %q", value, n, said)
	}
}

// TestOpeningHeard: the tone follows the bar while reworking, the opening
// sounds once, and only where it opened; when all is over nothing goes on
// sounding, and nothing sounds or speaks when it is switched off.
func TestOpeningHeard(t *testing.T) {
	w := openBrowser(t)
	w.listen()
	r := serve(t)
	r.at(w, readTwice(t, r))
	w.toggle("Speak")
	opened := 0
	for range 30 {
		step := w.step()
		if step == "cool" {
			break
		}
		if step == "rework" && w.heardRework(t, r) {
			opened++
		} else if step != "rework" {
			w.goOn()
		}
	}
	if opened != 1 {
		t.Fatalf("the short opened %d times", opened)
	}
	w.until(`heard.running === 0`)
	w.toggle("Sounds")
	w.toggle("Speak")
	w.heardNotes()
	w.heardWords()
	w.goOn()
	w.goOn()
	if n, said := w.heardNotes(), w.heardWords(); len(n) > 0 || said != "" {
		t.Errorf("switched off, it plays %v and says %q", n, said)
	}
}

// heardRework lets a rework tell, goes on, and gives whether the short has
// opened: what was heard meanwhile must agree.
func (w *window) heardRework(t *testing.T, r *running) bool {
	t.Helper()
	opened := w.reworked(r)
	w.until(fmt.Sprintf(`document.querySelector(".live").classList.contains("open") === %v`, opened))
	w.until(`heard.tone.length >= 10`)
	cold := `/^(Clean|Scrape)/.test(document.querySelector(".card h1").innerText)`
	w.until(`document.querySelector(".live").classList.contains("hot") !== ` + cold)
	if grey := eval[bool](w, `getComputedStyle(document.querySelector(".live .value")).opacity < 1`); grey == eval[bool](w, cold) {
		t.Errorf("greyed: %v with %q", grey, eval[string](w, `document.querySelector(".card h1").innerText`))
	}
	w.goOn()
	tone := eval[[]float64](w, `heard.tone.splice(0)`)
	if lowest, last := slices.Min(tone), tone[len(tone)-1]; opened != (last > 2*lowest) {
		t.Errorf("open: %v, and the tone went from %.0f to %.0f Hz", opened, lowest, last)
	}
	want, notes := 0, w.heardNotes()
	if opened {
		want = 1
	}
	if n := strings.Count(fmt.Sprint(notes), strings.Trim(fmt.Sprint(noteOpened), "[]")); n != want {
		t.Errorf("open: %v, and it plays %v", opened, notes)
	}
	return opened
}
