package bench

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"ohmward/geom"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// practicePairs are the nets of the demo between which practice hides a
// short: its rails, and neighbours in its fine-pitch parts.
var practicePairs = [][2]string{
	{"+3V3", "GND"}, {"+3V3A", "GND"}, {"VSYS", "GND"}, {"VREF", "GND"}, {"VEXC", "GND"}, {"+3V3", "NRST"},
}

// mostReadings ends a search that gets nowhere.
const mostReadings = 14

// Practice runs a unit of the demo with a hidden short.
func Practice(ctx context.Context, o PracticeOptions) (*PracticeAnswer, error) {
	d, err := newDrill(ctx, o)
	if err != nil {
		return nil, err
	}
	d.begin()
	a := &PracticeAnswer{Header: NewHeader(), Seed: o.Seed, Steps: []PracticeStep{}}
	for len(d.readings) < mostReadings && ctx.Err() == nil {
		done, err := d.step(a)
		if err != nil {
			return nil, err
		}
		if done {
			break
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return a, d.close(a)
}

// drill is a practice run: the program's own view, and the unit it must not
// look into.
type drill struct {
	*work
	options PracticeOptions
	unit    *practice.Unit
	meter   *practice.Meter
	null    float64 // ohms of the leads as nulled
	rng     *rand.Rand
	post    *locate.Posterior
	ready   *LocateAnswer
}

func newDrill(ctx context.Context, o PracticeOptions) (*drill, error) {
	if o.Fault != "" && !known(o.Fault) {
		return nil, &Error{Kind: Misuse, What: fmt.Sprintf("--fault %s: the kinds of place are gap, part, layers and metal", o.Fault)}
	}
	name := o.Meter
	if name == "" {
		name = defaultMeter
	}
	profile, err := locate.Profile(name)
	if err != nil {
		return nil, &Error{Kind: Misuse, What: err.Error()}
	}
	p, err := open(ctx, demoName, o.Options)
	if err != nil {
		return nil, err
	}
	q, rng := practiceOf(o.Seed, o.Fault)
	var unit *practice.Unit
	q.beside = func(s *session) func() error {
		from := s.practiceBench(o.Fault)
		return func() (err error) {
			unit, err = practice.NewUnit(ctx, from, rng)
			return err
		}
	}
	s, err := p.newSession(ctx, q)
	if err != nil {
		return nil, err
	}
	d := &drill{options: o, work: &work{session: s, hands: locate.DefaultHands()}}
	d.work.meter = profile
	d.knowledge = s.copperKnown(record.Copper{})
	d.unit = unit
	d.meter, d.rng = practice.NewMeter(noiseOf(profile), rng), rng
	return d, d.nullLeads()
}

// practiceOf gives what a unit is about, by its number, and the draw that goes
// on from there.
func practiceOf(seed uint64, kind string) (question, *rand.Rand) {
	rng := rand.New(rand.NewPCG(seed, 0x6f686d77617264))
	return practiceQuestion(kind, rng.IntN(len(practicePairs))), rng
}

// practiceQuestion is what a unit is about: one of the pairs of nets, with the
// card socket's shell marked where it can take part. Only the first pair has
// metal to touch.
func practiceQuestion(kind string, n int) question {
	if kind == suspect.Metal.String() {
		n = 0
	}
	q := question{nets: practicePairs[n][:], rates: suspect.DefaultRates(), layers: true}
	if n == 0 {
		q.metal = []metalBody{{part: "J3", net: "GND"}}
	}
	return q
}

func known(kind string) bool {
	for _, n := range suspect.Names {
		if n == kind {
			return true
		}
	}
	return false
}

func noiseOf(m locate.Meter) practice.Noise {
	return practice.Noise{TwoWire: m.NoiseOhms, FourWire: m.NoiseFourWireOhms, Fraction: m.ReadingFraction, Null: m.NullOhms, Hand: m.Hand}
}

// practiceBench says what the unit is made from.
func (s *session) practiceBench(kind string) practice.Bench {
	b := practice.Bench{Nets: s.nets, Groups: s.groups, Links: [2][]conduct.Link{s.plainLinks(0), s.plainLinks(1)}, Material: s.material, Kind: kind, Bodies: s.bodies}
	for g := range s.probes {
		for _, p := range s.probes[g] {
			b.Probes = append(b.Probes, conduct.Probe{Group: g, Disc: s.disc(p.Spot)})
		}
	}
	return b
}

// nullLeads reads the leads shorted and keeps the value.
func (d *drill) nullLeads() error {
	d.meter.Short()
	d.meter.Ask("CONF:RES")
	var err error
	d.null, err = d.ask()
	return err
}

// ask takes one reading from the meter.
func (d *drill) ask() (float64, error) {
	reply := d.meter.Ask("READ?")
	v, err := strconv.ParseFloat(reply, 64)
	if err != nil {
		return 0, &Error{Kind: Meter, What: fmt.Sprintf("the meter answered %q to READ?", reply)}
	}
	return v, nil
}

func (d *drill) begin() {
	if d.options.Talk == nil {
		return
	}
	name := d.options.Meter
	if name == "" {
		name = defaultMeter
	}
	d.options.Talk.Begin(PracticeStart{
		Unit: fmt.Sprintf("unit %d of the river-level logger", d.options.Seed), Nets: d.names[:], Meter: name,
		Sites: len(d.priorPlaces(d.sites)), Cautions: beforeProbes,
	})
}

// step chooses a reading, takes it and weighs the suspects; done is true when
// another reading is not worth its time or the person stops.
func (d *drill) step(a *PracticeAnswer) (done bool, err error) {
	if d.ready == nil {
		if d.ready, d.post, err = d.answer(); err != nil {
			return true, bad(err)
		}
	}
	choice, at, stop, err := d.choose()
	if stop || err != nil {
		return true, err
	}
	ohms, err := d.measure(at)
	if err != nil {
		return true, err
	}
	if err := d.take(at, ohms, 0, ""); err != nil {
		return true, bad(err)
	}
	if d.ready, d.post, err = d.answer(); err != nil {
		return true, bad(err)
	}
	s := PracticeStep{N: len(d.readings), Kind: choice.Kind, From: choice.From, To: choice.To,
		Current: choice.Current, Sense: choice.Sense, Ohms: ohms, Best: d.ready.Best}
	a.Steps = append(a.Steps, s)
	if d.options.Talk != nil {
		d.options.Talk.Read(s)
	}
	return d.options.Auto && d.enough(), nil
}

// enough tells whether the search may end: the place is found, or no reading
// on offer tells much.
func (d *drill) enough() bool {
	return d.ready.Enough || len(d.ready.Next) == 0
}

// choose gives the next reading: the program's first advice, or what the
// person says.
func (d *drill) choose() (Choice, contacts, bool, error) {
	if d.options.Auto {
		if len(d.ready.Next) == 0 {
			return Choice{}, contacts{}, true, nil
		}
		n := d.ready.Next[0]
		c := Choice{Kind: n.Kind, From: n.From, To: n.To, Current: n.Current, Sense: n.Sense}
		at, err := d.placesOf(c)
		return c, at, false, err
	}
	for {
		c, err := d.options.Talk.Choose(d.ready.Next)
		if err != nil || c.Stop {
			return c, contacts{}, c.Stop, err
		}
		at, err := d.placesOf(c)
		if err == nil {
			err = d.onNets(at)
		}
		if err == nil {
			return c, at, false, nil
		}
		d.options.Talk.Refuse(bad(err))
	}
}

// placesOf finds the places of a choice.
func (d *drill) placesOf(c Choice) (contacts, error) {
	return d.contactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
}

// measure sets the tips down and reads.
func (d *drill) measure(at contacts) (float64, error) {
	at = d.landed(at)
	exact, err := d.unit.Reads(conduct.Reading{
		In: d.probe(at.in), Out: d.probe(at.out), High: d.probe(at.high), Low: d.probe(at.low),
	})
	if err != nil {
		return 0, bad(err)
	}
	d.meter.Touch(exact, at.fourWire)
	if at.fourWire {
		d.meter.Ask("CONF:FRES")
		return d.ask()
	}
	d.meter.Ask("CONF:RES")
	v, err := d.ask()
	return v - d.null, err
}

// landed moves held tips to where they really land. Two-wire, current and
// volts share a tip.
func (d *drill) landed(at contacts) contacts {
	if d.work.meter.PlacementM == 0 {
		return at
	}
	at.high, at.low = d.landedOn(at.high), d.landedOn(at.low)
	if !at.fourWire {
		at.in, at.out = at.high, at.low
	}
	return at
}

// landedOn moves a tip on its pad; one that would miss the net's copper stays.
func (d *drill) landedOn(spot copper.Spot) copper.Spot {
	if spot.Rim {
		return spot
	}
	sigma := d.work.meter.PlacementM * 1e9
	p := geom.Point{
		X: spot.At.X + int64(sigma*d.rng.NormFloat64()/math.Sqrt2),
		Y: spot.At.Y + int64(sigma*d.rng.NormFloat64()/math.Sqrt2),
	}
	if net, ok := d.nets.NetAt(spot.Layer, p); ok && net == spot.Net {
		spot.At = p
	}
	return spot
}

// close compares what was found with the truth.
func (d *drill) close(a *PracticeAnswer) error {
	a.Truth = d.truthAnswer(d.unit.Fault, d.unit.Ohms)
	a.Readings = len(d.readings)
	if d.ready == nil {
		return nil
	}
	a.Best, a.Verdict = d.ready.Best, d.ready.Fit.Verdict
	if a.Best != nil {
		x, y := d.unit.Fault.Mid()
		a.ErrorMM = hypotMM((a.Best.X+a.Best.X2)/2-x, (a.Best.Y+a.Best.Y2)/2-y)
		a.InsideRadius = a.ErrorMM <= a.Best.RadiusMM
	}
	return nil
}
