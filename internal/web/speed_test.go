package web

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"ohmward/internal/answer"
	"ohmward/internal/check"
)

// figures skips a test that asserts nothing but prints how long things take:
// that depends on the machine and on what else it does.
func figures(t *testing.T) (board string) {
	t.Helper()
	if os.Getenv("OHMWARD_FIGURES") == "" {
		t.Skip("prints how long things take where OHMWARD_FIGURES is set")
	}
	return filepath.Join(check.Shared(t), "checks", "boards", "orangecrab")
}

// countingPaints counts the pictures that the page asks its painter for, and
// the frames that it puts on the screen from them.
const countingPaints = `window.paints = { whole: 0, sharp: 0 };
	const post = Worker.prototype.postMessage;
	Worker.prototype.postMessage = function (job, ...more) {
		if (job.channel in paints) paints[job.channel]++;
		return post.call(this, job, ...more);
	}`

// gesture pans and zooms with the mouse down for 60 frames, three moves a
// frame, and gives what was painted before its end and after it, and how often
// the screen was drawn.
const gesture = `(async () => {
	const v = document.querySelector(".board").canvas, canvas = document.querySelector(".board-canvas");
	await v.settled();
	const frame = () => new Promise(requestAnimationFrame);
	const finger = { pointerId: 1, pointerType: "touch", clientX: 300, clientY: 300 };
	const pointer = (type) => canvas.dispatchEvent(new PointerEvent(type, finger));
	canvas.setPointerCapture = () => {};
	await frame();
	Object.assign(paints, { whole: 0, sharp: 0 });
	let drawn = 0;
	const transform = CanvasRenderingContext2D.prototype.setTransform;
	CanvasRenderingContext2D.prototype.setTransform = function (...m) {
		if (this.canvas === canvas && m[0] === 1 && devicePixelRatio !== 1) drawn++;
		return transform.apply(this, m);
	};
	pointer("pointerdown");
	for (let n = 0; n < 60; n++) {
		for (let k = 0; k < 3; k++) v.pan(6 * Math.cos(n / 7), 6 * Math.sin(n / 7));
		v.zoom(1 + 0.02 * Math.sin(n / 10));
		await frame();
	}
	const during = paints.whole + paints.sharp;
	pointer("pointerup");
	await v.settled();
	return [during, paints.whole, paints.sharp, drawn];
})()`

// TestGesturePaintsOnce: while the board is moved no copper is painted, the
// screen is drawn once a frame however many moves there were, and at rest one
// sharp picture is asked for.
func TestGesturePaintsOnce(t *testing.T) {
	w := openBrowser(t)
	w.size(1280, 800, 2)
	script := cdp.AddScriptToEvaluateOnNewDocumentParams{Source: countingPaints}
	if _, err := chromedp.Call(w.ctx, cdp.AddScriptToEvaluateOnNewDocument, script); err != nil {
		t.Fatal(err)
	}
	r := serve(t)
	id, err := r.folder.BeginOn("demo")
	if err != nil {
		t.Fatal(err)
	}
	r.at(w, id)
	n := eval[[]int](w, gesture)
	if during, whole, sharp, drawn := n[0], n[1], n[2], n[3]; during != 0 || whole != 0 || sharp != 1 ||
		drawn < 55 || drawn > 63 {
		t.Errorf("painted %d times on the way, %d whole and %d sharp pictures in all; drawn %d times in 60 frames",
			during, whole, sharp, drawn)
	}
}

// frames pans and zooms for two seconds and gives the frames' 95th percentile
// and the time until the picture is sharp again, in milliseconds.
const frames = `(async () => {
	const v = document.querySelector(".board").canvas, times = [];
	let last = performance.now();
	const t0 = last;
	await new Promise((done) => {
		const step = (now) => {
			times.push(now - last);
			last = now;
			const t = (now - t0) / 2000;
			v.pan(6 * Math.cos(9 * t), 6 * Math.sin(9 * t));
			v.zoom(1 + 0.02 * Math.sin(6 * t));
			t < 1 ? requestAnimationFrame(step) : done();
		};
		requestAnimationFrame(step);
	});
	const rest = performance.now();
	await v.settled();
	times.sort((a, b) => a - b);
	return [times[Math.floor(0.95 * times.length)], performance.now() - rest];
})()`

// TestSpeed prints how quick the page is on the largest of the shared boards.
func TestSpeed(t *testing.T) {
	dir := figures(t)
	w := openBrowser(t)
	r := serveShelf(t, openUncached(t, t.TempDir()))
	id, err := r.folder.BeginOn(dir)
	if err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	v := ready(t, r.Server, id)
	if v.Board == nil {
		t.Fatalf("%+v", v.Card)
	}
	read := time.Since(began)
	began = time.Now()
	w.do(chromedp.Navigate(r.URL() + "#/case/" + id))
	w.until(`document.querySelector(".board")?.dataset.ready === "yes"`)
	first := time.Since(began)
	ms := eval[[]float64](w, frames)
	w.picture("speed")
	t.Logf("board read in %.1f s; first picture after %.2f s; "+
		"frames: 95th percentile %.1f ms; sharp again %.0f ms after coming to rest",
		read.Seconds(), first.Seconds(), ms[0], ms[1])
}

// answers types three values and gives how long each took until its new answer
// stood on the page, in milliseconds.
const answers = `(async () => {
	const job = document.getElementById("job").job, out = [];
	for (const text of ["61.3m", "58.8m", "63.1m"]) {
		await new Promise((r) => setTimeout(r, 6000)); // the tips are on their way
		const n = job.view.readings.length, t0 = performance.now();
		const answered = new Promise((done) => {
			const see = new MutationObserver(() => {
				if (document.querySelectorAll(".readings li").length <= n) return;
				if (!document.querySelector(".where .answer")) return;
				see.disconnect();
				done();
			});
			see.observe(document.getElementById("job"), { subtree: true, childList: true });
		});
		if (job.view.step === "mend") await job.act({ do: "read" });
		await job.act({ do: "value", text });
		await answered;
		out.push(performance.now() - t0);
	}
	return out;
})()`

// TestSpeedOfAnswers prints, for a plane of the largest of the shared boards,
// how long a reading takes until its answer is on the page, and a stored case
// until it is.
func TestSpeedOfAnswers(t *testing.T) {
	board := figures(t)
	w := openBrowser(t)
	dir := t.TempDir()
	r := serveShelf(t, openUncached(t, dir))
	id, err := r.folder.BeginOn(board)
	if err != nil {
		t.Fatal(err)
	}
	for v := tell(t, r.Server, id, answer.Act{Do: "nets", Nets: []string{"GND", "P1.1V"}}); v.Step == "metal"; {
		v = tell(t, r.Server, id, answer.Act{Do: "metal", Text: "no"})
	}
	for _, do := range []string{"cautions", "pass-swap", "nulled"} {
		tell(t, r.Server, id, answer.Act{Do: do})
	}
	r.at(w, id)
	ms := eval[[]float64](w, answers)
	r.stop()
	stored := w.openLast(serveShelf(t, openUncached(t, dir)))
	t.Logf("a reading's answer after %.0f, %.0f and %.0f ms; the stored case after %.0f ms", ms[0], ms[1],
		ms[2], stored)
}
