package meter_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"ohmward/internal/check"
	"ohmward/internal/meter"
	"ohmward/unit"
)

func seeded(n uint64) *rand.Rand { return rand.New(rand.NewPCG(n, 15)) }

func quiet(float64) float64 { return 0 }

// closing is a tail that begins with a share and falls to its e-th part in tau.
func closing(share, tau float64) func(float64) float64 {
	return func(t float64) float64 { return share * math.Exp(-t/tau) }
}

// probing is a minute or so of touches on a short, and of what goes wrong.
func probing(rng *rand.Rand) *scene {
	s := newScene(rng)
	ohms := s.decades(2e-3, 0.8) + 0.08
	s.net = func(float64) float64 { return ohms }
	for s.t < 60 {
		s.air(s.between(0.5, 3))
		for s.rng.IntN(3) == 0 {
			s.trouble()
			s.air(s.between(0.5, 2))
		}
		s.bounce(s.between(0, 0.4))
		tail, settles := quiet, 0.0
		if s.rng.IntN(3) == 0 {
			tau := s.decades(0.05, 0.4)
			tail, settles = closing(s.between(-0.5, 0.5), tau), 10*tau
		}
		s.firm(s.enough()+settles+s.between(0, 3), 2e-3*math.Abs(s.rng.NormFloat64()), tail)
		if s.rng.IntN(3) == 0 {
			s.slip(s.between(0.3, 4))
		}
	}
	return s
}

// simulatedMinutes is how long is tried: 30,000 minutes where all is asked for,
// which takes a quarter of an hour.
func simulatedMinutes(t *testing.T) int {
	if check.All() {
		return 30_000
	}
	return check.Draws(t, 200, 1500, 3000)
}

// TestCapture: every firm touch gives its value in time, once; nothing else
// gives one, but for a slip so slow that it cannot be told from a touch, and
// that never as an open.
func TestCapture(t *testing.T) {
	minutes := simulatedMinutes(t)
	touches, slips := 0, 0
	for n := range minutes {
		s := probing(seeded(uint64(n)))
		c := meter.NewCapture(meter.UsualNoise())
		var taken []*meter.Touch
		for _, sample := range s.samples {
			if step := c.Add(sample); step.Taken != nil {
				taken = append(taken, step.Taken)
			}
		}
		touches += len(taken)
		for _, seg := range s.segments {
			if seg.kind == "firm" {
				checkFirm(t, n, s, seg, taken)
			}
		}
		slips += checkOthers(t, n, s, taken)
		if t.Failed() {
			t.FailNow()
		}
	}
	t.Logf("%d simulated minutes, %d values taken, %d of them from slow slips", minutes, touches, slips)
	if touches < 5*minutes || 20*slips > touches {
		t.Errorf("%d values in %d minutes, %d from slips", touches, minutes, slips)
	}
}

// checkFirm wants one value from a firm touch, in time and right.
func checkFirm(t *testing.T, n int, s *scene, seg segment, taken []*meter.Touch) {
	t.Helper()
	deadline := at(seg.settled + max(2, 6*s.period) + s.period)
	found := 0
	for _, one := range taken {
		if one.Taken.Before(at(seg.from)) || one.Taken.After(at(seg.to)) {
			continue
		}
		found++
		if one.Taken.After(deadline) || math.Abs(float64(one.Ohms)-seg.value) > seg.agreed {
			t.Errorf("minute %d: took %v at %v, want %v by %v (period %g s)", n, one.Ohms, one.Taken,
				unit.Resistance(seg.value), deadline, s.period)
		}
		if len(one.Samples) < one.Window || one.Window < 5 {
			t.Errorf("minute %d: %d raw samples, a window of %d", n, len(one.Samples), one.Window)
		}
	}
	if found != 1 {
		t.Errorf("minute %d: %d values from the firm touch from %g to %g s, settled at %g (period %g s)", n, found,
			seg.from, seg.to, seg.settled, s.period)
	}
}

// checkOthers wants no value from anything but a firm touch and a slow slip,
// and counts the slips.
func checkOthers(t *testing.T, n int, s *scene, taken []*meter.Touch) (slips int) {
	t.Helper()
	for _, one := range taken {
		for _, seg := range s.segments {
			if seg.kind == "firm" || !one.Taken.After(at(seg.from)) || one.Taken.After(at(seg.to)) {
				continue
			}
			if seg.kind == "slip" && one.Ohms < 1 {
				slips++
				continue
			}
			t.Errorf("minute %d: took %v out of %s", n, one.Ohms, seg.kind)
		}
	}
	return slips
}

// reworking is some minutes with the tips across a short that is reworked: leads
// slip and fall; at the end the short is cleared, or it is not.
func reworking(rng *rand.Rand, cleared bool) (s *scene, clearedAt float64, proofs []segment) {
	s = newScene(rng)
	s.ranging = true
	ohms, healthy := s.decades(2e-3, 0.5)+0.08, s.decades(20, 1e6)
	clearedAt = math.Inf(1)
	s.net = func(t float64) float64 {
		if t >= clearedAt {
			return healthy
		}
		return ohms
	}
	s.air(1)
	s.bounce(0.2)
	s.firm(s.enough()+1, 0, quiet)
	for s.t < 100 {
		s.trouble()
		if s.rng.IntN(2) == 0 {
			s.air(s.between(0.1, 20))
		}
		s.bounce(s.between(0, 0.3))
		if s.rng.IntN(2) == 0 {
			s.firm(s.between(0.2, 6), 3e-3*math.Abs(s.rng.NormFloat64()), quiet)
		}
	}
	if !cleared {
		return s, clearedAt, nil
	}
	clearedAt = s.t
	for range 2 {
		s.air(s.between(0.6, 5))
		s.bounce(s.between(0, 0.3))
		tau := s.decades(0.03, 1)
		s.firm(s.enough()+16*tau+3*s.period, 0, closing(-0.9, tau))
		proofs = append(proofs, s.segments[len(s.segments)-1])
	}
	return s, clearedAt, proofs
}

// TestWatch: no "cleared" as long as the short is there, whatever the leads do;
// and no true clearing missed that is touched twice.
func TestWatch(t *testing.T) {
	minutes := simulatedMinutes(t)
	passed, cleared, seen := 0.0, 0, 0
	for n := 0; passed < 60*float64(minutes); n++ {
		s, clearedAt, proofs := reworking(seeded(uint64(n)), n%2 == 0)
		w := meter.NewWatch(meter.UsualNoise(), 0)
		state, when := meter.Waiting, time.Time{}
		for _, sample := range s.samples {
			step := w.Add(sample)
			if step.Changed && step.State == meter.Cleared {
				when = sample.At
				if !sample.At.After(at(clearedAt)) {
					t.Fatalf("scene %d: cleared at %v, the short is there", n, when)
				}
			}
			if step.Changed && step.State == meter.SeenOpen {
				seen++
			}
			state = step.State
		}
		if passed += s.t; proofs == nil {
			continue
		}
		last := proofs[len(proofs)-1]
		if state != meter.Cleared || when.After(at(last.settled+max(2, 6*s.period)+2*s.period)) {
			t.Fatalf("scene %d: state %d at %v, the short is cleared and was touched twice: %+v", n, state, when,
				proofs)
		}
		cleared++
	}
	t.Logf("%.0f simulated minutes, %d shorts cleared and found so, seen open %d times", passed/60, cleared,
		seen)
	if seen < cleared {
		t.Errorf("seen open %d times, cleared %d times", seen, cleared)
	}
}

// What the samples look like is told apart.
func TestPhases(t *testing.T) {
	ohms := func(x float64) meter.Sample { return meter.Sample{Ohms: unit.Resistance(x), Range: 100} }
	open := meter.Sample{State: meter.Overload, Ohms: unit.Open, Range: 1e8}
	for name, c := range map[string]struct {
		at   func(k int) meter.Sample
		want meter.Phase
	}{
		"lifted": {func(int) meter.Sample { return open }, meter.Away},
		"beyond": {func(int) meter.Sample { return meter.Sample{State: meter.Overload, Held: true} },
			meter.Beyond},
		"volts": {func(int) meter.Sample { return meter.Sample{State: meter.NegativeOverload} },
			meter.Disturbed},
		"steady": {func(int) meter.Sample { return ohms(0.1) }, meter.Steady},
		"bounce": {func(k int) meter.Sample { return ohms(0.1 + 0.02*float64(k*7%5)) }, meter.Moving},
		"tail":   {func(k int) meter.Sample { return ohms(0.1 + 0.1*math.Exp(-float64(k)/8)) }, meter.Tail},
		"range step": {func(k int) meter.Sample {
			return meter.Sample{Ohms: 0.1,
				Range: unit.Resistance(100 * (1 + k/20))}
		}, meter.RangeStep},
	} {
		cap, last := meter.NewCapture(meter.UsualNoise()), meter.Step{}
		for k := range 21 {
			s := c.at(k)
			s.At = at(0.1 * float64(k))
			last = cap.Add(s)
		}
		if last.Phase != c.want {
			t.Errorf("%s: phase %d, want %d", name, last.Phase, c.want)
		}
	}
}

// A clock that jumps, either way, takes no window over the jump.
func TestClockJumps(t *testing.T) {
	for _, jump := range []float64{-3600, -0.5, 30, 1e6} {
		c := meter.NewCapture(meter.UsualNoise())
		taken := 0
		for k := range 12 {
			now := 0.3 * float64(k)
			if k >= 3 {
				now += jump
			}
			if c.Add(meter.Sample{At: at(now), Ohms: 0.1, Range: 100}).Taken != nil {
				if taken++; k < 7 {
					t.Errorf("a jump of %g s: taken at sample %d, over the jump", jump, k)
				}
			}
		}
		if taken != 1 {
			t.Errorf("a jump of %g s: %d values", jump, taken)
		}
	}
}

// Two-wire the lowest value that repeats, four-wire the median.
func TestTouches(t *testing.T) {
	for _, c := range []struct {
		fourWire bool
		ohms     []unit.Resistance
		want     unit.Resistance
		wanted   int
	}{
		{false, nil, 0, 3},
		{false, []unit.Resistance{0.0187, 0.0189}, 0, 1},
		{false, []unit.Resistance{0.0250, 0.0187, 0.0192}, 0.0187, 0},
		{false, []unit.Resistance{0.0150, 0.0250, 0.0350}, 0, 1},
		{false, []unit.Resistance{0.0150, 0.0250, 0.0350, 0.0255}, 0.0250, 0},
		{true, []unit.Resistance{0.0150, 0.0250, 0.0350}, 0.0250, 0},
		{true, []unit.Resistance{-0.0002, 0.0001}, 0, 1},
	} {
		touches := meter.Touches{FourWire: c.fourWire}
		for _, r := range c.ohms {
			touches.Add(meter.Touch{Ohms: r})
		}
		got, ok := touches.Value()
		if got != c.want || ok != (c.wanted == 0) || touches.Wanted() != c.wanted {
			t.Errorf("%v: got %v, %v, %d more wanted, want %v, %d", c.ohms, got, ok, touches.Wanted(), c.want,
				c.wanted)
		}
	}
	touches := meter.Touches{List: []meter.Touch{{Ohms: 1}}}
	if !touches.Undo() || touches.Undo() {
		t.Error("one touch is not taken back just once")
	}
}

// A slow meter gives a value within six of its periods, a noisy one once its
// noise is learned.
func TestSlowAndNoisyMeters(t *testing.T) {
	c := meter.NewCapture(meter.UsualNoise())
	for k := range 7 {
		taken := c.Add(meter.Sample{At: at(4 * float64(k)), Ohms: 0.1, Range: 100}).Taken
		if want := k == 5; (taken != nil) != want { // the first interval looks like a gap
			t.Errorf("a reading every 4 s: sample %d: taken %v", k, taken)
		}
	}
	rng := seeded(4)
	const noise = 2e-3
	var list []meter.Sample
	for k := range 400 {
		list = append(list, meter.Sample{At: at(0.05 * float64(k)), Range: 100, Function: meter.Resistance,
			Ohms: unit.Resistance(0.1 + noise*rng.NormFloat64())})
	}
	values := func(n meter.Noise) (taken int) {
		c := meter.NewCapture(n)
		for _, s := range list {
			if c.Add(s).Taken != nil {
				taken++
			}
		}
		return taken
	}
	learned := meter.LearnNoise(list[:200])
	if got := float64(learned.Ohms); math.Abs(got-noise) > 0.3*noise {
		t.Errorf("learned %v of noise, want %v", learned.Ohms, unit.Resistance(noise))
	}
	if usual, known := values(meter.UsualNoise()), values(learned); usual != 0 || known != 1 {
		t.Errorf("%d values by the usual noise, %d by what was learned", usual, known)
	}
	if few := meter.LearnNoise(list[:5]); few != meter.UsualNoise() {
		t.Errorf("five samples teach %+v", few)
	}
}

// A drift within the noise of a sample shows where there are many.
func TestDrift(t *testing.T) {
	for drift, want := range map[float64]bool{0.8e-3: false, 0.2e-3: true} { // ohms a second
		c, taken := meter.NewCapture(meter.UsualNoise()), false
		for k := range 100 {
			now := 0.02 * float64(k)
			taken = taken || c.Add(meter.Sample{At: at(now), Range: 100,
				Ohms: unit.Resistance(0.1 + drift*now)}).Taken != nil
		}
		if taken != want {
			t.Errorf("a drift of %g ohm a second: taken %v", drift, taken)
		}
	}
}

// Two values of one touch clear nothing, however steady: a tip that slid onto
// another pad gives them. An overload is seen open, and no more.
func TestWatchWantsALift(t *testing.T) {
	w, now := meter.NewWatch(meter.UsualNoise(), 0), 0.0
	show := func(ohms unit.Resistance, seconds float64, want meter.WatchState) {
		t.Helper()
		var step meter.WatchStep
		for end := now + seconds; now < end; now += 0.1 {
			s := meter.Sample{At: at(now), Ohms: ohms, Range: 1e4}
			if ohms.IsOpen() {
				s.State = meter.Overload
			}
			step = w.Add(s)
		}
		if step.State != want {
			t.Errorf("at %.1f s, %v: state %d, want %d", now, ohms, step.State, want)
		}
	}
	show(unit.Open, 2, meter.Waiting)
	show(0.02, 2, meter.Shorted)
	show(4700, 3, meter.SeenOpen)
	show(0.02, 0.1, meter.SeenOpen) // it touches once more, in passing
	show(4700, 3, meter.SeenOpen)
	show(unit.Open, 1, meter.SeenOpen)
	show(9000, 3, meter.SeenOpen) // another touch, another value
	show(unit.Open, 1, meter.SeenOpen)
	show(9100, 3, meter.Cleared)
	show(0.02, 3, meter.Shorted)
	show(unit.Open, 0.3, meter.Shorted) // a bounce
	show(unit.Open, 30, meter.SeenOpen)
	show(0.02, 3, meter.Shorted)
}
