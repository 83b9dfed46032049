package practice

import (
	"context"
	"math"
	"strings"
	"time"
)

// measureCommands are those that set up and measure.
func (i *Instrument) measureCommands() (list []command) {
	list = []command{
		{words: pattern("INITiate[:IMMediate]"), run: func(_ context.Context, p []string) error {
			if err := none(p); err != nil {
				return err
			}
			i.mu.Lock()
			defer i.mu.Unlock()
			return i.initiate()
		}},
		{words: pattern("*TRG"), run: func(_ context.Context, p []string) error {
			if err := none(p); err != nil {
				return err
			}
			return i.trigger()
		}},
		{words: pattern("ABORt"), run: func(_ context.Context, p []string) error {
			i.mu.Lock()
			defer i.mu.Unlock()
			i.abort()
			return none(p)
		}},
		{words: pattern("FETCh"), ask: i.fetch},
		{words: pattern("READ"), ask: func(ctx context.Context, p []string) (string, error) {
			if err := i.start(); err != nil {
				return "", err
			}
			return i.fetch(ctx, p)
		}},
		{words: pattern("CONFigure"), ask: i.configured},
	}
	for f := range functions {
		list = append(list,
			command{words: pattern("CONFigure:" + functionWords[f]),
				run: func(_ context.Context, p []string) error { return i.configure(f, p) }},
			command{words: pattern("MEASure:" + functionWords[f]),
				ask: func(ctx context.Context, p []string) (string, error) {
					if err := i.configure(f, p); err != nil {
						return "", err
					}
					if err := i.start(); err != nil {
						return "", err
					}
					return i.fetch(ctx, nil)
				}})
	}
	return list
}

// configure presets a function: [range[,resolution]], either DEF or left out;
// AUTO for the range.
func (i *Instrument) configure(f function, params []string) error {
	if len(params) > 2 {
		return errNotAllowed
	}
	all := ranges[f]
	auto, rng := true, all[0]
	if len(params) > 0 && !isDefault(params[0]) {
		x, err := number(params[0], 0, all[len(all)-1]*overRange, all[0])
		if err != nil {
			return err
		}
		auto, rng = false, rangeFor(f, x)
	}
	if len(params) > 1 && !isDefault(params[1]) {
		if _, err := number(params[1], 0, math.Inf(1), 0); err != nil {
			return err
		}
	}
	i.mu.Lock()
	defer i.mu.Unlock()
	i.abort()
	i.running = nil
	s := preset()
	for other := range functions { // the settings of other functions stay
		if other != f {
			s.auto[other], s.fixed[other] = i.setup.auto[other], i.setup.fixed[other]
			s.nplc[other], s.offset[other] = i.setup.nplc[other], i.setup.offset[other]
		}
	}
	s.function, s.auto[f], s.fixed[f] = f, auto, rng
	i.setup = s
	return nil
}

func isDefault(text string) bool {
	t := strings.ToUpper(text)
	return t == "DEF" || t == "DEFAULT" || t == "AUTO"
}

// configured answers CONF?: function, range and resolution, in quotes.
func (i *Instrument) configured(_ context.Context, p []string) (string, error) {
	if err := none(p); err != nil {
		return "", err
	}
	i.mu.Lock()
	defer i.mu.Unlock()
	f := i.setup.function
	return `"` + functionNames[f] + " " + nr3(i.setup.fixed[f]) + "," + nr3(i.setup.fixed[f]*1e-6) + `"`, nil
}

// start is INIT before an answer is wanted: with a trigger that only a command
// can bring, the two would wait for each other.
func (i *Instrument) start() error {
	i.mu.Lock()
	defer i.mu.Unlock()
	if i.setup.source != "IMM" {
		return errDeadlock
	}
	return i.initiate()
}

// initiate begins a measurement, or arms it for a trigger.
func (i *Instrument) initiate() error {
	if m := i.running; m != nil {
		select {
		case <-m.done:
		default:
			return errIgnored
		}
	}
	m := &measurement{done: make(chan struct{})}
	i.running = m
	if m.waits = i.setup.source != "IMM"; !m.waits {
		i.integrate(m, i.setup, i.setup.samples)
	}
	return nil
}

func (i *Instrument) trigger() error {
	i.mu.Lock()
	defer i.mu.Unlock()
	m := i.running
	if m == nil || !m.waits {
		return scpiError{-211, "Trigger ignored"}
	}
	m.waits = false
	i.integrate(m, i.setup, i.setup.samples)
	return nil
}

// mains is the period of the mains, which integration is counted in.
const mains = 20 * time.Millisecond

// integrate lets the time of one sample pass, takes it, and goes on to the next.
// Offset compensation measures twice.
func (i *Instrument) integrate(m *measurement, s setup, left int) {
	f := s.function
	takes := time.Duration(float64(mains) * s.nplc[f] * i.fast)
	if s.offset[f] {
		takes *= 2
	}
	m.timer = time.AfterFunc(takes, func() {
		i.mu.Lock()
		defer i.mu.Unlock()
		if m.aborted {
			return
		}
		x, moved := i.take(s)
		if moved { // the range moves: what was integrated is of no use
			s.fixed[f] = i.setup.fixed[f]
			i.integrate(m, s, left)
			return
		}
		if m.values = append(m.values, x); left > 1 {
			i.integrate(m, s, left-1)
			return
		}
		i.finish(m)
	})
}

func (i *Instrument) finish(m *measurement) {
	close(m.done)
	if i.status.announce == m {
		i.status.esr |= esrComplete
		i.status.announce = nil
	}
}

// abort ends what is under way without a value.
func (i *Instrument) abort() {
	m := i.running
	if m == nil {
		return
	}
	select {
	case <-m.done:
		return
	default:
	}
	m.aborted = true
	if m.timer != nil {
		m.timer.Stop()
	}
	m.values = nil
	i.status.announce = nil
	close(m.done)
}

// take reads the wire on the present range; moved tells that the instrument,
// choosing for itself, took another range instead.
func (i *Instrument) take(s setup) (value float64, moved bool) {
	f := s.function
	rng := s.fixed[f]
	x := i.wire.read(time.Now(), f, rng, s.offset[f])
	size := math.Abs(x)
	if !s.auto[f] {
		return shown(x, rng), false
	}
	best := rangeFor(f, size)
	top := ranges[f][len(ranges[f])-1]
	switch {
	case math.IsNaN(x), math.IsInf(x, 0):
		best = top
	case size <= rng*overRange && size >= rng*0.09:
		best = rng // up at 120 %, down at 9 %: no hunting between two
	}
	if best == rng {
		return shown(x, rng), false
	}
	i.setup.fixed[f] = best
	return 0, true
}

// shown is what is sent: overload beyond the range, to either side.
func shown(x, rng float64) float64 {
	switch {
	case math.IsNaN(x), x > rng*overRange:
		return overload
	case x < -rng*overRange:
		return -overload
	}
	return x
}

// fetch waits for the measurement under way and gives its values, as often as
// it is asked.
func (i *Instrument) fetch(ctx context.Context, p []string) (string, error) {
	if err := none(p); err != nil {
		return "", err
	}
	i.mu.Lock()
	m := i.running
	i.mu.Unlock()
	if m == nil {
		return "", errStale
	}
	select {
	case <-m.done:
	case <-ctx.Done():
		return "", ctx.Err()
	}
	var texts []string
	for _, x := range m.values {
		texts = append(texts, nr3(x))
	}
	if texts == nil {
		return "", errStale
	}
	return strings.Join(texts, ","), nil
}
