package web

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/session"
)

// running is a bench served on a port of its own.
type running struct {
	*Server
	stop func()
}

// fast is the time between two samples of the simulated meter in tests: a
// rework takes a fraction of a second, and no page is flooded.
const fast = 4 * time.Millisecond

// openShelf opens a folder of cases with the run's cache.
func openShelf(t *testing.T, dir string) *session.CaseFolder {
	t.Helper()
	return openNamed(t, dir, "")
}

// openNamed is openShelf for a bench with a name.
func openNamed(t *testing.T, dir, name string) *session.CaseFolder {
	t.Helper()
	cache, err := bench.UserCache()
	if err != nil {
		t.Fatal(err)
	}
	shelf, err := session.OpenFolder(dir, session.FolderOptions{Options: bench.Options{Cache: cache}, Pace: fast, Bench: name})
	if err != nil {
		t.Fatal(err)
	}
	return shelf
}

// serve serves a bench of its own on a free port.
func serve(t *testing.T) *running {
	t.Helper()
	return serveShelf(t, openShelf(t, t.TempDir()))
}

func serveShelf(t *testing.T, shelf *session.CaseFolder) *running {
	t.Helper()
	s, err := New(shelf, Options{})
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
	return &running{s, stop}
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
	id, err := r.folder.BeginPractice(unit)
	if err != nil {
		t.Fatal(fmt.Errorf("unit %d: %w", unit, err))
	}
	return id
}

// await waits until what a case shows is as wanted, and gives it.
func await(t *testing.T, s *Server, id, what string, is func(answer.View, *session.Session) bool) answer.View {
	t.Helper()
	j, err := s.folder.Open(id)
	if err != nil {
		t.Fatal(err)
	}
	told, end := j.Watch()
	defer end()
	late := time.After(patience)
	for {
		v := call[answer.View](t, s, "GET", "/api/cases/"+id+"/view", nil)
		if is(v, j) {
			return v
		}
		select {
		case <-told:
		case <-late:
			t.Fatalf("not %s within %v: at %s, busy %q, trouble %+v", what, patience, v.Step, v.Busy, v.Trouble)
		}
	}
}

// ready waits until a case is at rest.
func ready(t *testing.T, s *Server, id string) answer.View {
	t.Helper()
	return await(t, s, id, "at rest", func(v answer.View, _ *session.Session) bool { return v.Busy == "" })
}

// reworkSamples are more samples than a simulated rework takes, and the meter
// to be steady after it.
const reworkSamples = 60

// reworked waits until the simulated rework under way has told on the meter,
// and gives whether the short has opened.
func (r *running) reworked(t *testing.T, id string) bool {
	t.Helper()
	from := -1
	v := await(t, r.Server, id, "reworked", func(_ answer.View, j *session.Session) bool {
		l, n := j.Live()
		if from < 0 && l.On {
			from = n
		}
		return from >= 0 && n >= from+reworkSamples
	})
	return v.Card.Tone == "good"
}

// readTwice gives a practice case with two readings taken.
func readTwice(t *testing.T, r *running) string {
	t.Helper()
	id := r.practice(t, 3)
	for _, do := range []string{"cautions", "pass-swap", "touch"} {
		tell(t, r.Server, id, answer.Act{Do: do})
	}
	await(t, r.Server, id, "nulled", func(v answer.View, _ *session.Session) bool { return v.Step == "read" })
	for n := range 2 {
		tell(t, r.Server, id, answer.Act{Do: "touch"})
		await(t, r.Server, id, "read", func(v answer.View, _ *session.Session) bool { return len(v.Readings) > n })
	}
	return id
}

// reworked waits until the rework under way has told, on the page too, and
// gives whether the short has opened.
func (w *window) reworked(r *running) bool {
	w.t.Helper()
	opened := r.reworked(w.t, eval[string](w, onPage+`.job.id`))
	if opened {
		w.until(onPage + `.job.view.card.tone === "good"`)
	}
	return opened
}
