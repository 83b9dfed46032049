package cli

import (
	"fmt"
	"sync"
	"time"
)

// progress notes when each stage starts, and on a terminal shows the present
// one once the work has gone on for over a second.
type progress struct {
	mu     sync.Mutex
	env    Env
	start  time.Time
	stages []stage
	shown  bool
	quit   chan struct{}
	gone   chan struct{}
}

type stage struct {
	name  string
	start time.Time
}

// patience is how long work may go on before progress is shown.
const patience = time.Second

// clearLine takes a terminal back to the start of an empty line.
const clearLine = "\r\x1b[K"

func newProgress(env Env) *progress {
	p := &progress{env: env, start: time.Now(), quit: make(chan struct{}), gone: make(chan struct{})}
	if !env.ErrTTY {
		close(p.gone)
		return p
	}
	go p.watch()
	return p
}

// Stage starts the next stage.
func (p *progress) Stage(name string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.stages = append(p.stages, stage{name, time.Now()})
}

// watch redraws the line a few times a second until told to end.
func (p *progress) watch() {
	defer close(p.gone)
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
	if now.Sub(p.start) < patience || len(p.stages) == 0 {
		return
	}
	name := p.stages[len(p.stages)-1].name
	fmt.Fprintf(p.env.Err, clearLine+"%s … %.0f s", oneLine(name), now.Sub(p.start).Seconds())
	p.shown = true
}

// End clears the line and gives the seconds by stage with their total. A
// stage entered twice has the sum.
func (p *progress) End() map[string]float64 {
	close(p.quit)
	<-p.gone
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown {
		fmt.Fprint(p.env.Err, clearLine)
	}
	now := time.Now()
	times := map[string]float64{"total": now.Sub(p.start).Seconds()}
	for i, s := range p.stages {
		end := now
		if i+1 < len(p.stages) {
			end = p.stages[i+1].start
		}
		times[s.name] += end.Sub(s.start).Seconds()
	}
	return times
}
