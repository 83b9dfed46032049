package meter_test

import (
	"context"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"time"

	"ohmward/internal/meter"
	"ohmward/internal/practice"
)

// faulty is a simulated instrument on a bad line: now and then a fault befalls
// an answer. What its tips touch changes all the time, each value only once, so
// that a value that comes too late shows.
type faulty struct {
	serial bool
	rng    *rand.Rand // of the holder of line
	chance float64    // of a fault, at each line
	counts map[string]int
	most   int // faults in all

	line chan struct{} // the device does one thing at a time; no Mutex, which stops the test's clock
	held string        // an answer that is held back behind the next; of the holder of line

	mu      sync.Mutex
	off     time.Time // until when nothing can be opened
	current *port     // the connection that is open
	inst    *practice.Instrument
	wire    *practice.Wire
	history []changed     // of the value
	slept   time.Duration // how long the program's machine was asleep
}

type changed struct {
	at   time.Time
	ohms float64
}

// port is one connection as the program sees it.
type port struct {
	toUs   chan []byte
	lines  chan string
	closed chan struct{}
	once   sync.Once
	rest   []byte
	nap    chan struct{} // the machine falls asleep before the next answer is taken
	f      *faulty
}

func newPort(f *faulty) *port {
	return &port{toUs: make(chan []byte, 1000), lines: make(chan string, 1000), closed: make(chan struct{}),
		nap: make(chan struct{}, 1), f: f}
}

func (p *port) Close() error {
	p.once.Do(func() { close(p.closed) })
	return nil
}

func (p *port) Send(data []byte, _ time.Time) error {
	select {
	case <-p.closed:
		return io.ErrClosedPipe
	case p.lines <- strings.TrimSuffix(string(data), "\n"):
		return nil
	}
}

func (p *port) Receive(data []byte, deadline time.Time) (int, error) {
	if len(p.rest) == 0 {
		late := time.NewTimer(time.Until(deadline))
		defer late.Stop()
		select {
		case <-p.nap:
			time.Sleep(time.Hour)
			p.f.mu.Lock()
			p.f.slept += time.Hour
			p.f.mu.Unlock()
			return 0, meter.ErrTimeout
		case p.rest = <-p.toUs:
		case <-late.C:
			return 0, meter.ErrTimeout
		case <-p.closed:
			return 0, io.EOF
		}
	}
	n := copy(data, p.rest)
	p.rest = p.rest[n:]
	return n, nil
}

func newFaulty(rng *rand.Rand, serial bool, chance float64, most int) *faulty {
	f := &faulty{serial: serial, rng: rng, chance: chance, most: most, counts: map[string]int{},
		line: make(chan struct{}, 1)}
	f.wire = practice.NewWire(func([]string, bool) (float64, float64, error) { // two-wire reads something else
		return 2 * f.history[len(f.history)-1].ohms, f.history[len(f.history)-1].ohms, nil
	}, practice.Noise{}, practice.Effects{Plain: true}, seeded(rng.Uint64()))
	f.change()
	f.boot()
	return f
}

func (f *faulty) boot() { f.inst = practice.NewInstrument(f.wire, practice.InstrumentOptions{}) }

// change gives the tips another value.
func (f *faulty) change() {
	f.history = append(f.history, changed{time.Now(), 0.01 + 1e-5*float64(len(f.history))})
	if f.wire.Touch([]string{"a", "b"}) != nil {
		panic("the wire has places")
	}
}

// had tells whether the value was there at some time in a span.
func (f *faulty) had(ohms float64, from, to time.Time) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	for i, c := range f.history {
		over := i+1 < len(f.history) && f.history[i+1].at.Before(from)
		if !over && !c.at.After(to) && math.Abs(c.ohms-ohms) < 1e-8 {
			return true
		}
	}
	return false
}

// dial opens a connection. A serial port is one and the same: what the device
// still has to say comes on the new one.
func (f *faulty) dial(context.Context, meter.Address) (meter.Transport, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if time.Now().Before(f.off) {
		return nil, errors.New("connection refused")
	}
	was := f.current
	f.current = newPort(f)
	if was != nil && f.serial {
		f.current.lines = was.lines
	}
	if was == nil || !f.serial {
		go f.serve(f.current)
	}
	return f.current, nil
}

// serve answers the lines of one connection, or of the serial port for good.
func (f *faulty) serve(p *port) {
	for {
		select {
		case line := <-p.lines:
			f.line <- struct{}{}
			f.answer(p, line)
			<-f.line
		case <-p.closed:
			if !f.serial {
				return
			}
			time.Sleep(10 * time.Millisecond)
			if p = f.port(); p == nil {
				return
			}
		}
	}
}

// port is the connection that is open; nil at the end.
func (f *faulty) port() *port {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.current
}

// send puts bytes on the line, wherever it now ends.
func (f *faulty) send(p *port, text string) {
	if f.serial {
		if p = f.port(); p == nil {
			return
		}
	}
	select {
	case p.toUs <- []byte(text):
	default: // nobody reads
	}
}

// draw draws what befalls the next line, and changes the value now and then.
func (f *faulty) draw() (kind string, inst *practice.Instrument) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if total(f.counts) < f.most && f.rng.Float64() < f.chance {
		kind = faultKinds[f.rng.IntN(len(faultKinds))]
		f.counts[kind]++
	}
	if f.rng.IntN(4) == 0 {
		f.change()
	}
	return kind, f.inst
}

// answer carries out a line, perhaps with a fault.
func (f *faulty) answer(p *port, line string) {
	kind, inst := f.draw()
	switch kind {
	case "second client":
		inst.Line(context.Background(), intrusions[f.rng.IntN(len(intrusions))])
	case "silence":
		time.Sleep(10 * time.Second)
	case "machine asleep":
		if now := f.port(); now != nil && len(now.nap) == 0 {
			now.nap <- struct{}{}
		}
	}
	answer := inst.Line(context.Background(), line)
	if answer != "" {
		answer += "\n"
	}
	f.deliver(p, kind, answer)
}

// intrusions are what another program sends.
var intrusions = []string{"CONF:VOLT:DC", "CONF:RES", "INIT", "READ?", "FUNC 'RES';:INIT", "ABOR", "*RST",
	"*CLS",
	"MEAS:RES?", "FRES:NPLC 1"}

// faultKinds are what may befall a line.
var faultKinds = []string{"cut in mid-answer", "reboot", "silence", "lost answer", "garbage", "torn number",
	"out of order", "sent twice", "second client", "machine asleep", "noise before"}

func (f *faulty) deliver(p *port, kind, answer string) {
	if f.held != "" && answer != "" {
		answer, f.held = answer+f.held, ""
	}
	switch kind {
	case "cut in mid-answer":
		f.send(p, answer[:len(answer)/2])
		f.cut(p, 0)
		return
	case "reboot":
		f.mu.Lock()
		f.boot()
		f.mu.Unlock()
		f.cut(p, time.Duration(1+f.rng.IntN(20))*time.Second)
		return
	case "lost answer":
		return
	case "garbage":
		answer = spoilt(f.rng, answer, func(*rand.Rand) byte { return byte(f.rng.IntN(256)) })
	case "torn number":
		answer = torn(f.rng, answer)
	case "out of order":
		f.held, answer = answer, ""
	case "sent twice":
		answer += answer
	case "noise before":
		answer = "\x00\xff?" + answer
	}
	if answer != "" {
		f.send(p, answer)
	}
}

// torn changes a digit of a number where it counts, so that it stays a number.
func torn(rng *rand.Rand, text string) string {
	if i := 1 + rng.IntN(7); len(text) > i && text[i] >= '0' && text[i] <= '9' {
		return text[:i] + string("0123456789"[rng.IntN(10)]) + text[i+1:]
	}
	return text
}

// spoilt changes a byte, or drops one.
func spoilt(rng *rand.Rand, text string, with func(*rand.Rand) byte) string {
	if len(text) < 3 {
		return text
	}
	i := rng.IntN(len(text) - 1)
	if rng.IntN(3) == 0 {
		return text[:i] + text[i+1:]
	}
	return text[:i] + string(with(rng)) + text[i+1:]
}

// cut ends the connection; nothing can be opened for a while.
func (f *faulty) cut(p *port, gone time.Duration) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.off = time.Now().Add(gone)
	if f.serial {
		p = f.current
	}
	if p != nil {
		p.Close()
	}
}

// end lets the device's goroutines end.
func (f *faulty) end() {
	defer time.Sleep(time.Minute)
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.current != nil {
		f.current.Close()
		f.current = nil
	}
}
