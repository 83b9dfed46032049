package meter

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"ohmward/unit"
)

// Function is what an instrument measures, by its SCPI-99 name.
type Function string

// The functions that are used.
const (
	Resistance Function = "RES"     // ohms, two-wire
	FourWire   Function = "FRES"    // ohms, four-wire
	DCVolts    Function = "VOLT:DC" // volts, where a supply drives the current
)

// words is the function for people.
func (f Function) words() string {
	return map[Function]string{Resistance: "two-wire ohms", FourWire: "four-wire ohms", DCVolts: "d.c. volts"}[f]
}

// Setup is how an instrument is to measure.
type Setup struct {
	Function Function
	Range    unit.Resistance // held at this; 0: the instrument chooses
	NPLC     float64         // integration in periods of the mains; 0: as the function's preset has it
	// Compensate takes contact potentials out of ohms, where the instrument can:
	// it reads with and without its current.
	Compensate bool
}

// active is a set-up that the instrument has taken.
type active struct {
	names bool            // it says its function when asked
	spans bool            // it says its range when asked
	rng   unit.Resistance // held; 0: it chooses
	nplc  float64         // 0: not known
	// compensated tells whether contact potentials are taken out.
	compensated bool
}

// mainsHz is the slower mains: periods of it are never longer.
const mainsHz = 50

// takes is the most that one measurement takes: integration, as long again for
// the zero or without the current, and both again where the range moves.
func (a *active) takes() time.Duration {
	return time.Duration(4 * max(a.nplc, 1) / mainsHz * float64(time.Second))
}

// Configure sets the instrument up. What it had before is kept, to be put back
// by Close.
func (m *Meter) Configure(ctx context.Context, s Setup) error {
	if s.Function.words() == "" {
		return fmt.Errorf("meter: no function %q", s.Function)
	}
	if m.broken || m.d == nil {
		if err := m.recover(ctx); err != nil {
			return err
		}
	}
	if err := m.save(ctx, s); err != nil {
		return err
	}
	return m.apply(ctx, s)
}

// apply sends a set-up and checks that it was taken.
func (m *Meter) apply(ctx context.Context, s Setup) error {
	configure := "CONF:" + string(s.Function)
	if s.Range > 0 && s.Function != DCVolts {
		configure += " " + scpiNumber(float64(s.Range))
	}
	if err := m.tell(ctx, configure); err != nil {
		return err
	}
	if err := m.refusal(ctx, configure); err != nil {
		return m.unsuited(err, s.Function)
	}
	if s.NPLC > 0 {
		nplc := "SENS:" + string(s.Function) + ":NPLC " + scpiNumber(s.NPLC)
		if err := m.tell(ctx, nplc); err != nil {
			return err
		}
		if err := m.refusal(ctx, nplc); err != nil {
			return err
		}
	}
	a := &active{}
	if s.Compensate && s.Function != DCVolts {
		var err error
		if a.compensated, err = m.compensate(ctx, s.Function); err != nil {
			return err
		}
	}
	if s.Function != DCVolts {
		a.rng = s.Range
	}
	m.setup, m.active = s, a
	return m.learn(ctx, a)
}

// compensate turns offset compensation on; false where the instrument has none.
func (m *Meter) compensate(ctx context.Context, f Function) (bool, error) {
	command := "SENS:" + string(f) + ":OCOM ON"
	if err := m.tell(ctx, command); err != nil {
		return false, err
	}
	err := m.refusal(ctx, command)
	if problemIs(err, Refused) {
		return false, nil
	}
	return err == nil, err
}

// unsuited says in words that an instrument does not know a function.
func (m *Meter) unsuited(err error, f Function) error {
	if e := (instrumentError{}); !errors.As(err, &e) || !e.unknown() {
		return err
	}
	return fault(Unsuitable, err, "is another instrument at this address?", "%s does not measure %s: %v",
		m.name(), f.words(), errors.Unwrap(err))
}

// learn asks what the instrument says of the set-up: its function, range and
// integration, as far as it knows these questions.
func (m *Meter) learn(ctx context.Context, a *active) error {
	f := string(m.setup.Function)
	name, known, err := m.optional(ctx, "SENS:FUNC?")
	if err != nil {
		return err
	}
	if known && !sameFunction(name, m.setup.Function) {
		return m.failed(&textError{fmt.Errorf("it has %s, not %s", clip(name), f)}, "SENS:FUNC?")
	}
	nplc, hasNPLC, err := m.twice(ctx, "SENS:"+f+":NPLC?")
	if err != nil {
		return err
	}
	if v, wrong := parseValue(nplc); hasNPLC && wrong == nil && v.number > 0 && v.number < 10_000 {
		a.nplc = v.number
	}
	_, hasRange, err := m.optional(ctx, "SENS:"+f+":RANG?")
	a.names, a.spans = known, hasRange
	return err
}

// optionalWait is how long a question is waited for that not every instrument
// knows.
const optionalWait = time.Second

// optional asks what not every instrument knows. One that does not is silent
// and queues an error (IEEE 488.2, 6.4): known is false.
func (m *Meter) optional(ctx context.Context, question string) (line string, known bool, err error) {
	line, err = m.ask(ctx, question, min(optionalWait, m.options.Timeout))
	if err == nil || !errors.Is(err, ErrTimeout) {
		return line, err == nil, err
	}
	known, err = m.knows(ctx, question)
	if err == nil && known {
		line, err = m.ask(ctx, question, m.options.Timeout)
	}
	return line, known && err == nil, err
}

// knows finds out, after a silence, whether the instrument knows a command or a
// question: by its own error, not by the silence. A question that it does know
// is answered, and that answer in the error's place is a failure; so is a cut
// in mid-answer: the caller begins anew.
func (m *Meter) knows(ctx context.Context, command string) (bool, error) {
	was := m.active
	m.active = nil // nothing is to be set up again on the way
	defer func() { m.active = was }()
	m.hangUpUnlessSerial()
	if err := m.recover(ctx); err != nil {
		return false, err
	}
	for range 2 { // one torn error number is not believed
		if err := m.tell(ctx, command); err != nil {
			return false, err
		}
		err := m.refusal(ctx, command)
		if e := (instrumentError{}); !errors.As(err, &e) {
			return true, err
		} else if !e.unknown() {
			return true, nil
		}
	}
	return false, nil
}

// twice is optional, and wants the same answer when it asks again: what would do
// harm for long if it were torn.
func (m *Meter) twice(ctx context.Context, question string) (line string, known bool, err error) {
	line, known, err = m.optional(ctx, question)
	if err != nil || !known {
		return line, known, err
	}
	again, err := m.ask(ctx, question, m.options.Timeout)
	if err == nil && again != line {
		err = m.failed(&textError{fmt.Errorf("it sent %s, then %s", clip(line), clip(again))}, question)
	}
	return line, err == nil, err
}

func (m *Meter) hangUpUnlessSerial() {
	if m.address.Interface != Serial {
		m.hangUp()
	}
}

// sameFunction tells whether an answer to SENS:FUNC? is the function. It is a
// quoted string, long or short, in either case of letters.
func sameFunction(answer string, f Function) bool {
	name := strings.ToUpper(strings.Trim(strings.TrimSpace(answer), `"'`))
	for long, short := range map[string]string{"FRESISTANCE": "FRES", "RESISTANCE": "RES", "VOLTAGE": "VOLT"} {
		name = strings.ReplaceAll(name, long, short)
	}
	return name == string(f) || f == DCVolts && name == "VOLT"
}

// mostErrors is how many entries an error queue is read for.
const mostErrors = 30

// refusal empties the instrument's error queue; its first entry is the error
// of the command.
func (m *Meter) refusal(ctx context.Context, command string) error {
	var first *instrumentError
	for range mostErrors {
		line, err := m.ask(ctx, "SYST:ERR?", m.options.Timeout)
		if err != nil {
			return err
		}
		e, err := parseInstrumentError(line)
		switch {
		case err != nil:
			return m.failed(&textError{err}, "SYST:ERR?")
		case e.code == 0 && first == nil:
			return nil
		case e.code == 0:
			return fault(Refused, *first, "", "%s refuses %s: %v", m.name(), command, *first)
		case first == nil:
			first = &e
		}
	}
	return m.failed(&textError{fmt.Errorf("its error queue has no end")}, "SYST:ERR?")
}

// scpiNumber writes a number as NR3.
func scpiNumber(x float64) string { return strings.ToUpper(strconv.FormatFloat(x, 'e', -1, 64)) }

// savedSetting is one setting as it was, and the command that puts it back.
type savedSetting struct{ name, command string }

// save asks for what a configuration changes, each twice: a torn answer must not
// be put back.
func (m *Meter) save(ctx context.Context, s Setup) error {
	root := "SENS:" + string(s.Function)
	list := []struct{ question, command string }{
		{"SENS:FUNC?", "SENS:FUNC "}, {"TRIG:SOUR?", "TRIG:SOUR "}, {"TRIG:COUN?", "TRIG:COUN "},
		{root + ":RANG?", root + ":RANG "}, {root + ":RANG:AUTO?", root + ":RANG:AUTO "},
		{root + ":NPLC?", root + ":NPLC "},
	}
	if s.Compensate && s.Function != DCVolts {
		list = append(list, struct{ question, command string }{root + ":OCOM?", root + ":OCOM "})
	}
	for _, s := range list {
		if slices.ContainsFunc(m.saved, func(had savedSetting) bool { return had.name == s.question }) {
			continue
		}
		line, known, err := m.twice(ctx, s.question)
		if err != nil {
			return err
		}
		if known {
			m.saved = append(m.saved, savedSetting{s.question, s.command + line})
		}
	}
	return nil
}

// putBack sends every saved setting, the function last.
func (m *Meter) putBack(ctx context.Context) error {
	if len(m.saved) == 0 {
		return nil
	}
	if m.broken || m.d == nil {
		m.active = nil // nothing is to be set up again
		if err := m.recover(ctx); err != nil {
			return err
		}
	}
	for _, s := range restoring(m.saved) {
		if err := m.tell(ctx, s); err != nil {
			return err
		}
	}
	err := m.refusal(ctx, "what it had before")
	m.saved = nil
	return err
}

// restoring gives the commands in an order that holds: a range set turns the
// choice of range off, so that the choice comes after it; the function, which
// some instruments need for its settings to count, comes last.
func restoring(saved []savedSetting) (list []string) {
	function := ""
	for _, s := range saved {
		if s.name == "SENS:FUNC?" {
			function = s.command
			continue
		}
		list = append(list, s.command)
	}
	if function != "" {
		list = append(list, function)
	}
	return list
}
