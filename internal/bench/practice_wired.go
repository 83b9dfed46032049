package bench

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"strconv"
	"strings"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/meter"
	"ohmward/unit"
)

// wired is the practice meter as a real one is used: read over its socket, three
// steady touches a reading, the leads nulled by the program. A second connection
// is the hands: it tells where the tips go.
type wired struct {
	d       *drill
	m       *meter.Meter
	hands   net.Conn
	answers *bufio.Scanner
	nulling meter.Nulling
	stop    func() // ends the server and waits for it
}

// Set-up of readings over the socket: the lowest range, held, so that the null
// is good for all of them; one period of the mains, as while a person waits.
const (
	wiredRange = 100 * unit.OhmUnit
	wiredNPLC  = 1
	// touchTime is how long a touch may take to be steady.
	touchTime = 30 * time.Second
)

// connect serves the drill's unit and connects to it.
func (d *drill) connect(ctx context.Context) (w *wired, err error) {
	l, err := listenOn(d.options.Listen)
	if err != nil {
		return nil, err
	}
	b := d.serve(l)
	serving, end := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = b.Serve(serving) // what ends it shows in the readings
	}()
	w = &wired{d: d, stop: func() { end(); <-ended }}
	if w.hands, err = net.Dial("tcp", l.Addr().String()); err != nil {
		w.close()
		return nil, answer.AsError(err)
	}
	w.answers = bufio.NewScanner(w.hands)
	if w.m, err = meter.Open(ctx, b.at, meter.Options{}); err != nil {
		w.close()
		return nil, meterError(err)
	}
	if err := w.null(ctx); err != nil {
		w.close()
		return nil, err
	}
	return w, nil
}

func (w *wired) close() {
	if w.m != nil {
		_ = closed(w.m) // the simulated meter ends with it
	}
	if w.hands != nil {
		w.hands.Close()
	}
	w.stop()
}

// hand moves the tips, and waits until they are there.
func (w *wired) hand(ctx context.Context, command string) error {
	if err := w.hands.SetDeadline(time.Now().Add(touchTime)); err != nil {
		return err
	}
	if _, err := fmt.Fprintf(w.hands, "%s;*OPC?;:SYST:ERR?\n", command); err != nil {
		return err
	}
	if !w.answers.Scan() {
		return fmt.Errorf("the practice bench does not answer %s: %v", command, w.answers.Err())
	}
	if got := w.answers.Text(); got != `1;0,"No error"` {
		return fmt.Errorf("the practice bench answers %s with %s", command, strconv.Quote(got))
	}
	return ctx.Err()
}

// null reads the leads while the tips are held together.
func (w *wired) null(ctx context.Context) error {
	t, err := w.touch(ctx, "SIM:PROB:SHOR", meter.Resistance)
	if err != nil {
		return err
	}
	if _, err = w.nulling.Take(*t); err != nil {
		return answer.AsError(err)
	}
	return nil
}

// touch sets the tips down and takes the steady value.
func (w *wired) touch(ctx context.Context, hand string, f meter.Function) (*meter.Touch, error) {
	err := w.m.Configure(ctx, meter.Setup{Function: f, Range: wiredRange, NPLC: wiredNPLC,
		Compensate: f == meter.FourWire})
	if err != nil {
		return nil, meterError(err)
	}
	if err := w.hand(ctx, hand); err != nil {
		return nil, meterError(err)
	}
	soon, end := context.WithTimeout(ctx, touchTime)
	defer end()
	t, err := steadyTouch(soon, w.m, f)
	if err == nil {
		err = w.hand(ctx, "SIM:PROB:LIFT")
	}
	if soon.Err() != nil && ctx.Err() == nil {
		return nil, &answer.Error{Kind: answer.Meter, What: fmt.Sprintf("no steady reading within %v", touchTime)}
	}
	if err != nil {
		return nil, meterError(err)
	}
	return t, nil
}

// measure is one reading: touches until they bring a value.
func (w *wired) measure(ctx context.Context, at engine.Contacts) (float64, error) {
	f, spots := meter.Resistance, []copper.Spot{at.In, at.Out}
	if at.FourWire {
		f, spots = meter.FourWire, []copper.Spot{at.In, at.Out, at.High, at.Low}
	}
	var places []string
	for _, s := range spots {
		places = append(places, strconv.Quote(w.d.nameOf(s)))
	}
	touches := meter.Touches{FourWire: at.FourWire}
	const most = 9
	for touches.Wanted() > 0 && len(touches.List) < most {
		t, err := w.touch(ctx, "SIM:PROB "+strings.Join(places, ","), f)
		if err != nil {
			return 0, err
		}
		if t.Ohms, err = w.nulling.Apply(*t); err != nil {
			return 0, answer.AsError(err)
		}
		touches.Add(*t)
	}
	v, ok := touches.Value()
	if !ok {
		return 0, &answer.Error{Kind: answer.Meter, What: fmt.Sprintf("%d touches, and no two read the same", most)}
	}
	if why := w.nulling.Due(time.Now()); why != "" {
		if err := w.null(ctx); err != nil {
			return 0, err
		}
	}
	return float64(v), nil
}
