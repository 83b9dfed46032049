package meter_test

import (
	"math"
	"math/rand/v2"
	"time"

	"ohmward/internal/meter"
	"ohmward/unit"
)

// A scene is what a meter shows over minutes of probing, made with known change
// points. It shares nothing with the capture but the type of a sample. Figures
// of contacts are common practice, no source.
type scene struct {
	rng      *rand.Rand
	t        float64 // seconds
	period   float64
	ranging  bool // the meter chooses its range
	rng100   float64
	net      func(t float64) float64 // ohms between the places, leads in
	down     float64                 // when the tips went down
	samples  []meter.Sample
	segments []segment
}

// segment is a stretch of one kind.
type segment struct {
	kind     string
	from, to float64
	settled  float64 // of "firm": from when its value is within its noise of the last
	value    float64 // of "firm": that value
	agreed   float64 // of "firm": how near a taken value must be
}

var epoch = time.Date(2026, 1, 1, 8, 0, 0, 0, time.UTC)

func at(t float64) time.Time { return epoch.Add(time.Duration(t * float64(time.Second))) }

func newScene(rng *rand.Rand) *scene {
	periods := []float64{0.02, 0.05, 0.1, 0.2, 0.4}
	return &scene{rng: rng, period: periods[rng.IntN(len(periods))], ranging: rng.IntN(3) > 0, rng100: 100}
}

func (s *scene) between(a, b float64) float64 { return a + (b-a)*s.rng.Float64() }

// decades draws evenly over the decades.
func (s *scene) decades(a, b float64) float64 { return a * math.Pow(b/a, s.rng.Float64()) }

// show is one reading of ohms; infinity is overload.
func (s *scene) show(ohms float64) {
	s.t += s.period * s.between(0.95, 1.05)
	full := 100.0
	if s.ranging {
		for full < 1e8 && ohms > 1.1*full {
			full *= 10
		}
		if full != s.rng100 {
			s.rng100 = full
			s.t += s.period // the reading that found the range wrong
		}
	} else if full = s.rng100; ohms > 1.2*full {
		ohms = math.Inf(1)
	}
	m := meter.Sample{At: at(s.t), Function: meter.Resistance, Range: unit.Resistance(full), Held: !s.ranging}
	if math.IsInf(ohms, 1) || ohms > 1.2e8 {
		m.State, m.Ohms = meter.Overload, unit.Open
	} else {
		step := 1e-5 * math.Log10(full) // ranges differ by some counts
		m.Ohms = unit.Resistance(ohms*(1+step) + s.noise(ohms)*s.rng.NormFloat64())
	}
	s.samples = append(s.samples, m)
}

func (s *scene) noise(ohms float64) float64 { return 40e-6 + 3e-5*ohms }

// during shows readings for some seconds and notes the stretch.
func (s *scene) during(kind string, seconds float64, ohms func() float64) *segment {
	from := s.t
	for s.t < from+seconds {
		s.show(ohms())
	}
	s.segments = append(s.segments, segment{kind: kind, from: from, to: s.t})
	return &s.segments[len(s.segments)-1]
}

func (s *scene) air(seconds float64) {
	s.during("air", seconds, func() float64 { return math.Inf(1) })
	s.down = s.t
}

// bounce: now open, now with up to an ohm too much.
func (s *scene) bounce(seconds float64) {
	s.during("bounce", seconds, func() float64 {
		if s.rng.IntN(5) < 2 {
			return math.Inf(1)
		}
		return s.net(s.t) + s.decades(1e-3, 3)
	})
}

// firm: a tip that is held still adds a little that stays. tail(t) is the share
// that is still missing or too much t seconds after the tips went down.
func (s *scene) firm(seconds, excess float64, tail func(t float64) float64) {
	seg := s.during("firm", seconds, func() float64 {
		return (s.net(s.t)+excess)*(1+tail(s.t-s.down)) + 0.1e-3*math.Abs(s.rng.NormFloat64())
	})
	seg.value = s.net(s.t) + excess
	seg.agreed = 1e-3 + 0.005*seg.value
	seg.settled = seg.from
	for d := seg.from; d < seg.to; d += s.period {
		if math.Abs(tail(d-s.down))*seg.value > 0.3*s.noise(seg.value) {
			seg.settled = d + s.period
		}
	}
}

// slip: the excess wanders up over decades, flickering.
func (s *scene) slip(seconds float64) {
	excess := 2e-3
	s.during("slip", seconds, func() float64 {
		excess *= math.Exp(math.Sqrt(s.period) * (1.2 + 1.5*s.rng.NormFloat64()))
		excess = max(1e-3, min(excess, 1e7))
		return s.net(s.t) + excess*math.Exp(0.25*s.rng.NormFloat64())
	})
}

// film: flux or oxide under a tip, a resistance that never rests.
func (s *scene) film(seconds float64) {
	centre := s.decades(0.5, 2e4)
	s.during("film", seconds, func() float64 {
		centre *= math.Exp(0.3 * math.Sqrt(s.period) * s.rng.NormFloat64())
		return s.net(s.t) + centre*math.Exp(0.08*s.rng.NormFloat64())
	})
}

// mask: a tip on solder mask; open, or the megohms of what lies on it.
func (s *scene) mask(seconds float64) {
	leak := s.decades(3e6, 1e10)
	s.during("mask", seconds, func() float64 { return leak * math.Exp(0.1*s.rng.NormFloat64()) })
}

// fingers: both tips held by the person.
func (s *scene) fingers(seconds float64) {
	skin := s.decades(5e4, 5e6)
	s.during("fingers", seconds, func() float64 {
		skin *= math.Exp(0.2 * math.Sqrt(s.period) * s.rng.NormFloat64())
		return skin * math.Exp(0.02*s.rng.NormFloat64())
	})
}

// trouble is one thing that goes wrong with a tip.
func (s *scene) trouble() {
	switch s.rng.IntN(5) {
	case 0:
		s.slip(s.between(0.5, 8))
	case 1:
		s.film(s.between(0.5, 8))
	case 2:
		s.mask(s.between(0.5, 5))
	case 3:
		s.fingers(s.between(0.5, 6))
	case 4:
		s.bounce(s.between(0.1, 2))
	}
}

// enough is a firm hold that must give a value: a tail, the longer of 2 s and
// six periods, and a margin of a period for where the samples fall.
func (s *scene) enough() float64 { return max(2, 6*s.period) + s.period }
