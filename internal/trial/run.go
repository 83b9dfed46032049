package trial

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"ohmward/internal/conduct"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
)

// MostReadings ends a search that gets nowhere.
const MostReadings = 14

// Search is one fault found or not.
type Search struct {
	Fault    practice.Fault    // the hidden truth
	Best     *engine.Candidate // the answer; nil: none
	Off      float64           // mm from the truth
	Inside   bool              // the truth lies inside the stated radius
	mass     float64           // claimed inside the radius
	p        float64           // of the best place
	right    bool              // the best place is the true one
	Rank     int               // of the true place; 0: none
	Readings int               // how many were taken
	Verdict  string            // of the last fit
	Lowest   float64           // mm, of the lowest-reading method
	Bound    float64           // mm; NaN: off the model, where there is none
	within   []float64         // the greatest mass within each of boundRadii
	meanOff  float64           // mm from the truth, of the posterior mean
	doubt    float64           // bits left at the end
}

// bencher is one unit on the bench with a meter.
type bencher struct {
	*trial
	n      int
	fault  practice.Fault
	copper practice.Copper
	rng    *rand.Rand
	meter  *practice.Meter
	null   float64
	taken  int // readings so far
	slips  int // the reading that goes astray
}

// refused is the verdict on readings that the program turns away: the wrong
// unit, or below zero.
const refused = "refused"

// run searches for one fault.
func (t *trial) run(n int) (Search, error) {
	b := t.newBencher(n, 0)
	post, moves, costs := t.prior, t.first, t.costs
	var readings []locate.Reading
	verdict := ""
	for len(readings) < MostReadings && len(moves) > 0 {
		m := moves[0]
		r, err := b.read(m)
		if err != nil {
			return Search{}, err
		}
		readings = append(readings, r)
		next, err := t.posterior(readings)
		if err != nil {
			verdict = refused
			readings = readings[:len(readings)-1]
			break
		}
		post = next
		stand(&costs, m)
		if moves, err = t.moves(post, costs); err != nil {
			return Search{}, err
		}
		if post.Stop(moves).Enough {
			break
		}
	}
	out := t.judge(n, post, len(readings))
	if verdict != "" {
		out.Verdict = verdict
	}
	var err error
	out.Lowest, err = t.lowestError(n, max(1, len(readings)))
	return out, err
}

// stand leaves tips and clips where a reading had them.
func stand(h *locate.MoveCosts, m locate.Move) {
	if !m.FourWire {
		h.At.A, h.At.B = m.From, m.To
		return
	}
	h.At.CurrentA, h.At.CurrentB = m.CurrentA, m.CurrentB
	h.At.SenseM, h.At.SenseN, h.At.SenseOnB = m.SenseM, m.SenseN, m.SenseOnB
}

// newBencher sets unit n on the bench. A stream of its own keeps the
// lowest-reading method's noise apart from the program's.
func (t *trial) newBencher(n int, stream uint64) *bencher {
	rng := rand.New(rand.NewPCG(t.options.Seed^0x9e3779b97f4a7c15, uint64(n)<<8|0xff))
	b := &bencher{trial: t, n: n, fault: t.batch.Faults[n], copper: t.batch.DrawCopper(rng), rng: rng}
	t.depart(b)
	b.rng = rand.New(rand.NewPCG(t.options.Seed^0x9e3779b97f4a7c15, uint64(n)<<8|stream))
	noise := engine.NoiseOf(t.meter)
	if t.options.OffModel == "noise" {
		noise.TwoWire, noise.FourWire = 5*noise.TwoWire, 5*noise.FourWire
	}
	b.meter = practice.NewMeter(noise, b.rng)
	b.meter.Short()
	b.null = b.show(false)
	return b
}

// show reads the meter's display.
func (b *bencher) show(fourWire bool) float64 {
	mode := "CONF:RES"
	if fourWire {
		mode = "CONF:FRES"
	}
	b.meter.Ask(mode)
	v, err := strconv.ParseFloat(b.meter.Ask("READ?"), 64)
	if err != nil {
		panic("bench: the practice meter answers no number")
	}
	return v
}

// read takes an advised reading: what the program predicts for it, and what
// the meter says.
func (b *bencher) read(m locate.Move) (locate.Reading, error) {
	if !m.FourWire {
		r, err := b.halves.twoWire(m.From, m.To)
		if err != nil {
			return r, err
		}
		r.Ohms, err = b.twoWire(m.From, m.To)
		return r, err
	}
	g, in := 0, m.CurrentA
	if m.SenseOnB {
		g, in = 1, m.CurrentB
	}
	r, err := b.halves.fourWire(g, in, m.SenseM, m.SenseN)
	if err != nil {
		return r, err
	}
	r.Ohms, err = b.fourWireOhms(g, in, m.SenseM, m.SenseN)
	return r, err
}

// twoWire sets both tips down and reads.
func (b *bencher) twoWire(i, j int) (float64, error) {
	at := b.slip([]int{i, j}, []int{0, 1})
	sum := b.shortOhms()
	for g, place := range at {
		v, err := b.batch.TwoWire(b.n, b.copper, b.land(g, place))
		if err != nil {
			return 0, err
		}
		sum += v
	}
	b.meter.Touch(sum, false)
	b.taken++
	return min(b.show(false)-b.null, engine.OpenReading), nil
}

// fourWireOhms holds the volt tips and reads.
func (b *bencher) fourWireOhms(g, in, high, low int) (float64, error) {
	at := b.slip([]int{high, low}, []int{g, g})
	v, err := b.batch.FourWire(b.n, b.copper, tip1(b.trial.Pair, g, in), b.land(g, at[0]), b.land(g, at[1]))
	if err != nil {
		return 0, err
	}
	b.meter.Touch(v, true)
	b.taken++
	return b.show(true), nil
}

// land is the contact that a tip makes in truth.
func (b *bencher) land(g, i int) conduct.Probe {
	tip := tip1(b.trial.Pair, g, i)
	if b.trial.meter.PlacementM > 0 {
		return b.batch.Landing(tip, b.trial.meter.PlacementM, b.rng)
	}
	return tip
}

// judge compares the end of a search with the truth.
func (t *trial) judge(n int, post *locate.Posterior, readings int) Search {
	f := t.batch.Faults[n]
	out := Search{Fault: f, Readings: readings, Verdict: post.Fit.Verdict, Bound: math.NaN(),
		doubt: post.Entropy()}
	x, y := f.Site.Mid()
	if t.options.OffModel == "" {
		mx, my := post.Mean()
		out.within, out.meanOff = post.MassWithin(boundRadii), math.Hypot(mx-x, my-y)
		out.Bound = radiusOf(out.within, 0.5)
	}
	out.Best = t.Best(post)
	if out.Best == nil {
		panic("bench: a search without findings has left no place")
	}
	bx, by := t.Sites[post.Best.Site].Mid()
	out.Off = math.Hypot(bx-x, by-y)
	out.Inside = out.Off <= post.Best.RadiusMM
	out.mass, out.p = math.Min(post.Best.RadiusMass, 1), math.Min(post.Best.P, 1)
	out.Rank = 1 + slices.IndexFunc(post.Places, func(pl locate.Place) bool { return t.holds(pl, x, y) })
	out.right = out.Rank == 1
	return out
}

// sameMM is how near a named place is the true one.
const sameMM = 1.0

// holds tells whether a point is at a place: within a millimetre of the
// sample that stands for it, or inside its extent.
func (t *trial) holds(pl locate.Place, x, y float64) bool {
	px, py := t.Sites[pl.Site].Mid()
	if math.Hypot(px-x, py-y) <= sameMM {
		return true
	}
	return slices.ContainsFunc(pl.Sites, func(s int) bool {
		sx, sy := t.Sites[s].Mid()
		return engine.HypotMM(sx-x, sy-y) <= t.Sites[s].Length*1e3/2
	})
}
