package meter

import (
	"context"
	"errors"
	"time"
)

// Event is one thing of a stream: samples, or that the instrument is lost.
type Event struct {
	Samples []Sample      // what was measured
	Lost    error         // it is not answering; nil: it is
	Again   time.Duration // until it is tried again, where it is lost
}

// Waits between attempts to reach an instrument that is lost: each twice the
// one before, up to the last.
const (
	firstWait = 250 * time.Millisecond
	lastWait  = 8 * time.Second
)

// Stream measures until ctx ends, which is no error. An instrument that is lost
// is tried again, ever more seldom; each loss is told once it is there. Another
// instrument in its place ends the stream.
func (m *Meter) Stream(ctx context.Context, each func(Event)) error {
	wait := firstWait
	for ctx.Err() == nil {
		samples, err := m.Read(ctx)
		switch {
		case err == nil:
			wait = firstWait
			each(Event{Samples: samples})
			continue
		case ctx.Err() != nil:
			return nil
		case problemIs(err, Unsuitable), problemIs(err, Refused), !isFault(err):
			return err
		}
		each(Event{Lost: err, Again: wait})
		pause(ctx, wait)
		wait = min(2*wait, lastWait)
	}
	return nil
}

func isFault(err error) bool {
	var f *Fault
	return errors.As(err, &f)
}

// pause waits, or until ctx ends.
func pause(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
	case <-t.C:
	}
}
