package practice

import (
	"context"
	"fmt"
	"strconv"
)

// Bits of the standard event status register (IEEE 488.2, 11.5.1).
const (
	esrComplete = 1 << 0 // operation complete
	esrQuery    = 1 << 2 // query error
	esrDevice   = 1 << 3 // device-dependent error
	esrExecute  = 1 << 4 // execution error
	esrCommand  = 1 << 5 // command error
	esrPowerOn  = 1 << 7 // power on
)

// Bits of the status byte (IEEE 488.2, 11.2; the error queue: SCPI-99 volume 1, 9).
const (
	stbErrors  = 1 << 2 // the error queue is not empty
	stbMessage = 1 << 4 // an answer is waiting
	stbEvent   = 1 << 5 // an enabled bit of the event register is set
	stbMaster  = 1 << 6 // an enabled bit of the status byte is set
)

// mostQueued is how many errors the queue holds.
const mostQueued = 20

// status is the status reporting of IEEE 488.2.
type status struct {
	esr, ese, sre int
	queue         []scpiError
	announce      *measurement // whose end sets the bit of operation complete
}

// push queues an error and sets its class's bit. A full queue says so in its
// last place (SCPI-99 volume 2, 21.8.1).
func (s *status) push(e scpiError) {
	switch {
	case e.code > -200 && e.code <= -100:
		s.esr |= esrCommand
	case e.code > -300 && e.code <= -200:
		s.esr |= esrExecute
	case e.code > -500 && e.code <= -400:
		s.esr |= esrQuery
	default:
		s.esr |= esrDevice
	}
	if len(s.queue) == mostQueued {
		s.queue[mostQueued-1] = errOverflow
		return
	}
	s.queue = append(s.queue, e)
}

func (s *status) next() scpiError {
	if len(s.queue) == 0 {
		return errNone
	}
	e := s.queue[0]
	s.queue = s.queue[1:]
	return e
}

// byte is the status byte with its master summary.
func (s *status) byte(waiting bool) (b int) {
	if len(s.queue) > 0 {
		b |= stbErrors
	}
	if waiting {
		b |= stbMessage
	}
	if s.esr&s.ese != 0 {
		b |= stbEvent
	}
	if b&s.sre&^stbMaster != 0 {
		b |= stbMaster
	}
	return b
}

// commonCommands are those that IEEE 488.2 makes mandatory, and the error queue.
func (i *Instrument) commonCommands() []command {
	locked := func(do func()) func(context.Context, []string) error {
		return func(_ context.Context, params []string) error {
			if err := none(params); err != nil {
				return err
			}
			i.mu.Lock()
			defer i.mu.Unlock()
			do()
			return nil
		}
	}
	asked := func(what func(ctx context.Context) string) func(context.Context, []string) (string, error) {
		return func(ctx context.Context, params []string) (string, error) {
			if err := none(params); err != nil {
				return "", err
			}
			i.mu.Lock()
			defer i.mu.Unlock()
			return what(ctx), nil
		}
	}
	return []command{
		{words: pattern("*CLS"), run: locked(func() {
			i.status.esr, i.status.queue, i.status.announce = 0, nil, nil
		})},
		{words: pattern("*ESE"), run: i.mask(&i.status.ese),
			ask: asked(func(context.Context) string { return strconv.Itoa(i.status.ese) })},
		{words: pattern("*ESR"), ask: asked(func(context.Context) string {
			was := i.status.esr
			i.status.esr = 0
			return strconv.Itoa(was)
		})},
		{words: pattern("*IDN"), ask: asked(func(context.Context) string { return i.identity })},
		{words: pattern("*OPC"), run: locked(i.announce), ask: func(ctx context.Context,
			params []string) (string, error) {
			if err := none(params); err != nil {
				return "", err
			}
			return "1", i.wait(ctx)
		}},
		{words: pattern("*RST"), run: locked(func() { i.abort(); i.setup, i.running = preset(), nil })},
		{words: pattern("*SRE"), run: i.mask(&i.status.sre),
			ask: asked(func(context.Context) string { return strconv.Itoa(i.status.sre &^ stbMaster) })},
		{words: pattern("*STB"), ask: asked(func(ctx context.Context) string {
			waiting, _ := ctx.Value(outputKey{}).(bool)
			return strconv.Itoa(i.status.byte(waiting))
		})},
		{words: pattern("*TST"), ask: asked(func(context.Context) string { return "0" })},
		{words: pattern("*WAI"), run: func(ctx context.Context, params []string) error {
			if err := none(params); err != nil {
				return err
			}
			return i.wait(ctx)
		}},
		{words: pattern("SYSTem:ERRor[:NEXT]"),
			ask: asked(func(context.Context) string { return i.status.next().Error() })},
		{words: pattern("SYSTem:VERSion"), ask: asked(func(context.Context) string { return "1999.0" })},
	}
}

// mask takes the new value of an enable register, 0 to 255.
func (i *Instrument) mask(at *int) func(context.Context, []string) error {
	return func(_ context.Context, params []string) error {
		if len(params) != 1 {
			return errMissing
		}
		n, err := strconv.ParseFloat(params[0], 64)
		switch {
		case err != nil:
			return errDataType
		case n < 0 || n > 255:
			return errRange
		}
		i.mu.Lock()
		defer i.mu.Unlock()
		*at = int(n + 0.5)
		return nil
	}
}

// announce sets the bit of operation complete, at once or at the end of what is
// under way.
func (i *Instrument) announce() {
	if m := i.running; m != nil {
		select {
		case <-m.done:
		default:
			i.status.announce = m
			return
		}
	}
	i.status.esr |= esrComplete
}

// nr3 writes a number as NR3 (IEEE 488.2, 8.7.4).
func nr3(x float64) string { return fmt.Sprintf("%+.8E", x) }
