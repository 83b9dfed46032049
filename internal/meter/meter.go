package meter

import (
	"context"
	"errors"
	"fmt"
	"time"

	"ohmward/unit"
)

// Options say how an instrument is spoken with. The zero value will do.
type Options struct {
	Timeout    time.Duration // of one exchange, beside what a measurement takes; 0: 3 s
	Baud       int           // of a serial port; 0: 9600
	LockFolder string        // where locks lie; "": the user's own
	// Dial opens the connection; nil: the function Dial.
	Dial func(context.Context, Address) (Transport, error)
}

const defaultTimeout = 3 * time.Second

// Meter is an instrument that is spoken with.
type Meter struct {
	address  Address
	options  Options
	release  func() // gives the lock back
	d        *dialogue
	identity Identity
	broken   bool // what comes next may answer something earlier: get into step first
	setup    Setup
	active   *active
	saved    []savedSetting // newest first
	plain    bool           // the instrument has no FETC? of a value already read
}

// Open takes the instrument's lock, connects and asks who it is.
func Open(ctx context.Context, a Address, o Options) (*Meter, error) {
	if o.Timeout <= 0 {
		o.Timeout = defaultTimeout
	}
	if o.Dial == nil {
		baud := o.Baud
		o.Dial = func(ctx context.Context, a Address) (Transport, error) { return Dial(ctx, a, baud) }
	}
	release, err := takeLock(o.LockFolder, a)
	if err != nil {
		return nil, err
	}
	m := &Meter{address: a, options: o, release: release}
	if err := m.connect(ctx); err != nil {
		m.hangUp()
		release()
		return nil, err
	}
	remember(o.LockFolder, a, m.identity)
	return m, nil
}

// Address is where the instrument is.
func (m *Meter) Address() Address { return m.address }

// Identity is who the instrument says it is.
func (m *Meter) Identity() Identity { return m.identity }

// connect dials and asks for the identity.
func (m *Meter) connect(ctx context.Context) error {
	t, err := m.options.Dial(ctx, m.address)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return fault(Unreachable, err, m.reachHint(), "nothing can be opened at %v: %v", m.address, err)
	}
	m.d = &dialogue{t: t}
	return m.greet(ctx)
}

func (m *Meter) reachHint() string {
	switch m.address.Interface {
	case Serial:
		return "is the cable in, and may you use the port? ohmward meter find lists the ports"
	case USB:
		return "is the cable in, and may you use the device? ohmward meter find lists the devices"
	}
	return "is the meter on, its network on, and the port right? ohmward meter find looks around"
}

// quietTime is how long nothing must come before a line counts as silent.
const quietTime = 50 * time.Millisecond

// greet gets into step: what is still on its way is thrown away, queues are
// cleared, and the answer to *IDN? is waited for, past any late answer. A known
// instrument must be the same as before.
func (m *Meter) greet(ctx context.Context) error {
	deadline := time.Now().Add(2 * m.options.Timeout)
	if m.address.Interface == Serial { // elsewhere a new connection brings no old answer
		quiet := quietTime
		if m.active != nil {
			quiet = min(quiet+m.active.takes(), m.options.Timeout)
		}
		if err := m.d.drain(ctx, quiet, deadline); err != nil {
			return m.failed(err, "*CLS")
		}
	}
	m.d.pending = nil
	if err := m.d.tell(ctx, "*CLS", m.options.Timeout); err != nil {
		return m.failed(err, "*CLS")
	}
	id, err := m.whoIs(ctx)
	if err != nil {
		return err
	}
	if id != m.identity { // a new one counts if it says the same twice
		again, err := m.whoIs(ctx)
		if err != nil {
			return err
		}
		if again != id {
			return m.failed(&textError{fmt.Errorf("it is %v, then %v", id, again)}, "*IDN?")
		}
	}
	if known := (Identity{}); m.identity != known && m.identity != id {
		return fault(Unsuitable, nil, "put the first one back, or begin anew",
			"another instrument answers at %v: %v, it was %v", m.address, id, m.identity)
	}
	m.identity, m.broken = id, false
	return nil
}

func (m *Meter) whoIs(ctx context.Context) (Identity, error) {
	if err := m.d.tell(ctx, "*IDN?", m.options.Timeout); err != nil {
		return Identity{}, m.failed(err, "*IDN?")
	}
	return m.awaitIdentity(ctx, time.Now().Add(m.options.Timeout))
}

// awaitIdentity reads lines until one is an identity, with nothing behind it.
func (m *Meter) awaitIdentity(ctx context.Context, deadline time.Time) (Identity, error) {
	seen := ""
	for {
		line, err := m.d.line(ctx, deadline)
		if err == nil {
			if id, wrong := parseIdentity(line); wrong == nil && len(m.d.pending) == 0 {
				return id, nil
			}
		}
		switch {
		case line != "":
			seen = line
		case errors.Is(err, ErrTimeout) && seen != "":
			return Identity{}, fault(Unsuitable, err, "is this the right port, and its speed the meter's?",
				"what answers at %v does not say who it is: it sent %s to *IDN?", m.address, clip(seen))
		case err != nil:
			return Identity{}, m.failed(err, "*IDN?")
		}
	}
}

// failed makes a Fault of what came of a question; only an interrupt stays as
// it is.
func (m *Meter) failed(err error, question string) error {
	m.broken = true
	var known *Fault
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded), errors.As(err, &known):
		return err
	case errors.Is(err, ErrTimeout):
		return fault(Unreachable, err, m.reachHint(), "%v did not answer %s in time", m.name(), question)
	case isText(err):
		return fault(Garbled, err, "", "%v answered %s with what cannot be trusted: %v", m.name(), question, err)
	}
	return fault(Unreachable, err, m.reachHint(), "the connection with %v was lost at %s: %v", m.name(),
		question, err)
}

// isText tells an error of our own reading from one of the connection.
func isText(err error) bool {
	var t *textError
	return errors.As(err, &t) || errors.Is(err, errUnasked)
}

// textError is an answer that is not what the question wants.
type textError struct{ err error }

func (t *textError) Error() string { return t.err.Error() }

// name is the instrument in words.
func (m *Meter) name() string {
	if m.identity == (Identity{}) {
		return m.address.String()
	}
	return fmt.Sprintf("%s %s at %v", m.identity.Maker, m.identity.Model, m.address)
}

// ask puts a question. Whatever fails, the next exchange begins by getting into
// step.
func (m *Meter) ask(ctx context.Context, question string, within time.Duration) (string, error) {
	if m.broken || m.d == nil {
		return "", m.failed(errUnasked, question)
	}
	line, err := m.d.ask(ctx, question, within)
	if err != nil {
		return "", m.failed(err, question)
	}
	return line, nil
}

func (m *Meter) tell(ctx context.Context, command string) error {
	if m.broken || m.d == nil {
		return m.failed(errUnasked, command)
	}
	if err := m.d.tell(ctx, command, m.options.Timeout); err != nil {
		return m.failed(err, command)
	}
	return nil
}

// recover gets into step again after a failure: over a new connection, or on a
// serial port first on the old one.
func (m *Meter) recover(ctx context.Context) error {
	if m.d != nil && m.address.Interface == Serial {
		if err := m.greet(ctx); err == nil {
			return m.resume(ctx)
		} else if ctx.Err() != nil {
			return err
		}
	}
	m.hangUp()
	if err := m.connect(ctx); err != nil {
		return err
	}
	return m.resume(ctx)
}

// resume sets the instrument up again as it was.
func (m *Meter) resume(ctx context.Context) error {
	if m.active == nil {
		return nil
	}
	return m.apply(ctx, m.setup)
}

func (m *Meter) hangUp() {
	if m.d != nil {
		_ = m.d.t.Close() // a line that is given up has nothing left to lose
		m.d = nil
	}
}

// Close puts back what was changed, hangs up and gives the lock back. Its error
// says what could not be put back.
func (m *Meter) Close(ctx context.Context) error {
	if m.release == nil {
		return nil
	}
	err := m.putBack(ctx)
	m.hangUp()
	m.release()
	m.release = nil
	return err
}

// Sample is one value that an instrument sent.
type Sample struct {
	At       time.Time       // when its answer was there, with the monotonic clock
	Function Function        // that it was read with
	State    State           // what the number stands for
	Ohms     unit.Resistance // of Resistance and FourWire; unit.Open for an overload
	Volts    unit.Voltage    // of DCVolts
	Range    unit.Resistance // that the instrument had; 0: not known
	Held     bool            // the range is held
	NPLC     float64         // integration in periods of the mains; 0: not known
	Raw      string          // as sent
	// Compensated tells whether contact potentials are taken out.
	Compensated bool
	Checked     bool // sent twice and the same
}
