package cli

import (
	"encoding/json"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
)

// watchLines prints a watch for programs: a JSON object a line.
type watchLines struct {
	out     *json.Encoder
	now     func() time.Time
	printed time.Time // the time of the last line
	lost    bool      // which says that the instrument is not heard
}

// watchEach is the time between two lines where nothing changes.
const watchEach = time.Second

func (l *watchLines) begin(id answer.MeterIdentity) {
	l.print(answer.MeterWatch{Meter: &id, State: bench.WatchWaiting}, l.now())
}

func (l *watchLines) tick(t bench.WatchTick) {
	line := answer.MeterWatch{State: t.State, Changed: t.Changed, Phase: t.Phase}
	switch {
	case t.Lost != nil && l.lost:
		return
	case t.Lost != nil:
		l.lost, line.Lost = true, oneLine(t.Lost.Error())
		l.print(line, l.now())
		return
	case !t.Changed && !l.lost && t.At.Sub(l.printed) < watchEach:
		return
	}
	l.lost, line.Overload = false, !t.NoValue && t.Ohms.IsOpen()
	if !t.NoValue && !line.Overload {
		ohms := float64(t.Ohms)
		line.Ohms = &ohms
	}
	l.print(line, t.At)
}

func (l *watchLines) print(line answer.MeterWatch, at time.Time) {
	l.printed, line.Time = at, at.UTC().Format(time.RFC3339Nano)
	_ = l.out.Encode(line) // a closed output shows at the end
}
