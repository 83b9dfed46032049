package session

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"sync"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/unit"
)

// simulated is a bench without hardware: an invented unit, a meter, and the
// hands that hold the tips.
type simulated struct {
	seed     uint64
	session  *engine.Pair
	pace     time.Duration  // between two samples
	original *practice.Unit // as it came to the bench

	mu              sync.Mutex
	meter           *practice.Meter
	rng             *rand.Rand
	unit            *practice.Unit // as it now is
	state           unitState
	after           unitState // what the rework under way makes of it
	working         bool      // a rework is under way
	openOhms        float64   // ohms across where the short is gone or cut off
	at              *engine.Contacts
	samplesDown     int // samples since the tips went down
	samplesToChange int // samples until the rework shows; below zero: nothing is to come
}

// unitState is what was done to a unit.
type unitState struct {
	cleared bool     // the short is cleared
	opened  []string // low-ohm parts that are lifted
}

// newSimulated sets up the bench for a unit and its number.
func newSimulated(s *engine.Pair, u *practice.Unit, seed uint64, pace time.Duration,
	rng *rand.Rand) *simulated {
	profile, err := locate.Profile(engine.DefaultMeter)
	if err != nil {
		panic("bench: " + err.Error())
	}
	return &simulated{seed: seed, session: s, original: u, unit: u, pace: pace, rng: rng, samplesToChange: -1,
		meter: practice.NewMeter(engine.NoiseOf(profile), rng), openOhms: 2e4 + 3e4*rng.Float64()}
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

// putDown sets the tips on two places, or four.
func (m *simulated) putDown(at engine.Contacts) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.at, m.samplesDown = &at, 0
	return m.touch()
}

// putDownAgain lifts the tips and sets them down where they were.
func (m *simulated) putDownAgain() error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.samplesDown = 0
	return m.touch()
}

// touch is one touch at the places where the tips are.
func (m *simulated) touch() error {
	at := *m.at
	r := m.session.FourContacts(at)
	exact, err := m.unit.Reads(r)
	across, apart := r.High.Group != r.Low.Group, errors.Is(err, engine.ErrApart)
	switch {
	case across && (m.state.cleared || apart):
		exact = m.openOhms
	case apart: // one net, in two pieces
		m.meter.Lift()
		return nil
	case err != nil:
		return answer.AsError(err)
	}
	m.meter.Touch(exact, at.FourWire)
	if at.FourWire {
		m.meter.Ask("CONF:FRES")
	} else {
		m.meter.Ask("CONF:RES")
	}
	return nil
}

// shortTips presses the tips together.
func (m *simulated) shortTips() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.at, m.samplesDown = nil, 0
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
	if m.samplesToChange >= 0 {
		if m.samplesToChange--; m.samplesToChange < 0 {
			if err := m.setState(m.after); err != nil {
				return Sample{}, err
			}
		}
	}
	v, err := m.value()
	s := Sample{Ohms: v, FourWire: m.at != nil && m.at.FourWire}
	switch m.samplesDown++; {
	case m.samplesDown <= landing:
		s.Ohms = unit.Open
	case m.samplesDown <= settling && !s.FourWire:
		s.Ohms += unit.Resistance(bounce * m.rng.Float64())
	}
	return s, err
}

func (m *simulated) value() (unit.Resistance, error) {
	reply := m.meter.Ask("READ?")
	v, err := strconv.ParseFloat(reply, 64)
	if err != nil {
		return 0, &answer.Error{Kind: answer.Meter, What: fmt.Sprintf("the meter answered %q to READ?", reply)}
	}
	if v > engine.OpenReading {
		return unit.Open, nil
	}
	return unit.Resistance(v), nil
}

// setState makes the unit what its state says; tips that are down feel it.
func (m *simulated) setState(f unitState) error {
	if !slices.Equal(f.opened, m.state.opened) {
		u, err := m.original.Without(f.opened)
		if err != nil {
			return answer.AsError(err)
		}
		m.unit = u
	}
	changed := m.state.cleared != f.cleared || !slices.Equal(f.opened, m.state.opened)
	if m.state = f; changed && m.at != nil {
		return m.touch()
	}
	return nil
}

// restore brings the unit to what a case records of it. That the short was
// seen open is believed only where what was done could open it: a claim does
// not repair a unit.
func (m *simulated) restore(c *record.Case) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.working = m.working && c.Steps.Doing != nil; m.working {
		return nil // what comes of it is not known yet
	}
	f := unitState{opened: m.session.OpenParts(engine.InOrder(c.Findings))}
	for i, done := range c.Findings {
		opened := done.Short == "open" || done.Short == "cleared" || done.Short == "gone"
		f.cleared = f.cleared || opened && m.clears(i,
			findingOf(m.session.Board, record.Doing{Done: done.Done, Part: done.Part, Place: done.Place}))
	}
	return m.setState(f)
}

// clears tells whether an action clears the short, n findings having come before
// it. The same action after as many findings always ends alike.
func (m *simulated) clears(n int, f locate.Finding) bool {
	if f.Done == "split" || f.Done == "looked" {
		return false
	}
	return m.draw(n) < locate.ClearChance(f.Done, f.Relation(m.original.Fault), m.original.Fault)
}

// rework starts an action; in a while it shows in the reading, or does not.
func (m *simulated) rework(c *record.Case, d record.Doing) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.after = unitState{
		cleared: m.state.cleared || m.clears(len(c.Findings), findingOf(m.session.Board, d)),
		opened: m.session.OpenParts(append(engine.InOrder(c.Findings),
			record.Finding{Done: d.Done, Part: d.Part})),
	}
	m.samplesToChange, m.working = reworking, true
}

// sees tells whether a look shows the short.
func (m *simulated) sees(c *record.Case, f locate.Finding) bool {
	lies := f.Relation(m.original.Fault)
	return lies != locate.Untouched && m.draw(len(c.Findings)) < locate.ClearChance("looked", lies,
		m.original.Fault)
}

// endRework ends a rework.
func (m *simulated) endRework() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.samplesToChange, m.working = -1, false
}

func (m *simulated) draw(findings int) float64 {
	return rand.New(rand.NewPCG(m.seed, uint64(findings+1))).Float64()
}
