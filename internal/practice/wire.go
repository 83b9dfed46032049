package practice

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"time"
)

// Places tells what a perfect meter would read with its tips on two places or
// four (I+, I-, V+, V-), in ohms; infinity where no copper joins them. Two-wire
// is read between the first two. Cleared tells that the short is gone.
type Places func(places []string, cleared bool) (twoWire, fourWire float64, err error)

// Effects are what a wire adds to a unit's ohms, beside the noise of touches.
type Effects struct {
	EMF     float64 // volts between the leads that no current drives
	Drift   float64 // ohms a second, of the leads
	Bounce  float64 // seconds until a touch is firm
	Tail    float64 // seconds in which a tail falls to its e-th part
	TailBy  float64 // share of the value that it begins with
	Plain   bool    // ranges agree without a step
	OpenFor float64 // share of a bounce's samples that are open
}

// UsualEffects are common practice, no source: 3 µV of contact potential,
// leads that warm in the hand, a touch that is firm within a third of a second.
func UsualEffects() Effects {
	return Effects{EMF: 3e-6, Drift: 2e-6, Bounce: 0.35, Tail: 0.25, TailBy: 0.3, OpenFor: 0.3}
}

// Wire is what hangs on the meter's terminals: leads, tips, and the unit that
// they touch. Its places are chosen by Touch, or by the commands SIM:PROBe.
type Wire struct {
	places  Places
	noise   Noise
	effects Effects

	mu      sync.Mutex
	rng     *rand.Rand
	leads   float64
	step    [2][8]float64 // of each range of ohms: share of the value, share of the range
	begun   time.Time
	tips    []string // where they are; nil: lifted or held together
	joined  bool     // held together
	cleared bool     // the short is gone
	landed  time.Time
	two     float64 // ohms between the tips as they touch; infinity: open
	four    float64
}

// NewWire gives leads in the air. Places may be nil where the tips are only
// held together.
func NewWire(places Places, noise Noise, effects Effects, rng *rand.Rand) *Wire {
	w := &Wire{places: places, noise: noise, effects: effects, rng: rng, leads: 0.06 + 0.04*rng.Float64(),
		begun: time.Now(), two: math.Inf(1), four: math.Inf(1)}
	if !effects.Plain {
		for r := range w.step[0] { // as manuals allow: some 30 ppm of the value, 3 ppm of the range
			w.step[0][r], w.step[1][r] = 15e-6*rng.NormFloat64(), 1.5e-6*rng.NormFloat64()
		}
	}
	return w
}

// Touch sets the tips down on two places or four.
func (w *Wire) Touch(places []string) error {
	if w.places == nil {
		return scpiError{-241, "Hardware missing"}
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	two, four, err := w.places(places, w.cleared)
	if err != nil {
		return err
	}
	w.tips, w.joined, w.landed = append([]string{}, places...), false, time.Now()
	w.two, w.four = w.touched(two, false), w.touched(four, true)
	return nil
}

// Clear clears the short, or puts it back; tips that are down feel it.
func (w *Wire) Clear(cleared bool) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.cleared = cleared
	if w.tips == nil {
		return nil
	}
	two, four, err := w.places(w.tips, cleared)
	if err == nil {
		w.two, w.four = w.touched(two, false), w.touched(four, true)
	}
	return err
}

// touched adds the error of one touch, by the law of Meter.Touch.
func (w *Wire) touched(ohms float64, fourWire bool) float64 {
	m := &Meter{noise: w.noise, rng: w.rng}
	if m.Touch(ohms, fourWire); math.IsInf(ohms, 1) {
		return ohms
	}
	return m.touched
}

// Join holds the tips together, as well as a person can.
func (w *Wire) Join() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.tips, w.joined, w.landed = nil, true, time.Now()
	w.two = w.noise.Null * w.rng.NormFloat64()
	w.four = w.noise.FourWire * w.rng.NormFloat64()
}

// Lift takes the tips off.
func (w *Wire) Lift() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.tips, w.joined = nil, false
	w.two, w.four = math.Inf(1), math.Inf(1)
}

// testCurrent is what drives ohms on each range, in amperes (as bench meters
// have it: common practice, no source).
func testCurrent(rng float64) float64 {
	return max(1e-7, 0.1/rng)
}

// read gives what the meter's converter sees at a time: ohms, or volts.
func (w *Wire) read(at time.Time, f function, rng float64, compensated bool) float64 {
	w.mu.Lock()
	defer w.mu.Unlock()
	if f == dcVolts {
		if w.tips == nil && !w.joined {
			return 1e-4 * w.rng.NormFloat64() // open leads pick up something
		}
		return w.effects.EMF + 2e-7*w.rng.NormFloat64()
	}
	ohms, sigma := w.four, w.noise.FourWire
	if f == twoWireOhms {
		ohms, sigma = w.two, w.noise.TwoWire
	}
	if math.IsInf(ohms, 1) {
		return ohms
	}
	held := at.Sub(w.landed).Seconds()
	if held < w.effects.Bounce {
		if w.rng.Float64() < w.effects.OpenFor {
			return math.Inf(1)
		}
		if f == twoWireOhms {
			ohms += 0.3 * w.rng.Float64()
		}
	}
	if w.effects.Tail > 0 {
		ohms *= 1 + w.effects.TailBy*math.Exp(-held/w.effects.Tail)
	}
	if f == twoWireOhms {
		ohms += w.leads + w.effects.Drift*at.Sub(w.begun).Seconds()
	}
	if !compensated {
		ohms += w.effects.EMF / testCurrent(rng)
	}
	for i, r := range ranges[f] {
		if r == rng {
			ohms += w.step[0][i]*ohms + w.step[1][i]*rng
		}
	}
	return ohms + sampling*sigma*w.rng.NormFloat64()
}

// commands are the bench's own: where the tips go.
//
//	SIM:PROBe C9.1,C9.2             two tips down, or four: I+,I-,V+,V-
//	SIM:PROBe "L1@12.30,45.60",C9.2 a place with a comma in quotes
//	SIM:PROBe:SHORt                 tips held together
//	SIM:PROBe:LIFT                  tips in the air
//	SIM:PROBe?                      where they are: LIFT, SHOR or the places
//	SIM:SHORt OFF                   the short is cleared; ON puts it back
//	SIM:SHORt?                      1 or 0
func (w *Wire) commands() []command {
	return []command{
		{words: pattern("SIMulation:PROBe"), run: func(_ context.Context, p []string) error {
			return w.touchNamed(p)
		}, ask: func(_ context.Context, p []string) (string, error) {
			return w.where(), none(p)
		}},
		{words: pattern("SIMulation:PROBe:SHORt"), run: func(_ context.Context, p []string) error {
			w.Join()
			return none(p)
		}},
		{words: pattern("SIMulation:PROBe:LIFT"), run: func(_ context.Context, p []string) error {
			w.Lift()
			return none(p)
		}},
		{words: pattern("SIMulation:SHORt"), run: func(_ context.Context, p []string) error {
			on, err := boolean(p)
			if err == nil {
				err = w.Clear(!on)
			}
			return err
		}, ask: func(_ context.Context, p []string) (string, error) {
			w.mu.Lock()
			defer w.mu.Unlock()
			return onOff(!w.cleared), none(p)
		}},
	}
}

func (w *Wire) touchNamed(params []string) error {
	var places []string
	for _, p := range params {
		places = append(places, unquoted(p))
	}
	switch {
	case len(places) < 2:
		return errMissing
	case len(places) != 2 && len(places) != 4:
		return errNotAllowed
	}
	return w.Touch(places)
}

// where says what the tips touch.
func (w *Wire) where() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	switch {
	case w.joined:
		return "SHOR"
	case w.tips == nil:
		return "LIFT"
	}
	var quoted []string
	for _, t := range w.tips {
		quoted = append(quoted, `"`+t+`"`)
	}
	return strings.Join(quoted, ",")
}
