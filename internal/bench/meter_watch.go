package bench

import (
	"context"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/meter"
	"ohmward/unit"
)

// WatchOptions say what is watched, and until when.
type WatchOptions struct {
	MeterOptions
	Limit unit.Resistance // that a short stays below; 0: 1 Ω
	Until string          // "open" or "cleared" end the watch; "": an interrupt
}

// The states of a watch, as WatchTick has them.
const (
	WatchWaiting  = "waiting"
	WatchShorted  = "short"
	WatchSeenOpen = "open"
	WatchCleared  = "cleared"
)

var watchNames = map[meter.WatchState]string{meter.Waiting: WatchWaiting, meter.Shorted: WatchShorted,
	meter.SeenOpen: WatchSeenOpen, meter.Cleared: WatchCleared}

var phaseNames = map[meter.Phase]string{meter.Away: "open, or tips lifted", meter.Beyond: "beyond the range",
	meter.Disturbed: "disturbed: volts on the net?", meter.Moving: "moving", meter.Tail: "settling",
	meter.RangeStep: "changing range", meter.Steady: "steady"}

// WatchTick is what one sample says, or that the instrument is lost.
type WatchTick struct {
	State   string          // one of the states of a watch
	Changed bool            // it is another than before
	At      time.Time       // when the sample was there; zero where none is
	Ohms    unit.Resistance // as read, leads included; unit.Open for an overload
	NoValue bool            // there is no number
	Phase   string          // what the samples look like, in words
	Lost    error           // the instrument does not answer; it is tried again
}

// MeterWatch follows a reading while a short is reworked.
func MeterWatch(ctx context.Context, o WatchOptions, begun func(answer.MeterIdentity),
	each func(WatchTick)) error {
	m, err := openMeter(ctx, o.MeterOptions)
	if err != nil {
		return err
	}
	id := m.Identity()
	begun(answer.MeterIdentity{Address: m.Address().String(), Maker: id.Maker, Model: id.Model,
		Serial:   id.SerialNo,
		Firmware: id.Firmware})
	within, done := context.WithCancel(ctx)
	defer done()
	w := meter.NewWatch(meter.UsualNoiseOf(o.function()), o.Limit)
	state := WatchWaiting
	err = m.Stream(within, func(e meter.Event) {
		if e.Lost != nil {
			each(WatchTick{State: state, Lost: e.Lost})
			return
		}
		for _, s := range e.Samples {
			step := w.Add(s)
			state = watchNames[step.State]
			each(WatchTick{State: state, Changed: step.Changed, At: s.At, Ohms: s.Ohms, Phase: phaseNames[step.Phase],
				NoValue: s.State == meter.NoValue || s.State == meter.NegativeOverload})
			if step.Changed && state == o.Until {
				done()
				return
			}
		}
	})
	failed := closed(m)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return meterError(err)
	case failed != nil:
		return meterError(failed)
	}
	return nil
}
