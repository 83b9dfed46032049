package practice

import (
	"context"
	"strings"
	"sync"
	"time"
)

// Instrument is a simulated bench meter: it takes lines of SCPI and measures
// what its leads touch on a Wire. It speaks the mandatory commands of IEEE
// 488.2 and, of SCPI-99, what measuring ohms and volts needs. Its lines may
// come from several connections at once, as on a real meter.
type Instrument struct {
	wire     *Wire
	identity string
	fast     float64 // measurements take this share of their time; 1: honest
	commands []command

	mu      sync.Mutex
	status  status
	setup   setup
	running *measurement // under way, or the last one; nil: none since the set-up
}

// command is one header and what it does; exactly one of run and ask where the
// header has only one form.
type command struct {
	words []keyword
	run   func(ctx context.Context, params []string) error
	ask   func(ctx context.Context, params []string) (string, error)
}

// InstrumentOptions say how the simulated meter differs from the plain one.
type InstrumentOptions struct {
	Serial string  // serial number; "": 0
	Pace   float64 // share of its time that a measurement takes; 0: all of it
}

// NewInstrument gives a simulated meter with its leads on the wire.
func NewInstrument(w *Wire, o InstrumentOptions) *Instrument {
	if o.Serial == "" {
		o.Serial = "0"
	}
	if o.Pace <= 0 {
		o.Pace = 1
	}
	i := &Instrument{wire: w, identity: "OHMWARD,PRACTICE METER," + o.Serial + ",1", fast: o.Pace}
	i.status.esr = esrPowerOn
	i.setup = preset()
	i.commands = append(i.commonCommands(), i.measureCommands()...)
	i.commands = append(i.commands, i.settingCommands()...)
	i.commands = append(i.commands, w.commands()...)
	return i
}

// Line carries out one line and gives its answer, "" where there is none.
// Answers to several questions have ";" between them.
func (i *Instrument) Line(ctx context.Context, line string) string {
	list, err := parseMessages(line)
	if err != nil {
		i.report(err)
		return ""
	}
	var answers []string
	for _, m := range list {
		answer, err := i.unit(context.WithValue(ctx, outputKey{}, len(answers) > 0), m)
		if ctx.Err() != nil {
			return ""
		}
		if err != nil {
			i.report(err)
			if e, known := err.(scpiError); known && e.code > -200 {
				break // after a command error the rest of the line is not trusted
			}
			continue
		}
		if m.query {
			answers = append(answers, answer)
		}
	}
	return strings.Join(answers, ";")
}

// outputKey tells, within a line, whether an answer is already waiting.
type outputKey struct{}

// unit carries out one unit of a line.
func (i *Instrument) unit(ctx context.Context, m message) (string, error) {
	for _, c := range i.commands {
		if !matches(c.words, m.header) {
			continue
		}
		switch {
		case m.query && c.ask != nil:
			return c.ask(ctx, m.params)
		case !m.query && c.run != nil:
			return "", c.run(ctx, m.params)
		}
	}
	return "", errHeader
}

// report queues an error.
func (i *Instrument) report(err error) {
	e, known := err.(scpiError)
	if !known {
		e = scpiError{-200, "Execution error;" + strings.ReplaceAll(err.Error(), `"`, "'")}
	}
	i.mu.Lock()
	defer i.mu.Unlock()
	i.status.push(e)
}

// wait waits for a measurement under way.
func (i *Instrument) wait(ctx context.Context) error {
	i.mu.Lock()
	m := i.running
	i.mu.Unlock()
	if m == nil {
		return nil
	}
	select {
	case <-m.done:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// measurement is one measurement, under way or done.
type measurement struct {
	done    chan struct{} // closed once it is over
	timer   *time.Timer
	waits   bool // for *TRG
	aborted bool
	values  []float64 // as sent; read only after done
}

// none checks that a command has no parameter.
func none(params []string) error {
	if len(params) > 0 {
		return errNotAllowed
	}
	return nil
}
