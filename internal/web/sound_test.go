package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

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
Object.defineProperty(window, "speechSynthesis", { value: { getVoices: () => [{}], cancel() {}, speak: (u) => heard.said.push(u.text) } });`

// What the page plays, in hertz.
var (
	noteTaken  = []int{740, 988}
	noteOpened = []int{587, 880}
)

// heardNotes gives the notes played since the last asking.
func (w *window) heardNotes() []int { return eval[[]int](w, `heard.notes.splice(0)`) }

func (w *window) heardWords() string { return eval[string](w, `heard.said.splice(0).join(" / ")`) }

// toggle presses a switch of the settings.
func (w *window) toggle(words string) {
	w.t.Helper()
	w.until(fmt.Sprintf(`(() => { const b = document.querySelector('[role=switch][data-key=%q]'); b?.click(); return Boolean(b); })()`, words))
}

// goOn does the main thing and waits for what comes of it.
func (w *window) goOn() string {
	w.t.Helper()
	time.Sleep(bounceTime)
	rev := w.revision()
	w.do(chromedp.KeyEvent(kb.Enter))
	w.until(`document.getElementById("job").dataset.rev !== "` + rev + `"`)
	return w.step()
}

// bounceTime is how long a second press counts as a bounce of the first.
const bounceTime = 300 * time.Millisecond

// TestHeard: a reading that is taken sounds, the tone follows the bar while
// reworking, the opening sounds once, the next places are said when speech is
// wanted; and nothing sounds or speaks when it is off.
func TestHeard(t *testing.T) {
	w := openBrowser(t)
	if _, err := chromedp.Call(w.ctx, cdp.AddScriptToEvaluateOnNewDocument, cdp.AddScriptToEvaluateOnNewDocumentParams{Source: listening}); err != nil {
		t.Fatal(err)
	}
	r := serve(t, t.TempDir(), 0, 20*time.Millisecond)
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
		w.do(chromedp.KeyEvent("s"))
		said = w.heardWords()
	}
	spoken := eval[string](w, `document.querySelector(".target .red b").innerText`)
	if !strings.Contains(said, "Red on ") || !strings.Contains(said, "Black on ") || !strings.Contains(strings.ReplaceAll(said, " ", ""), strings.ReplaceAll(spoken, " ", "")) {
		t.Errorf("the next places are %q, but it says %q", spoken, said)
	}
	w.goOn()
	if n, said := w.heardNotes(), w.heardWords(); !slices.Equal(n, noteTaken) || said == "" {
		t.Errorf("a reading is taken with speech: it plays %v and says %q", n, said)
	}
	w.opens(t)
}

// opens goes on until the short has opened, listening.
func (w *window) opens(t *testing.T) {
	opened := 0
	for range 30 {
		step := w.step()
		if step == "cool" {
			break
		}
		if step == "rework" {
			eval[bool](w, `(heard.tone.splice(0), true)`)
			time.Sleep(900 * time.Millisecond) // the simulated rework
			tone := eval[[]float64](w, `heard.tone`)
			isOpen := eval[bool](w, `document.querySelector(".live").classList.contains("open")`)
			notes := w.heardNotes()
			if len(tone) < 10 {
				t.Errorf("the tone changed %d times while reworking", len(tone))
			}
			if isOpen {
				opened++
				if low, high := tone[0], tone[len(tone)-1]; high < 2*low {
					t.Errorf("it opened, and the tone went from %.0f to %.0f Hz", low, high)
				}
			}
			if isOpen != slices.Equal(notes, noteOpened) {
				t.Errorf("open: %v, and it plays %v", isOpen, notes)
			}
		}
		w.goOn()
		w.heardNotes()
	}
	if opened == 0 {
		t.Fatal("the short never opened")
	}
	if n := eval[int](w, `heard.running`); n > 4 {
		t.Errorf("%d sounds go on after the rework", n)
	}
	w.heardWords()
	w.toggle("Sounds")
	w.toggle("Speak")
	w.goOn()
	w.goOn()
	if n, said := w.heardNotes(), w.heardWords(); len(n) > 0 || said != "" {
		t.Errorf("switched off, it plays %v and says %q", n, said)
	}
}
