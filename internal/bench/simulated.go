package bench

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strconv"
	"sync"
	"time"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/unit"
)

// simulated is a bench without hardware: an invented unit, a meter, and the
// hands that hold the tips.
type simulated struct {
	seed  uint64
	unit  *practice.Unit
	pace  time.Duration // between two samples
	probe func(copper.Spot) conduct.Probe

	mu     sync.Mutex
	meter  *practice.Meter
	rng    *rand.Rand
	gone   bool    // the short is cleared
	sound  float64 // ohms across once it is
	at     *contacts
	downed int // samples since the tips went down
	change int // samples until a rework opens the short; below zero: it does not
}

// newSimulated sets up the bench for a unit and its number.
func newSimulated(s *session, u *practice.Unit, seed uint64, pace time.Duration, rng *rand.Rand) *simulated {
	profile, err := locate.Profile(defaultMeter)
	if err != nil {
		panic("bench: " + err.Error())
	}
	return &simulated{seed: seed, unit: u, pace: pace, probe: s.probe, rng: rng, change: -1,
		meter: practice.NewMeter(noiseOf(profile), rng), sound: 2e4 + 3e4*rng.Float64()}
}

// Identify names the meter.
func (m *simulated) Identify(context.Context) (string, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.meter.Ask("*IDN?"), nil
}

// Null holds the tips together and reads the leads.
func (m *simulated) Null(context.Context) (unit.Resistance, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.at = nil
	m.meter.Short()
	m.meter.Ask("CONF:RES")
	return m.value()
}

// Read takes one value.
func (m *simulated) Read(context.Context) (Sample, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.sample()
}

// Stream reads until ctx ends.
func (m *simulated) Stream(ctx context.Context, each func(Sample)) error {
	tick := time.NewTicker(m.pace)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
			v, err := m.Read(ctx)
			if err != nil {
				return err
			}
			each(v)
		}
	}
}

// down sets the tips on two places, or four.
func (m *simulated) down(at contacts) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.at, m.downed = &at, 0
	return m.touch()
}

// touch is one touch at the places where the tips are.
func (m *simulated) touch() error {
	at := *m.at
	r := conduct.Reading{In: m.probe(at.in), Out: m.probe(at.out), High: m.probe(at.high), Low: m.probe(at.low)}
	exact, err := m.unit.Reads(r)
	if err != nil {
		return bad(err)
	}
	if m.gone && r.High.Group != r.Low.Group {
		exact = m.sound
	}
	m.meter.Touch(exact, at.fourWire)
	if at.fourWire {
		m.meter.Ask("CONF:FRES")
	} else {
		m.meter.Ask("CONF:RES")
	}
	return nil
}

// hold presses the tips together.
func (m *simulated) hold() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.at, m.downed = nil, 0
	m.meter.Ask("CONF:RES")
	m.meter.Short()
}

// lift takes the tips off.
func (m *simulated) lift() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.at = nil
	m.meter.Lift()
}

// How a simulated touch settles, in samples and ohms, and how long a simulated
// rework takes, in samples.
const (
	landing   = 2
	settling  = 5
	bounce    = 0.04
	reworking = 30
)

// sample is one value of the stream: first in the air, then settling.
func (m *simulated) sample() (Sample, error) {
	if m.change >= 0 {
		if m.change--; m.change < 0 {
			m.gone = true
			if m.at != nil {
				if err := m.touch(); err != nil {
					return Sample{}, err
				}
			}
		}
	}
	v, err := m.value()
	s := Sample{Ohms: v, FourWire: m.at != nil && m.at.fourWire}
	switch m.downed++; {
	case m.downed <= landing:
		s.Ohms = unit.Open
	case m.downed <= settling && !s.FourWire:
		s.Ohms += unit.Resistance(bounce * m.rng.Float64())
	}
	return s, err
}

func (m *simulated) value() (unit.Resistance, error) {
	reply := m.meter.Ask("READ?")
	v, err := strconv.ParseFloat(reply, 64)
	if err != nil {
		return 0, &Error{Kind: Meter, What: fmt.Sprintf("the meter answered %q to READ?", reply)}
	}
	if v > openReading {
		return unit.Open, nil
	}
	return unit.Resistance(v), nil
}

// stands brings the unit to what a case records of it.
func (m *simulated) stands(c *record.Case) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.gone = isOpen(c) || isCleared(c)
}

// rework starts the deed; in a while the short opens, or does not. The same
// deed after the same findings always ends alike.
func (m *simulated) rework(c *record.Case, f locate.Finding) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.change = -1
	if m.luck(c) < locate.Clears(f.Done, f.Lies(m.unit.Fault), m.unit.Fault) {
		m.change = reworking
	}
}

// sees tells whether a look shows the short.
func (m *simulated) sees(c *record.Case, f locate.Finding) bool {
	f.Done = "looked"
	return f.Lies(m.unit.Fault) != locate.Apart && m.luck(c) < locate.Clears("looked", f.Lies(m.unit.Fault), m.unit.Fault)
}

// still ends a rework.
func (m *simulated) still() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.change = -1
}

func (m *simulated) luck(c *record.Case) float64 {
	return rand.New(rand.NewPCG(m.seed, uint64(len(c.Findings)+1))).Float64()
}
