package bench

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"net"
	"sync"

	"ohmward/internal/answer"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/meter"
	"ohmward/internal/practice"
)

// PracticeBench is a unit with a hidden short behind a simulated meter on a
// socket.
type PracticeBench struct {
	Answer     *answer.PracticeServed
	at         meter.Address
	instrument *practice.Instrument
	listener   net.Listener
}

// ServePractice makes a unit and listens for whoever speaks SCPI; Serve
// answers.
func ServePractice(ctx context.Context, o PracticeOptions, listen string) (*PracticeBench, error) {
	l, err := listenOn(listen)
	if err != nil {
		return nil, err
	}
	o.Listen = listen
	d, err := newDrill(ctx, o)
	if err != nil {
		l.Close()
		return nil, err
	}
	return d.serve(l), nil
}

// listenOn takes the address before the unit is made, which takes longer.
func listenOn(listen string) (net.Listener, error) {
	l, err := net.Listen("tcp", listen)
	if err != nil {
		return nil, &answer.Error{Kind: answer.Bad,
			What: fmt.Sprintf("the practice meter cannot listen on %s: %v", listen, err),
			Hint: "--serve 127.0.0.1:0 takes a free port", Cause: err}
	}
	return l, nil
}

// serve puts the drill's unit behind a meter.
func (d *drill) serve(l net.Listener) *PracticeBench {
	at := l.Addr().(*net.TCPAddr)
	b := &PracticeBench{listener: l,
		at: meter.Address{Interface: meter.Socket, Host: at.IP.String(), Port: uint16(at.Port)}}
	wire := practice.NewWire(d.places(), engine.NoiseOf(d.Locator.Meter), practice.UsualEffects(), d.rng)
	b.instrument = practice.NewInstrument(wire, practice.InstrumentOptions{Serial: fmt.Sprint(d.options.Seed)})
	b.Answer = &answer.PracticeServed{Header: answer.NewHeader(), Address: b.at.String(), Seed: d.options.Seed,
		Unit: fmt.Sprintf("unit %d of %s", d.options.Seed, d.boardWords()), Nets: d.Names[:],
		Meter: cmp.Or(d.options.Meter, engine.DefaultMeter), Places: d.firstPlaces()}
	return b
}

// firstPlaces are a place on either net.
func (d *drill) firstPlaces() []string {
	names := []string{}
	for _, probes := range d.Probes {
		if len(probes) > 0 {
			names = append(names, d.nameOf(probes[0].Spot))
		}
	}
	return names
}

// nameOf writes a spot so that it is found again: by its pin where that is all
// there is to it.
func (d *drill) nameOf(s copper.Spot) string {
	if at, err := d.Resolve(s.Pin); err == nil && at.Layer == s.Layer && at.At == s.At {
		return s.Pin
	}
	return copper.Place{Layer: s.Layer, At: s.At}.String()
}

// Serve answers until ctx ends, which is no error.
func (b *PracticeBench) Serve(ctx context.Context) error { return b.instrument.Serve(ctx, b.listener) }

// healthyOhms is what parts read across two nets that are no longer shorted
// (common practice, no source).
const healthyOhms = 23.7e3

// places gives what a perfect meter reads, for tips that several clients may
// move at once.
func (d *drill) places() practice.Places {
	var one sync.Mutex
	return func(places []string, cleared bool) (twoWire, fourWire float64, err error) {
		one.Lock()
		defer one.Unlock()
		at, err := d.ContactsNamed(false, places[0], places[1], nil, nil)
		if err != nil {
			return 0, 0, err
		}
		if twoWire, err = d.perfect(at, cleared); err != nil || len(places) == 2 {
			return twoWire, twoWire, err
		}
		if at, err = d.ContactsNamed(true, "", "", places[:2], places[2:]); err != nil {
			return 0, 0, err
		}
		fourWire, err = d.perfect(at, cleared)
		return twoWire, fourWire, err
	}
}

// perfect is what a perfect meter reads on the unit as it now is.
func (d *drill) perfect(at engine.Contacts, cleared bool) (float64, error) {
	if err := d.OnNets(at); err != nil {
		return 0, err
	}
	at = d.landed(at)
	r := conduct.Reading{In: d.Probe(at.In), Out: d.Probe(at.Out), High: d.Probe(at.High), Low: d.Probe(at.Low)}
	exact, err := d.unit.Reads(r)
	across := r.High.Group != r.Low.Group
	switch {
	case errors.Is(err, engine.ErrApart) && !across:
		return math.Inf(1), nil
	case cleared && across, errors.Is(err, engine.ErrApart):
		return healthyOhms, nil
	}
	return exact, err
}
