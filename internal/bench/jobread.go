package bench

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ohmward/internal/copper"
	"ohmward/internal/record"
	"ohmward/unit"
)

// take takes a value for what the job is at. What a meter streamed has the
// leads still in it; what was typed has been nulled.
func (j *Job) take(next *record.Case, ohms unit.Resistance, streamed bool) error {
	nulledOhms := ohms
	if n := len(next.Nulls); streamed && n > 0 && next.Nulls[n-1].Ohms != nil && !ohms.IsOpen() {
		nulledOhms -= *next.Nulls[n-1].Ohms
	}
	s := next.Steps
	switch j.step() {
	case stepSwap:
		s.Swap = append(s.Swap, ohms)
	case stepNull:
		if ohms.IsOpen() || ohms > 5 {
			return &Error{Kind: Misuse, What: fmt.Sprintf("the leads read %v: they do not touch each other", ohms), Hint: "press both tips on the shorting bar; leads read well under an ohm"}
		}
		value := ohms
		s.Drifted = false
		next.Nulls = append(next.Nulls, record.Null{After: len(next.Readings), Ohms: &value, At: j.shelf.now().UTC().Truncate(time.Second)})
	case stepCheck:
		j.checkNull(next, nulledOhms)
	case stepRead, stepMend:
		return j.addReading(next, nulledOhms, streamed)
	case stepRework:
		outcome := "open"
		if isShort(float64(ohms)) {
			outcome = "remains"
		}
		_, err := tellOutcome(j, next, Act{Text: outcome})
		return err
	case stepLeads:
		if nulledOhms >= 1 {
			return &Error{Kind: Misuse, What: fmt.Sprintf("the two leads read %v on one net: one of them does not touch", ohms), Hint: "clean the tips and the two places, then read again"}
		}
		s.Proof.Leads = &nulledOhms
	case stepAcross:
		s.Proof.Across = &nulledOhms
		judge(next, float64(nulledOhms))
	default:
		return &Error{Kind: Misuse, What: "no value is asked for here"}
	}
	return nil
}

func (j *Job) addReading(next *record.Case, ohms unit.Resistance, streamed bool) error {
	c, ok := j.choice()
	if !ok {
		return &Error{Kind: Misuse, What: "no places are chosen to read at", Hint: "tap one on each of the two nets"}
	}
	r := record.Reading{From: c.From, To: c.To, Ohms: ohms}
	if c.Kind == "four-wire" {
		r = record.Reading{FourWire: true, Current: [2]string{c.Current[0], c.Current[1]}, Sense: [2]string{c.Sense[0], c.Sense[1]}, Ohms: ohms}
	}
	if streamed {
		r.Note = "taken when steady"
	}
	if u := j.work.meter.NoiseOhms; !r.FourWire && float64(ohms) < -4*u {
		return &Error{Kind: Misuse, What: fmt.Sprintf("%v is below zero by more than the meter's noise", ohms), Hint: "null the leads again, then read again"}
	}
	next.Steps.Turn = ""
	if n := j.retouch - 1; n >= 0 && n < len(next.Readings) && !ohms.IsOpen() && !next.Readings[n].Ohms.IsOpen() {
		touchAgain(&next.Readings[n], ohms)
		next.Steps.Retouched = n + 1
		return nil
	}
	next.Readings = append(next.Readings, r)
	return nil
}

// touchAgain adds one more touch to a reading; every touch is kept.
func touchAgain(r *record.Reading, ohms unit.Resistance) {
	touches := slices.Clone(r.Touches)
	if len(touches) == 0 {
		touches = []unit.Resistance{r.Ohms}
	}
	r.Touches, r.Volts, r.Amps, r.Doubtful = append(touches, ohms), nil, nil, nil
	r.Ohms = record.Believed(r.Touches)
}

func choiceOf(n Next) Choice {
	return Choice{Kind: n.Kind, From: n.From, To: n.To, Current: n.Current, Sense: n.Sense}
}

// choice is the pair of places that the job is at.
func (j *Job) choice() (Choice, bool) {
	if j.session == nil || j.answer == nil {
		return Choice{}, false
	}
	switch j.step() {
	case stepSwap:
		return j.acrossChoice(true), true
	case stepAcross, stepRework, stepCool:
		return j.acrossChoice(false), true
	case stepLeads:
		return j.leadsChoice()
	case stepCheck:
		r := j.c.Readings[j.fixed()]
		return Choice{Kind: "two-wire", From: r.From, To: r.To}, true
	}
	if j.aim != nil {
		return *j.aim, true
	}
	if len(j.answer.Next) > 0 {
		return choiceOf(j.answer.Next[0]), true
	}
	return Choice{}, false
}

// acrossChoice is two places across the nets: the advised ones first, or
// those of the last reading.
func (j *Job) acrossChoice(fresh bool) Choice {
	for i := len(j.c.Readings) - 1; i >= j.sinceOpened() && !fresh; i-- {
		if r := j.c.Readings[i]; !r.FourWire && r.Unit == "" {
			return Choice{Kind: "two-wire", From: r.From, To: r.To}
		}
	}
	for _, n := range j.answer.Next {
		if n.Kind == "two-wire" {
			return choiceOf(n)
		}
	}
	from, to := j.session.anyPlaces()
	return Choice{Kind: "two-wire", From: from, To: to}
}

// sinceOpened is the number of the first reading after the last part was
// opened: places touched before it may be cut off from the short.
func (j *Job) sinceOpened() int {
	from := 0
	for _, f := range j.c.Findings {
		if slices.Contains(openers, f.Done) && j.session.isTie(f.Part) {
			from = max(from, f.After)
		}
	}
	return from
}

// anyPlaces gives the widest place of each net.
func (s *session) anyPlaces() (from, to string) {
	out := [2]string{}
	for g := range out {
		if len(s.probes[g]) > 0 {
			out[g] = s.placeText(s.probes[g][0].Spot)
		}
	}
	return out[0], out[1]
}

// leadsChoice is two places on one net, to show that both leads touch: that
// of the last reading, and the nearest other on the same face.
func (j *Job) leadsChoice() (Choice, bool) {
	last := j.acrossChoice(false)
	for g, text := range []string{last.From, last.To} {
		spot, err := j.session.resolve(text)
		if err != nil {
			continue
		}
		if other, ok := j.session.nearestPlace(g, spot); ok {
			return Choice{Kind: "two-wire", From: text, To: j.session.placeText(other)}, true
		}
	}
	return Choice{}, false
}

// nearestPlace gives the place on a group nearest to a spot, but not the spot
// itself.
func (s *session) nearestPlace(g int, spot copper.Spot) (copper.Spot, bool) {
	const apart = 0.8 // millimetres: two tips need some room
	best, found := copper.Spot{}, false
	for _, p := range s.probes[g] {
		d := distanceMM(p.At, spot.At)
		if d >= apart && p.Net == spot.Net && p.Sides[s.faceOf(spot)] && (!found || d < distanceMM(best.At, spot.At)) {
			best, found = p.Spot, true
		}
	}
	return best, found
}

// live is what the meter says now.
type live struct {
	stop   context.CancelFunc
	steady steady
	now    Sample
	has    bool
	seq    int
	open   bool // the last steady value was no short's
	told   bool // a steady value has been seen
}

// touch sets the simulated tips down where the job asks for them.
func touch(j *Job, _ *record.Case, _ Act) (bool, error) {
	if j.sim == nil {
		return false, &Error{Kind: Misuse, What: "no meter is on this bench", Hint: "type the value"}
	}
	if j.step() == stepNull {
		j.sim.hold()
		j.run()
		return false, nil
	}
	c, ok := j.choice()
	if !ok {
		return false, &Error{Kind: Misuse, What: "no places are chosen to read at", Hint: "tap one on each of the two nets"}
	}
	if j.step() == stepSwap && len(j.c.Steps.Swap) == 1 {
		c.From, c.To = c.To, c.From
	}
	return false, j.putDown(c)
}

func (j *Job) putDown(c Choice) error {
	at, err := j.work.contactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err == nil {
		err = j.work.onNets(at)
	}
	if err == nil {
		err = j.sim.down(at)
	}
	if err != nil {
		return bad(err)
	}
	j.run()
	return nil
}

func lift(j *Job, _ *record.Case, _ Act) (bool, error) {
	j.quiet()
	return false, nil
}

// run starts the meter's stream.
func (j *Job) run() {
	j.quietStream()
	ctx, stop := context.WithCancel(j.ctx)
	j.live = live{stop: stop, seq: j.live.seq}
	m := Instrument(j.sim)
	go func() {
		if err := m.Stream(ctx, func(v Sample) { j.sample(ctx, v) }); err != nil {
			j.mu.Lock()
			j.trouble = TroubleOf(err)
			j.mu.Unlock()
			j.changed()
		}
	}()
}

func (j *Job) quietStream() {
	if j.live.stop != nil {
		j.live.stop()
		j.live.stop, j.live.has = nil, false
		j.live.seq++
	}
}

// quiet takes the tips off and ends the stream.
func (j *Job) quiet() {
	if j.sim != nil {
		j.sim.lift()
	}
	j.quietStream()
}

// listen keeps the stream as the step needs it: on while reworking, and off
// once a value was taken.
func (j *Job) listen() {
	if j.sim == nil || j.busy != "" {
		return
	}
	if j.step() != stepRework {
		if !j.takes() && j.live.stop != nil {
			j.quiet()
		}
		return
	}
	if j.live.stop == nil {
		j.sim.rework(j.c, *j.c.Steps.Doing)
		if err := j.putDown(j.acrossChoice(false)); err != nil {
			j.trouble = TroubleOf(err)
		}
	}
}

// takes tells whether a steady value is taken by itself now.
func (j *Job) takes() bool {
	switch j.step() {
	case stepSwap, stepNull, stepCheck, stepRead, stepLeads, stepAcross:
		return true
	}
	return false
}

// sample takes one value of the stream; a steady one is taken down.
func (j *Job) sample(ctx context.Context, v Sample) {
	j.mu.Lock()
	if ctx.Err() != nil { // taken already
		j.mu.Unlock()
		return
	}
	j.live.now, j.live.has = v, true
	j.live.seq++
	mean, steady := j.live.steady.add(v)
	news := false
	switch {
	case !steady:
	case j.takes():
		news = j.capture(mean)
	default:
		open := !isShort(float64(mean))
		news = !j.live.told || open != j.live.open
		j.live.told, j.live.open = true, open
	}
	j.mu.Unlock()
	if news {
		j.changed()
		j.foresee()
		j.keepShown()
	} else {
		j.tell()
	}
}

// capture takes a steady value, where it is one: an open one only for the
// proof, since elsewhere it is tips in the air.
func (j *Job) capture(ohms unit.Resistance) bool {
	if ohms.IsOpen() && j.step() != stepAcross {
		return false
	}
	next := clone(j.c)
	err := j.take(next, ohms, true)
	if err == nil {
		err = j.keep(next)
	}
	j.trouble = nil
	if err != nil {
		j.trouble = TroubleOf(err)
	}
	j.quiet()
	j.listen()
	return true
}
