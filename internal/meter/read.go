package meter

import (
	"context"
	"errors"
	"fmt"
	"time"

	"ohmward/unit"
)

// Read measures once and gives every value of the answer, oldest first; most
// set-ups send one. After a failure the next call first gets into step again,
// over a new connection where needed.
func (m *Meter) Read(ctx context.Context) ([]Sample, error) {
	if m.active == nil {
		return nil, fmt.Errorf("meter: read before it is configured")
	}
	if m.broken || m.d == nil {
		if err := m.recover(ctx); err != nil {
			return nil, err
		}
	}
	line, err := m.measure(ctx)
	if err != nil {
		return nil, err
	}
	rng, err := m.confirm(ctx)
	if err != nil {
		return nil, err
	}
	list, err := parseValues(line)
	if err != nil {
		return nil, m.failed(&textError{err}, "FETC?")
	}
	return m.samples(list, line, rng), nil
}

// measure takes one measurement. The instrument keeps it, and sends it as often
// as it is asked for (SCPI-99 volume 2, 3.2: FETCh?): two answers that differ
// are out of step, torn, or another program's.
func (m *Meter) measure(ctx context.Context) (string, error) {
	within := m.options.Timeout + m.active.takes()
	if m.plain {
		return m.ask(ctx, "READ?", within)
	}
	if err := m.tell(ctx, "INIT"); err != nil {
		return "", err
	}
	line, err := m.ask(ctx, "FETC?", within)
	if err == nil {
		var again string
		if again, err = m.ask(ctx, "FETC?", m.options.Timeout); err == nil && again != line {
			return "", m.failed(&textError{fmt.Errorf("it sent %s, then %s", clip(line), clip(again))}, "FETC?")
		}
	}
	if err == nil || !errors.Is(err, ErrTimeout) {
		return line, err
	}
	return m.measurePlain(ctx, err)
}

// measurePlain finds out whether the instrument was silent because it does not
// know INIT or FETC?, by its own error; then it is read by READ? alone.
func (m *Meter) measurePlain(ctx context.Context, silent error) (string, error) {
	for _, command := range []string{"INIT", "FETC?"} {
		known, err := m.knows(ctx, command)
		switch {
		case ctx.Err() != nil:
			return "", ctx.Err()
		case err != nil:
			m.broken = true
			return "", silent
		case !known:
			m.plain = true
			if err := m.apply(ctx, m.setup); err != nil {
				return "", err
			}
			return m.ask(ctx, "READ?", m.options.Timeout+m.active.takes())
		}
	}
	m.broken = true
	return "", silent
}

// confirm asks, after a value, whether the instrument still has the function
// that was set. Another program's hand shows there, and so does an answer out
// of step. It gives the range too.
func (m *Meter) confirm(ctx context.Context) (unit.Resistance, error) {
	if m.active.names {
		name, err := m.ask(ctx, "SENS:FUNC?", m.options.Timeout)
		if err != nil {
			return 0, err
		}
		if !sameFunction(name, m.setup.Function) {
			return 0, m.failed(&textError{fmt.Errorf("it has %s, not %s: does another program speak with it?",
				clip(name), m.setup.Function)}, "SENS:FUNC?")
		}
	} else if err := m.refusal(ctx, "FETC?"); err != nil {
		return 0, err
	}
	if !m.active.spans || m.setup.Function == DCVolts {
		return m.active.rng, nil
	}
	line, err := m.ask(ctx, "SENS:"+string(m.setup.Function)+":RANG?", m.options.Timeout)
	if err != nil {
		return 0, err
	}
	v, err := parseValue(line)
	if err != nil || v.state != Valid || v.number <= 0 {
		return 0, m.failed(&textError{fmt.Errorf("a range of %s", clip(line))}, "SENS:RANG?")
	}
	return unit.Resistance(v.number), nil
}

// samples are the values of one answer, the last of them just there.
func (m *Meter) samples(list []value, raw string, rng unit.Resistance) (out []Sample) {
	now, apart := time.Now(), time.Duration(m.active.nplc/mainsHz*float64(time.Second))
	for i, v := range list {
		s := Sample{At: now.Add(-apart * time.Duration(len(list)-1-i)), Function: m.setup.Function, State: v.state,
			Range: rng, Held: m.setup.Range > 0, NPLC: m.active.nplc, Raw: raw, Checked: !m.plain,
			Compensated: m.active.compensated}
		if m.setup.Function == DCVolts {
			s.Volts = unit.Voltage(v.number)
		} else {
			s.Ohms = v.resistance()
		}
		out = append(out, s)
	}
	return out
}

// Measure reads once by the function's preset, without a set-up before it
// (MEAS:RES?, MEAS:FRES?). It leaves that preset behind, as a set-up.
func (m *Meter) Measure(ctx context.Context, f Function) ([]Sample, error) {
	if err := m.Configure(ctx, Setup{Function: f}); err != nil {
		return nil, err
	}
	line, err := m.ask(ctx, "MEAS:"+string(f)+"?", m.options.Timeout+m.active.takes())
	if err != nil {
		return nil, err
	}
	rng, err := m.confirm(ctx)
	if err != nil {
		return nil, err
	}
	list, err := parseValues(line)
	if err != nil {
		return nil, m.failed(&textError{err}, "MEAS?")
	}
	out := m.samples(list, line, rng)
	for i := range out {
		out[i].Checked = false
	}
	return out, nil
}

// HoldRange holds the range that the instrument has chosen, so that a null
// taken on it stays good.
func (m *Meter) HoldRange(ctx context.Context) (unit.Resistance, error) {
	if m.active == nil || !m.active.spans || m.setup.Function == DCVolts {
		return 0, fmt.Errorf("meter: the instrument does not say its range")
	}
	rng, err := m.confirm(ctx)
	if err != nil {
		return 0, err
	}
	s := m.setup
	s.Range = rng
	return rng, m.apply(ctx, s)
}
