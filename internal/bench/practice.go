package bench

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
	"ohmward/internal/trial"
)

// practicePairs are the nets of the demo between which practice hides a
// short: its rails, and neighbours in its fine-pitch parts.
var practicePairs = [][2]string{
	{"+3V3", "GND"}, {"+3V3A", "GND"}, {"VSYS", "GND"}, {"VREF", "GND"}, {"VEXC", "GND"}, {"+3V3", "NRST"},
}

// Practice runs a unit of the demo with a hidden short.
func Practice(ctx context.Context, o PracticeOptions) (*answer.Practice, error) {
	a, _, err := searched(ctx, o)
	return a, err
}

func searched(ctx context.Context, o PracticeOptions) (*answer.Practice, *drill, error) {
	d, err := newDrill(ctx, o)
	if err != nil {
		return nil, nil, err
	}
	if o.Listen != "" {
		if d.wired, err = d.connect(ctx); err != nil {
			return nil, nil, err
		}
		defer d.wired.close()
	}
	d.begin()
	a := &answer.Practice{Header: answer.NewHeader(), Seed: o.Seed, Steps: []answer.PracticeStep{}}
	for len(d.Readings) < trial.MostReadings && ctx.Err() == nil {
		done, err := d.step(ctx, a)
		if err != nil {
			return nil, nil, err
		}
		if done {
			break
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	return a, d, d.close(a)
}

// drill is a practice run: the program's own view, and the unit it must not
// look into.
type drill struct {
	*engine.Locator
	options PracticeOptions
	unit    *practice.Unit
	meter   *practice.Meter
	wired   *wired  // the meter on a socket, instead
	null    float64 // ohms of the leads as nulled
	rng     *rand.Rand
	post    *locate.Posterior
	ready   *answer.Location

	advisedSeconds float64 // bench time of the reading that was chosen by advice
}

func newDrill(ctx context.Context, o PracticeOptions) (*drill, error) {
	if o.Fault != "" && !known(o.Fault) {
		return nil, &answer.Error{Kind: answer.Misuse,
			What: fmt.Sprintf("--fault %s: the kinds of place are gap, part, layers and metal", o.Fault)}
	}
	name := o.Meter
	if name == "" {
		name = engine.DefaultMeter
	}
	profile, err := locate.Profile(name)
	if err != nil {
		return nil, &answer.Error{Kind: answer.Misuse, What: err.Error()}
	}
	p, err := open(ctx, cmp.Or(o.Board, engine.DemoName), o.Options)
	if err != nil {
		return nil, err
	}
	q, rng := PracticeOf(o.Seed, o.Fault)
	if o.Nets != nil {
		q = engine.PairOptions{Nets: o.Nets, Rates: suspect.DefaultRates(), Layers: true}
	}
	var unit *practice.Unit
	q.Beside = func(s *engine.Pair) func() error {
		from := s.PracticeBench(o.Fault)
		return func() (err error) {
			unit, err = practice.NewUnit(ctx, from, rng)
			return err
		}
	}
	s, err := p.NewPair(ctx, q)
	if err != nil {
		return nil, answer.AsError(err)
	}
	d := &drill{options: o, Locator: &engine.Locator{Pair: s, MoveCosts: locate.DefaultMoveCosts()}}
	d.Locator.Meter = profile
	d.CopperKnown = s.CopperUncertainty(record.Copper{})
	d.unit = unit
	d.rng = rng
	if o.Listen != "" {
		return d, nil // its leads are nulled over the socket
	}
	d.meter = practice.NewMeter(engine.NoiseOf(profile), rng)
	return d, d.nullLeads()
}

// PracticeOf gives what a unit is about, by its number, and the draw that goes
// on from there.
func PracticeOf(seed uint64, kind string) (engine.PairOptions, *rand.Rand) {
	rng := rand.New(rand.NewPCG(seed, 0x6f686d77617264))
	return practiceQuestion(kind, rng.IntN(len(practicePairs))), rng
}

// practiceQuestion is what a unit is about: one of the pairs of nets, with the
// card socket's shell marked where it can take part. Only the first pair has
// metal to touch.
func practiceQuestion(kind string, n int) engine.PairOptions {
	if kind == suspect.Metal.String() {
		n = 0
	}
	q := engine.PairOptions{Nets: practicePairs[n][:], Rates: suspect.DefaultRates(), Layers: true}
	if n == 0 {
		q.Metal = []engine.Metal{{Part: "J3", Net: "GND"}}
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
		return 0, &answer.Error{Kind: answer.Meter, What: fmt.Sprintf("the meter answered %q to READ?", reply)}
	}
	return v, nil
}

func (d *drill) begin() {
	if d.options.Talk == nil {
		return
	}
	name := d.options.Meter
	if name == "" {
		name = engine.DefaultMeter
	}
	d.options.Talk.Begin(answer.PracticeStart{
		Unit: fmt.Sprintf("unit %d of %s", d.options.Seed, d.boardWords()), Nets: d.Names[:], Meter: name,
		Sites: len(priorPlaces(d.Locator.Pair.Board, d.Sites)), Cautions: beforeProbes,
	})
}

// boardWords names the board that is practised on.
func (d *drill) boardWords() string {
	if d.options.Nets == nil {
		return "the river-level logger"
	}
	return d.Locator.Pair.Layout.Name
}

// step chooses a reading, takes it and weighs the suspects; done is true when
// another reading is not worth its time or the person stops.
func (d *drill) step(ctx context.Context, a *answer.Practice) (done bool, err error) {
	if d.ready == nil {
		if d.ready, d.post, err = Answer(d.Locator); err != nil {
			return true, answer.AsError(err)
		}
	}
	choice, at, stop, err := d.choose()
	if stop || err != nil {
		return true, err
	}
	ohms, err := d.measure(ctx, at)
	if err != nil {
		return true, err
	}
	if err := d.Take(at, ohms, 0, ""); err != nil {
		return true, answer.AsError(err)
	}
	if d.ready, d.post, err = Answer(d.Locator); err != nil {
		return true, answer.AsError(err)
	}
	if d.options.Auto {
		a.Seconds += d.advisedSeconds
	}
	s := answer.PracticeStep{N: len(d.Readings), Kind: choice.Kind, From: choice.From, To: choice.To,
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
func (d *drill) choose() (answer.Choice, engine.Contacts, bool, error) {
	if d.options.Auto {
		if len(d.ready.Next) == 0 {
			return answer.Choice{}, engine.Contacts{}, true, nil
		}
		n := d.ready.Next[0]
		d.advisedSeconds = n.Seconds
		c := answer.Choice{Kind: n.Kind, From: n.From, To: n.To, Current: n.Current, Sense: n.Sense}
		at, err := d.placesOf(c)
		return c, at, false, err
	}
	for {
		c, err := d.options.Talk.Choose(d.ready.Next)
		if err != nil || c.Stop {
			return c, engine.Contacts{}, c.Stop, err
		}
		at, err := d.placesOf(c)
		if err == nil {
			err = d.OnNets(at)
		}
		if err == nil {
			return c, at, false, nil
		}
		d.options.Talk.Refuse(answer.AsError(err))
	}
}

// placesOf finds the places of a choice.
func (d *drill) placesOf(c answer.Choice) (engine.Contacts, error) {
	return d.ContactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
}

// measure sets the tips down and reads.
func (d *drill) measure(ctx context.Context, at engine.Contacts) (float64, error) {
	if d.wired != nil {
		return d.wired.measure(ctx, at)
	}
	at = d.landed(at)
	exact, err := d.unit.Reads(conduct.Reading{
		In: d.Probe(at.In), Out: d.Probe(at.Out), High: d.Probe(at.High), Low: d.Probe(at.Low),
	})
	if err != nil {
		return 0, answer.AsError(err)
	}
	d.meter.Touch(exact, at.FourWire)
	if at.FourWire {
		d.meter.Ask("CONF:FRES")
		return d.ask()
	}
	d.meter.Ask("CONF:RES")
	v, err := d.ask()
	return v - d.null, err
}

// landed moves held tips to where they really land. Two-wire, current and
// volts share a tip.
func (d *drill) landed(at engine.Contacts) engine.Contacts {
	if d.Locator.Meter.PlacementM == 0 {
		return at
	}
	at.High, at.Low = d.landedOn(at.High), d.landedOn(at.Low)
	if !at.FourWire {
		at.In, at.Out = at.High, at.Low
	}
	return at
}

// landedOn moves a tip on its pad; one that would miss the net's copper stays.
func (d *drill) landedOn(spot copper.Spot) copper.Spot {
	if spot.Rim {
		return spot
	}
	sigma := d.Locator.Meter.PlacementM * 1e9
	p := geom.Point{
		X: spot.At.X + int64(sigma*d.rng.NormFloat64()/math.Sqrt2),
		Y: spot.At.Y + int64(sigma*d.rng.NormFloat64()/math.Sqrt2),
	}
	if net, ok := d.Nets.NetAt(spot.Layer, p); ok && net == spot.Net {
		spot.At = p
	}
	return spot
}

// close compares what was found with the truth.
func (d *drill) close(a *answer.Practice) error {
	a.Truth = truthAnswer(d.Locator.Pair.Board, d.unit.Fault, d.unit.Ohms)
	a.Readings = len(d.Readings)
	if d.ready == nil {
		return nil
	}
	a.Best, a.Verdict = d.ready.Best, d.ready.Fit.Verdict
	if a.Best != nil {
		x, y := d.unit.Fault.Mid()
		a.ErrorMM = engine.HypotMM((a.Best.X+a.Best.X2)/2-x, (a.Best.Y+a.Best.Y2)/2-y)
		a.InsideRadius = a.ErrorMM <= a.Best.RadiusMM
	}
	return nil
}

// PracticeOptions set up a unit with a hidden short and a simulated meter.
type PracticeOptions struct {
	engine.Options
	Board string   // "" or engine.DemoName: the demo
	Nets  []string // the two nets; nil: drawn from the demo's
	Seed  uint64   // number of the unit
	Fault string   // "" draws one; else a kind of place
	Auto  bool     // the program chooses every reading
	Meter string   // profile; "" is "bench-6.5-digit"
	Talk  Talk     // nil keeps quiet; needed when not Auto
	// Listen is where a simulated meter listens; readings are then taken over the
	// socket, as from a real one. "": no socket.
	Listen string
}

// Talk is how practice speaks with the person at the bench. Calls come one
// at a time, in order: Begin, then Choose (only when not Auto) and Read in
// turn.
type Talk interface {
	// Begin tells what is on the bench, before the first reading.
	Begin(answer.PracticeStart)
	// Choose asks for the next reading, given the program's own advice,
	// best first. A Choice with Stop ends the readings.
	Choose(advice []answer.Next) (answer.Choice, error)
	// Read tells what the meter said and what the program now thinks.
	Read(answer.PracticeStep)
	// Refuse tells why a choice cannot be read; Choose is asked again.
	Refuse(error)
}
