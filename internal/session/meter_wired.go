package session

import (
	"context"
	"errors"
	"fmt"
	"time"

	"ohmward/internal/locate"
	"ohmward/internal/meter"
	"ohmward/unit"
)

// wired is a real meter on a wire. A person holds its tips: a touch gives one
// value, and the next only after the tips were lifted.
type wired struct {
	at      meter.Address
	options meter.Options
	wanted  func() manner // how the session reads now

	m       *meter.Meter
	now     manner
	noise   meter.Noise // learned from the null
	capture *meter.Capture
	watch   *meter.Watch
	given   bool      // this touch gave its value
	touched time.Time // last sample that was no overload
}

// manner is how a meter reads at a step.
type manner struct {
	setup    meter.Setup
	watching bool // the reading across the short is followed
	nulling  bool // the tips are together: what the values scatter by is the meter's
	stay     bool // the tips may stay where they were
}

// WireSample is what a meter on a wire tells beside its value.
type WireSample struct {
	Meter string // maker, model, serial number and firmware
	Lost  error  // it is not heard, and is tried again; the rest then says nothing
	Raw   meter.Sample
	Touch *meter.Touch     // a touch that has just given its value
	Watch meter.WatchState // of a short that is being reworked
	Lift  bool             // the tips are to be lifted before another value is taken
}

const (
	// The lowest range that bench meters share, held, so that a null is good for all
	// readings; the range above it; one period of the mains, as a person waits.
	wiredRange     = 100 * unit.OhmUnit
	wiredNextRange = 1000 * unit.OhmUnit
	wiredNPLC      = 1
	// liftTime is how long an overload lasts until the tips count as lifted.
	liftTime = 300 * time.Millisecond
	// putBackTime is how long a meter may take to be put back as it was.
	putBackTime = 1500 * time.Millisecond
	// Waits between attempts to open a meter: each twice the one before.
	firstWait = 250 * time.Millisecond
	lastWait  = 8 * time.Second
)

// Stream reads until ctx ends, which is no error. A meter that is not heard is
// tried again, ever more seldom; what is no meter of ohms ends the stream.
func (w *wired) Stream(ctx context.Context, each func(Sample)) error {
	for wait := firstWait; ctx.Err() == nil; wait = min(2*wait, lastWait) {
		err := w.session(ctx, func(s Sample) { wait = firstWait; each(s) })
		if ctx.Err() != nil {
			return nil
		}
		each(Sample{Wire: &WireSample{Lost: err}})
		var f *meter.Fault
		if errors.As(err, &f) && f.Problem == meter.Unsuitable {
			return err
		}
		select {
		case <-ctx.Done():
		case <-time.After(wait):
		}
	}
	return nil
}

// session opens the meter, reads as long as it goes well, and puts it back.
func (w *wired) session(ctx context.Context, each func(Sample)) (err error) {
	if w.m, err = meter.Open(ctx, w.at, w.options); err != nil {
		return err
	}
	defer func() {
		last, stop := context.WithTimeout(context.Background(), putBackTime)
		defer stop()
		_ = w.m.Close(last) // what is lost has nothing left to be put back
	}()
	if err := w.configure(ctx, w.wanted()); err != nil {
		return err
	}
	reading, end := context.WithCancelCause(ctx)
	defer end(nil)
	err = w.m.Stream(reading, func(e meter.Event) {
		if e.Lost != nil {
			each(Sample{Wire: &WireSample{Lost: e.Lost}})
		} else if failed := w.samples(reading, e.Samples, each); failed != nil {
			end(failed)
		}
	})
	if err == nil {
		err = context.Cause(reading)
	}
	return err
}

// samples hands on what one measurement brought; what was measured in another
// manner than is wanted now is not.
func (w *wired) samples(ctx context.Context, list []meter.Sample, each func(Sample)) error {
	if want := w.wanted(); want != w.now {
		return w.configure(ctx, want)
	}
	for _, s := range list {
		one := w.sample(s)
		each(one)
		if one.Wire.Touch != nil {
			break // what was wanted may be done
		}
	}
	return nil
}

// configure sets the meter up, and begins to capture anew.
func (w *wired) configure(ctx context.Context, want manner) error {
	if err := w.m.Configure(ctx, want.setup); err != nil {
		return err
	}
	if w.noise == (meter.Noise{}) {
		w.noise = meter.UsualNoise()
	}
	noise := w.noise
	if want.setup.Function == meter.FourWire {
		noise.Hand = 0
	}
	if want.stay && want != w.now {
		w.given = false
	}
	w.now, w.capture = want, meter.NewCapture(noise)
	w.watch = meter.NewWatch(noise, unit.Resistance(locate.OpenOhms))
	return nil
}

// sample looks at one sample.
func (w *wired) sample(s meter.Sample) Sample {
	switch {
	case s.State != meter.Overload:
		w.touched = s.At
	case s.At.Sub(w.touched) >= liftTime:
		w.given = false
	}
	id := w.m.Identity()
	tells := &WireSample{Raw: s, Meter: fmt.Sprintf("%s %s %s %s", id.Maker, id.Model, id.SerialNo, id.Firmware)}
	if w.now.watching {
		tells.Watch = w.watch.Add(s).State
	} else if step := w.capture.Add(s); step.Taken != nil && !w.given {
		tells.Touch, w.given = step.Taken, true
		if w.now.nulling {
			w.noise = meter.LearnNoise(step.Taken.Samples[len(step.Taken.Samples)-step.Taken.Window:])
		}
	}
	tells.Lift = w.given
	return Sample{Ohms: s.Ohms, FourWire: s.Function == meter.FourWire, Wire: tells}
}
