package cli

import (
	"fmt"
	"sync"
	"time"
)

// progress sums the time of each stage, and on a terminal shows the present
// one once the work has gone on for over a second.
type progress struct {
	mu       sync.Mutex
	env      Env
	start    time.Time
	stage    string             // the present one
	since    time.Time          // when it began
	seconds  map[string]float64 // of each stage that is over
	shown    bool
	quit     chan struct{}
	watching sync.WaitGroup
}

// patience is how long work may go on before progress is shown.
const patience = time.Second

// clearLine takes a terminal back to the start of an empty line.
const clearLine = "\r\x1b[K"

func newProgress(env Env) *progress {
	p := &progress{env: env, start: time.Now(), seconds: map[string]float64{}, quit: make(chan struct{})}
	if env.ErrTTY {
		p.watching.Go(p.watch)
	}
	return p
}

// Stage starts the next stage.
func (p *progress) Stage(name string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := time.Now()
	if p.stage != "" {
		p.seconds[p.stage] += now.Sub(p.since).Seconds()
	}
	p.stage, p.since = name, now
}

// watch redraws the line a few times a second until told to end.
func (p *progress) watch() {
	tick := time.NewTicker(patience / 4)
	defer tick.Stop()
	for {
		select {
		case <-p.quit:
			return
		case now := <-tick.C:
			p.draw(now)
		}
	}
}

func (p *progress) draw(now time.Time) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if passed := now.Sub(p.start); passed >= patience && p.stage != "" {
		fmt.Fprintf(p.env.Err, clearLine+"%s … %.0f s", oneLine(p.stage), passed.Seconds())
		p.shown = true
	}
}

// End clears the line and gives the seconds by stage with their total. A
// stage entered twice has the sum.
func (p *progress) End() map[string]float64 {
	close(p.quit)
	p.watching.Wait()
	p.Stage("")
	if p.shown {
		fmt.Fprint(p.env.Err, clearLine)
	}
	p.seconds["total"] = time.Since(p.start).Seconds()
	return p.seconds
}
