package meter

import (
	"math"
	"time"

	"ohmward/unit"
)

// WatchState is what a Watch knows of a short.
type WatchState uint8

// The states of a Watch.
const (
	Waiting  WatchState = iota // nothing steady was read yet
	Shorted                    // a steady value below the limit
	SeenOpen                   // above the limit, or overload: perhaps a fallen lead
	Cleared                    // two touches apart read the same, above the limit
)

// DefaultLimit is what a metallic short stays below (BENCH.md: under about 1 Ω).
const DefaultLimit = unit.OhmUnit

// Figures of a watch: how long a reading stays above the limit until the short
// is seen open, and how far apart two touches of a healthy net may read.
const (
	openTime  = 500 * time.Millisecond
	openAgree = 0.30
)

// Watch follows the reading across a short while it is reworked. A fallen lead
// reads like a repair: so an overload is never more than "seen open", and
// "cleared" wants two touches, the tips lifted in between, that both read the
// same finite, steady value above the limit. Where the healthy net reads
// overload the watch stays at "seen open", and the proof is another's: two leads
// on each net.
type Watch struct {
	limit   float64
	capture *Capture
	state   WatchState
	above   time.Time // since when the reading is above the limit; zero: it is not
	lifted  bool      // the tips were lifted since the last value above the limit
	first   float64   // that value, in ohms; 0: none
}

// NewWatch gives a watch for a short that reads below the limit; 0: DefaultLimit.
func NewWatch(n Noise, limit unit.Resistance) *Watch {
	if limit <= 0 {
		limit = DefaultLimit
	}
	return &Watch{limit: float64(limit), capture: NewCapture(n)}
}

// WatchStep is what one sample brought to a watch.
type WatchStep struct {
	State   WatchState
	Changed bool  // the state is another than before
	Phase   Phase // of the samples
	Taken   *Touch
}

// Add takes the next sample.
func (w *Watch) Add(s Sample) WatchStep {
	was := w.state
	high := w.follow(s)
	step := w.capture.Add(s)
	if s.State == Overload && w.capture.touch == nil {
		w.lifted = true
	}
	if w.state == Shorted && high && s.At.Sub(w.above) >= openTime {
		w.state, w.first = SeenOpen, 0
	}
	if step.Taken != nil {
		w.take(float64(step.Taken.Ohms))
	}
	return WatchStep{State: w.state, Changed: w.state != was, Phase: step.Phase, Taken: step.Taken}
}

// follow notes since when the reading is above the limit. A touch that crosses
// it may give another value.
func (w *Watch) follow(s Sample) (high bool) {
	if s.State != Overload && s.State != Valid {
		return !w.above.IsZero() // no number says nothing
	}
	high = s.State == Overload || float64(s.Ohms) > w.limit
	if crossed := high == w.above.IsZero(); crossed && s.State == Valid {
		w.capture.Rearm()
	}
	switch {
	case !high:
		w.above = time.Time{}
	case w.above.IsZero():
		w.above = s.At
	}
	return high
}

// take weighs a steady value.
func (w *Watch) take(ohms float64) {
	switch {
	case ohms <= w.limit:
		w.state, w.first = Shorted, 0
	case w.state == Waiting || w.state == Cleared:
		// never seen shorted, or proved before: nothing to prove
	case w.first > 0 && w.lifted && math.Abs(ohms-w.first) <= openAgree*w.first:
		w.state = Cleared
	default:
		w.state, w.first = SeenOpen, ohms
	}
	w.lifted = false
}
