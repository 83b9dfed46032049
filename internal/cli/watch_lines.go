package cli

import (
	"encoding/json"
	"io"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
)

// watchLines writes a watch as JSON, a line at a time: what another program keeps, or
// a record of when a short lifted.
type watchLines struct {
	out  io.Writer
	now  func() time.Time
	last answer.MeterWatched // that was written
	at   time.Time           // when
}

// betweenLines is how long nothing is written while nothing changes.
const betweenLines = time.Second

func (w *watchLines) begin(id answer.MeterIdentity) {
	now := w.now().UTC()
	w.write(now, answer.MeterWatched{Meter: &id, State: bench.WatchWaiting, Since: stamp(now)})
}

func (w *watchLines) tick(t bench.WatchTick) {
	now := w.now().UTC()
	line := answer.MeterWatched{State: t.State, Since: w.last.Since, Phase: t.Phase}
	if t.State != w.last.State {
		line.Since = stamp(now)
	}
	switch {
	case t.Lost != nil:
		line.Lost = oneLine(t.Lost.Error())
	case !t.NoValue && !t.Ohms.IsOpen():
		ohms := float64(t.Ohms)
		line.Ohms = &ohms
	}
	if line.State != w.last.State || (line.Lost == "") != (w.last.Lost == "") || now.Sub(w.at) >= betweenLines {
		w.write(now, line)
	}
}

func (w *watchLines) write(now time.Time, line answer.MeterWatched) {
	line.Schema, line.Time = answer.Schema, stamp(now)
	w.last, w.at = line, now
	e := json.NewEncoder(w.out)
	e.SetEscapeHTML(false)
	_ = e.Encode(line) // a closed output shows at the end
}

func stamp(t time.Time) string { return t.Format("2006-01-02T15:04:05.000Z07:00") }
