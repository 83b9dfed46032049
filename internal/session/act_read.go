package session

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/meter"
	"ohmward/internal/record"
	"ohmward/unit"
)

// take takes a value for what the session is at. What a meter streamed has the
// leads still in it; what was typed has been nulled.
func (j *Session) take(next *record.Case, ohms unit.Resistance, streamed bool) error {
	nulledOhms := ohms
	if streamed && !ohms.IsOpen() {
		nulledOhms -= j.leads(next)
	}
	s := next.Steps
	switch j.step() {
	case stepSwap:
		s.Swap = append(s.Swap, ohms)
	case stepNull:
		if ohms.IsOpen() || ohms > 5 {
			return &answer.Error{Kind: answer.Misuse,
				What: fmt.Sprintf("the leads read %s: they do not touch each other", j.ohms(ohms, false)),
				Hint: "press the tips together; leads read well under an ohm"}
		}
		value := ohms
		s.Drifted = false
		next.Nulls = append(next.Nulls, record.Null{After: len(next.Readings), Ohms: &value,
			At: j.folder.now().UTC().Truncate(time.Second)})
	case stepCheck:
		j.checkNull(next, nulledOhms)
	case stepRead, stepRepair:
		return j.addReading(next, []unit.Resistance{nulledOhms}, streamed)
	case stepRework:
		if j.lookUnderWay() {
			return j.checkWhileLooking(next, ohms)
		}
		outcome := "open"
		if isShort(float64(ohms)) {
			outcome = "remains"
		}
		_, err := recordOutcome(j, next, answer.Act{Text: outcome})
		return err
	case stepLeads:
		if nulledOhms >= 1 {
			return &answer.Error{Kind: answer.Misuse,
				What: fmt.Sprintf("the two leads read %s on one net: one of them does not touch", j.ohms(ohms, false)),
				Hint: "clean the tips and the two places, then read again"}
		}
		s.Proof.Leads = &nulledOhms
	case stepAcross:
		s.Proof.Across = &nulledOhms
		judge(next, float64(nulledOhms))
	default:
		return &answer.Error{Kind: answer.Misuse, What: "no value is asked for here"}
	}
	return nil
}

// leads is what a streamed value has too much by the last null: nothing four-wire.
func (j *Session) leads(c *record.Case) unit.Resistance {
	n := len(c.Nulls)
	if at, ok := j.choice(); n == 0 || c.Nulls[n-1].Ohms == nil || ok && at.Kind == "four-wire" {
		return 0
	}
	return *c.Nulls[n-1].Ohms
}

// addReading takes the touches of one reading.
func (j *Session) addReading(next *record.Case, touches []unit.Resistance, streamed bool) error {
	c, ok := j.choice()
	if !ok {
		return &answer.Error{Kind: answer.Misuse, What: "no places are chosen to read at",
			Hint: "tap one on each of the two nets"}
	}
	r := record.Reading{From: c.From, To: c.To, Touches: touches}
	if c.Kind == "four-wire" {
		r = record.Reading{FourWire: true, Current: [2]string{c.Current[0], c.Current[1]},
			Sense: [2]string{c.Sense[0], c.Sense[1]}, Touches: touches}
	}
	r.Settle()
	ohms := r.Ohms
	r.Touches = nil
	if streamed {
		r.Note = "taken when steady"
	}
	if u := j.work.Meter.OneTouch(false); !r.FourWire && float64(ohms) < -4*u {
		return &answer.Error{Kind: answer.Misuse,
			What: fmt.Sprintf("%s is below zero by more than the meter's noise", j.ohms(ohms, r.FourWire)),
			Hint: "null the leads again, then read again"}
	}
	next.Steps.Turn = ""
	if n := j.retouch - 1; n >= 0 && n < len(next.Readings) && !ohms.IsOpen() &&
		!next.Readings[n].Ohms.IsOpen() {
		touchAgain(&next.Readings[n], touches)
		return nil
	}
	if len(touches) > 1 {
		r.Touches = touches
	}
	next.Readings = append(next.Readings, r)
	return nil
}

// touchAgain adds touches to a reading; every touch stays on record.
func touchAgain(r *record.Reading, more []unit.Resistance) {
	touches := slices.Clone(r.Touches)
	if len(touches) == 0 {
		touches = []unit.Resistance{r.Ohms}
	}
	r.Touches, r.Volts, r.Amps, r.Doubtful = append(touches, more...), nil, nil, nil
	r.Settle()
}

// live is what the meter says now.
type live struct {
	stop       context.CancelFunc
	steady     steady
	now        Sample
	has        bool
	seq        int
	touches    []unit.Resistance // of the reading under way
	raw        []meter.Touch     // of a meter on a wire: of the value under way
	at         answer.Choice     // what these are of
	step       string            // and at which step
	mean       unit.Resistance   // the last steady value
	open       bool              // the last steady value was not a short's
	steadySeen bool              // a steady value has been seen
}

// touch sets the simulated tips down where the session asks for them.
func touch(j *Session, _ *record.Case, _ answer.Act) (bool, error) {
	if j.sim == nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "no meter is on this bench", Hint: "type the value"}
	}
	if j.step() == stepNull {
		j.sim.shortTips()
		j.startStream()
		return false, nil
	}
	c, ok := j.choice()
	if !ok {
		return false, &answer.Error{Kind: answer.Misuse, What: "no places are chosen to read at",
			Hint: "tap one on each of the two nets"}
	}
	if j.step() == stepSwap && len(j.c.Steps.Swap) == 1 {
		c.From, c.To = c.To, c.From
	}
	return false, j.putDown(c)
}

func (j *Session) putDown(c answer.Choice) error {
	at, err := j.work.ContactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err == nil {
		err = j.work.OnNets(at)
	}
	if err == nil {
		err = j.sim.putDown(at)
	}
	if err != nil {
		return answer.AsError(err)
	}
	j.startStream()
	return nil
}

func lift(j *Session, _ *record.Case, _ answer.Act) (bool, error) {
	j.liftTips()
	return false, nil
}

// startStream starts the meter's stream.
func (j *Session) startStream() {
	j.stopStream()
	ctx, stop := context.WithCancel(j.ctx)
	j.live = live{stop: stop, seq: j.live.seq}
	m := Instrument(j.sim)
	go j.background(func() {
		if err := m.Stream(ctx, func(v Sample) { j.sample(ctx, v) }); err != nil {
			j.mu.Lock()
			j.trouble = answer.TroubleOf(err)
			j.mu.Unlock()
			j.changed()
		}
	})
}

func (j *Session) stopStream() {
	if j.live.stop != nil {
		j.live.stop()
		j.live.stop, j.live.has = nil, false
		j.live.seq++
	}
	j.live.raw = nil
	if j.wire != nil {
		j.live.touches = nil
	}
}

// liftTips takes the tips off and ends the stream.
func (j *Session) liftTips() {
	if j.sim != nil {
		j.sim.lift()
	}
	j.stopStream()
}

// syncStream keeps the stream as the step needs it: on while reworking, and off
// once a value was taken.
func (j *Session) syncStream() {
	j.syncWire()
	if j.sim == nil || j.busy != "" {
		return
	}
	if j.step() != stepRework {
		if !j.capturesSteady() && j.live.stop != nil {
			j.liftTips()
		}
		return
	}
	if j.live.stop == nil {
		j.sim.rework(j.c, *j.c.Steps.Doing)
		if err := j.putDown(j.acrossChoice(false)); err != nil {
			j.trouble = answer.TroubleOf(err)
		}
	}
}

// capturesSteady tells whether a steady value is taken by itself now.
func (j *Session) capturesSteady() bool {
	switch j.step() {
	case stepSwap, stepNull, stepCheck, stepRead, stepLeads, stepAcross:
		return true
	}
	return false
}

// sample takes one value of the stream; a steady one is taken down.
func (j *Session) sample(ctx context.Context, v Sample) {
	if news := j.heard(ctx, v); news {
		j.changed()
		j.prefetch()
		j.countDown()
		j.saveSnapshot()
	} else {
		j.notify()
	}
}

// heard notes a value of the stream, and tells whether what is shown changed by it.
func (j *Session) heard(ctx context.Context, v Sample) (news bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if ctx.Err() != nil { // taken already
		return false
	}
	if v.Wire != nil {
		return j.heardWire(v)
	}
	j.live.now, j.live.has = v, true
	j.live.seq++
	mean, steady := j.live.steady.add(v)
	switch {
	case !steady:
	case j.capturesSteady():
		news = j.capture(mean)
	default:
		open := !isShort(float64(mean))
		news = !j.live.steadySeen || open != j.live.open
		j.live.steadySeen, j.live.open, j.live.mean = true, open, mean
	}
	return news
}

// capture takes a steady value, where it is one: an open one only for the
// proof, since elsewhere it is tips in the air.
func (j *Session) capture(ohms unit.Resistance) bool {
	if ohms.IsOpen() && j.step() != stepAcross {
		return false
	}
	err, before := j.mayAct(), len(j.c.Readings)
	if err == nil && j.touchOn(ohms) {
		return true
	}
	next := clone(j.c)
	if err == nil {
		err = j.takeSteady(next, ohms)
	}
	if err == nil {
		j.keepTouches(next)
		err = j.save(next, answer.Act{Do: "steady", Text: ohms.String()})
		j.hear(j.live.now.FourWire, taken(next, before, ohms))
	}
	j.trouble = nil
	if err != nil {
		j.trouble = answer.TroubleOf(err)
	}
	j.liftTips()
	j.syncStream()
	return true
}
