package session

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"reflect"
	"strings"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/meter"
	"ohmward/internal/record"
	"ohmward/unit"
)

// wire is what the session knows of the meter on a wire that reads its case.
type wire struct {
	address string
	stop    context.CancelFunc
	ended   chan struct{} // closed once the meter was put back
	lost    string        // why it is not heard; "": it is
	meter   string        // what it says it is; "": not heard yet
	last    meter.Sample
	lift    bool // the tips are to be lifted
}

// setMeter says which meter on a wire reads; an empty address: values are typed.
func setMeter(j *Session, next *record.Case, a answer.Act) (bool, error) {
	if next.Steps.Practice != nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "an invented unit has a meter of its own"}
	}
	if next.Steps.MeterAt = ""; a.Text != "" {
		at, err := meter.ParseAddress(a.Text)
		if err != nil {
			return false, &answer.Error{Kind: answer.Misuse, What: err.Error(),
				Hint: "ohmward meter find lists what is there"}
		}
		next.Steps.MeterAt = at.String()
	}
	j.endWire()
	return true, nil
}

// wireAt is the address of the meter that is to be read now; "": none. One that
// nobody watches is left to other programs.
func (j *Session) wireAt() string {
	if j.c.Steps.Practice != nil || j.holder != "" || !j.c.Steps.Closed.IsZero() || j.ctx.Err() != nil ||
		!j.watched() {
		return ""
	}
	return j.c.Steps.MeterAt
}

// syncWire reads the meter on a wire as long as it is wanted.
func (j *Session) syncWire() {
	at := j.wireAt()
	if j.wire != nil && j.wire.address != at {
		j.endWire()
	}
	if j.wire != nil {
		j.dropOtherTouches()
	}
	if j.wire != nil || at == "" {
		return
	}
	address, err := meter.ParseAddress(at)
	if err != nil {
		j.trouble = answer.TroubleOf(err)
		return
	}
	ctx, stop := context.WithCancel(j.ctx)
	w, before := &wire{address: at, stop: stop, ended: make(chan struct{})}, j.unwired
	j.wire, j.live = w, live{seq: j.live.seq}
	m := Instrument(&wired{at: address, wanted: j.manner})
	go j.background(func() {
		defer close(w.ended)
		if before != nil {
			<-before // one program speaks with a meter only once
		}
		_ = m.Stream(ctx, func(v Sample) { j.sample(ctx, v) }) // why it ends was told as the loss of it
	})
}

// endWire lets go of the meter on a wire, which is put back meanwhile.
func (j *Session) endWire() {
	if j.wire != nil {
		j.wire.stop()
		j.unwired = j.wire.ended
		j.wire, j.live = nil, live{seq: j.live.seq + 1}
	}
}

// awaitWire lets go of the meter and waits until it was put back; so too where it was
// let go of just before.
func (j *Session) awaitWire() {
	j.mu.Lock()
	j.endWire()
	ended := j.unwired
	j.mu.Unlock()
	if ended != nil {
		<-ended
	}
}

// manner is how the meter on a wire is to read now.
func (j *Session) manner() manner {
	j.mu.Lock()
	defer j.mu.Unlock()
	m := manner{setup: meter.Setup{Function: meter.Resistance, Range: wiredRange, NPLC: wiredNPLC}}
	switch j.step() {
	case stepNull:
		m.nulling = true
	case stepSwap:
		if m.stay = len(j.c.Steps.Swap) == swapValues-1; m.stay {
			m.setup.Range = wiredNextRange
		}
	case stepRead:
		if c, ok := j.choice(); ok && c.Kind == "four-wire" {
			m.setup.Function, m.setup.Compensate = meter.FourWire, true
		}
	case stepRework:
		m.setup.Range, m.watching = 0, true
	case stepAcross: // healthy nets read whatever their parts do
		m.setup.Range = 0
	}
	return m
}

// heardWire notes what a meter on a wire sent, and tells whether what is shown
// changed by it.
func (j *Session) heardWire(v Sample) (news bool) {
	w, tells := j.wire, v.Wire
	j.live.seq++
	if tells.Lost != nil {
		was := w.lost
		w.lost, j.live.has = answer.TroubleOf(tells.Lost).What, false
		return was != w.lost
	}
	news = w.lost != "" || w.meter != tells.Meter || w.lift != tells.Lift
	w.lost, w.meter, w.last, w.lift = "", tells.Meter, tells.Raw, tells.Lift
	if s := tells.Raw.State; s != meter.Valid && s != meter.Overload {
		j.live.has = false
		return news
	}
	j.live.now, j.live.has = v, true
	switch {
	case j.busy != "":
	case tells.Touch != nil && j.capturesSteady():
		j.dropOtherTouches()
		j.live.raw = append(j.live.raw, *tells.Touch)
		news = j.capture(tells.Touch.Ohms) || news
	case j.step() == stepRework:
		seen, open := tells.Watch != meter.Waiting, tells.Watch >= meter.SeenOpen
		news = news || seen != j.live.steadySeen || open != j.live.open
		j.live.steadySeen, j.live.open, j.live.mean = seen, open, v.Ohms
	}
	return news
}

// mostWiredTouches is how many touches of a reading are asked for, where none repeat.
const mostWiredTouches = 9

// wantsTouch tells whether the reading under way needs one more touch.
func (j *Session) wantsTouch() bool {
	t := meter.Touches{FourWire: j.live.now.FourWire, List: j.live.raw}
	return t.Wanted() > 0 && len(t.List) < mostWiredTouches
}

// dropOtherTouches forgets touches under way that were of other places.
func (j *Session) dropOtherTouches() {
	at, _ := j.choice()
	if !reflect.DeepEqual(at, j.live.at) || j.step() != j.live.step {
		j.live.at, j.live.step, j.live.touches, j.live.raw = at, j.step(), nil, nil
		j.live.steadySeen, j.live.open = false, false
	}
}

// touchedFor names what a step reads, as a case file has it.
var touchedFor = map[string]string{stepSwap: "swap", stepNull: "null", stepCheck: "check", stepRead: "reading",
	stepLeads: "leads", stepAcross: "across"}

// keepTouches keeps what the meter on a wire sent for the value just taken.
func (j *Session) keepTouches(next *record.Case) {
	if j.wire == nil {
		return
	}
	of, number := touchedFor[j.step()], 0
	switch of {
	case "swap":
		number = len(next.Steps.Swap)
	case "null":
		number = len(next.Nulls)
	case "reading":
		if number = j.retouch; len(next.Readings) > len(j.c.Readings) {
			number = len(next.Readings)
		}
	}
	for _, t := range j.live.raw {
		kept := j.rawTouch(t)
		kept.Of, kept.Number = of, number
		next.Touches = append(next.Touches, kept)
	}
}

// rawTouch is a touch as it is kept.
func (j *Session) rawTouch(t meter.Touch) record.Touch {
	list := t.Samples[max(0, len(t.Samples)-record.MostSamples):]
	last, spread := list[len(list)-1], t.Spread
	kept := record.Touch{Ohms: t.Ohms, Spread: &spread, FourWire: t.FourWire, Meter: j.wire.meter,
		At: list[0].At.UTC().Truncate(time.Second)}
	if last.Range > 0 {
		kept.Range = &last.Range
	}
	if last.NPLC > 0 {
		kept.NPLC = &last.NPLC
	}
	if n := len(j.c.Nulls); n > 0 && !t.FourWire {
		kept.Null = j.c.Nulls[n-1].Ohms
	}
	for _, s := range list {
		ohms := s.Ohms
		if s.State != meter.Valid {
			ohms = unit.Open
		}
		kept.Samples = append(kept.Samples, ohms)
		kept.After = append(kept.After, math.Round(s.At.Sub(list[0].At).Seconds()*1e3)/1e3)
	}
	return kept
}

// dropTouches takes out the touches of reading n, from 0; later ones keep theirs.
func dropTouches(c *record.Case, n int) {
	var left []record.Touch
	for _, t := range c.Touches {
		switch {
		case t.Of != "reading" || t.Number <= n:
		case t.Number == n+1:
			continue
		default:
			t.Number--
		}
		left = append(left, t)
	}
	c.Touches = left
}

// wireOnCard says on a card what the meter on a wire does and wants.
func (j *Session) wireOnCard(c *answer.Card) {
	switch n := len(j.live.touches); {
	case j.wire == nil || j.wire.meter == "" && j.wire.lost == "":
		c.Text = append(c.Text, "The meter is being reached.")
	case j.wire.lost != "":
		c.Tone = "care"
		c.Text = append(c.Text, fmt.Sprintf("The meter is not heard: %s. It is tried again; values can be typed "+
			"meanwhile.", strings.TrimSuffix(j.wire.lost, ".")))
	case n > 0:
		then := "Touch the same places again."
		if j.wire.lift {
			then = "Lift the tips."
		}
		c.Text = append(c.Text, fmt.Sprintf("Touch %d: %s. %s", n,
			j.ohms(j.live.touches[n-1], j.live.now.FourWire), then))
	case j.wire.lift:
		c.Text = append(c.Text, "Lift the tips, then touch: the value is taken by itself.")
	default:
		c.Text = append(c.Text, "The value is taken by itself once it is steady.")
	}
	c.Bar = true
}

// wireView says what the meter on a wire is and how it reads, in small print.
func (j *Session) wireView() answer.MeterView {
	v := answer.MeterView{Kind: "wire", Words: "meter at " + j.c.Steps.MeterAt, Address: j.c.Steps.MeterAt}
	if j.wire == nil {
		return v
	}
	v.Lost = j.wire.lost
	if v.Down = j.live.has && !j.live.now.Ohms.IsOpen(); j.wire.meter == "" {
		return v
	}
	words := []string{j.wire.meter}
	if r := j.wire.last.Range; r > 0 {
		words = append(words, fmt.Sprintf("range %v", r))
	}
	if n := j.wire.last.NPLC; n > 0 {
		words = append(words, fmt.Sprintf("integration %g NPLC", n))
	}
	if n := len(j.c.Nulls); n > 0 && j.c.Nulls[n-1].Ohms != nil {
		null := j.c.Nulls[n-1]
		words = append(words, fmt.Sprintf("null %s, %s old", j.ohms(*null.Ohms, false),
			minutesWords(max(0, j.folder.now().Sub(null.At).Minutes()))))
	}
	if v.Words = strings.Join(words, " · "); v.Lost != "" {
		v.Words += " · not heard"
	}
	return v
}

// findMeters looks once for instruments to offer, where a person reads a real unit.
// What cannot be looked at is no trouble: values can be typed.
func (j *Session) findMeters() {
	j.mu.Lock()
	invented := j.c.Steps.Practice != nil
	j.mu.Unlock()
	if j.folder.find == nil || invented {
		return
	}
	a, err := j.folder.find(j.ctx)
	if err != nil {
		return
	}
	_ = j.locked(func() error { j.found = a.Instruments; return nil })
	j.changed()
}

// mostOffered is how many instruments a card offers.
const mostOffered = 4

// offerMeters offers the instruments found, beside typing by hand: none is needed.
func (j *Session) offerMeters(c *answer.Card) {
	if j.sim != nil || j.c.Steps.Practice != nil || j.c.Steps.MeterAt != "" {
		return
	}
	for _, f := range j.found[:min(len(j.found), mostOffered)] {
		note := f.Kind + ", " + f.Address
		if f.Known {
			note += ", answered before"
		}
		c.Doing = append(c.Doing, answer.Option{Words: "Read with " + cmp.Or(f.Name, f.Address), Note: note,
			Aside: true, Act: answer.Act{Do: "meter", Text: f.Address}})
	}
}
