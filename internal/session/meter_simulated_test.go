package session

import (
	"context"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// beadBoard is the demo's +3V3 and VREF, solved once, with a unit whose short lies
// on +3V3A, which only the bead FB1 joins to +3V3.
var beadBoard = sync.OnceValues(func() (*practice.Unit, *engine.Pair) {
	ctx := context.Background()
	p, err := engine.Open(ctx, engine.DemoName, engine.Options{Cache: shared})
	if err != nil {
		panic(err)
	}
	s, err := p.NewPair(ctx, engine.PairOptions{Nets: []string{"+3V3", "VREF"}, Rates: suspect.DefaultRates(), Layers: true})
	if err != nil {
		panic(err)
	}
	far, err := s.Nets.ByName("+3V3A")
	if err != nil {
		panic(err)
	}
	at := slices.IndexFunc(s.Sites, func(site suspect.Site) bool {
		return s.Nets.Copper(far, site.LayerA).Contains(site.A)
	})
	if at < 0 {
		panic("no suspect on +3V3A")
	}
	b := s.PracticeBench("")
	b.Fault, b.Ohms = &s.Sites[at], 2e-3
	u, err := practice.NewUnit(ctx, b, rand.New(rand.NewPCG(1, 2)))
	if err != nil {
		panic(err)
	}
	return u, s
})

// beyondBead gives that board, and its unit on a meter of its own.
func beyondBead() (*engine.Pair, *simulated) {
	u, s := beadBoard()
	return s, newSimulated(s, u, 1, time.Millisecond, rand.New(rand.NewPCG(1, 3)))
}

// widest gives the widest place of a net.
func widest(s *engine.Pair, t *testing.T, net string) copper.Spot {
	t.Helper()
	n, err := s.Nets.ByName(net)
	if err != nil {
		t.Fatal(err)
	}
	return s.Nets.ProbePlaces(n)[0].Spot
}

// TestBeadOpened: readings of a simulated unit follow a bead that is lifted:
// across the named nets the short is gone, beyond the bead it is there, and
// from one side of the bead to the other nothing conducts. Refitted, all is as
// it was; and what the case records is what the unit is.
func TestBeadOpened(t *testing.T) {
	s, m := beyondBead()
	named, beyond, other := widest(s, t, "+3V3"), widest(s, t, "+3V3A"), widest(s, t, "VREF")
	reads := func(from, to copper.Spot) float64 {
		t.Helper()
		if err := m.putDown(engine.Contacts{In: from, Out: to, High: from, Low: to}); err != nil {
			t.Fatal(err)
		}
		v := Sample{}
		for range settling + reworking + 2 {
			var err error
			if v, err = m.Read(context.Background()); err != nil {
				t.Fatal(err)
			}
		}
		return float64(v.Ohms)
	}
	expect := func(when string, short, farShort, joined bool) {
		t.Helper()
		for _, c := range []struct {
			what     string
			from, to copper.Spot
			low      bool
		}{{"across the named nets", named, other, short}, {"beyond the bead", beyond, other, farShort}, {"along the net", named, beyond, joined}} {
			if v := reads(c.from, c.to); isShort(v) != c.low || isShort(v) && v > 5 {
				t.Errorf("%s: %s it reads %g ohms, short: %v", when, c.what, v, c.low)
			}
		}
	}
	c := &record.Case{Steps: &record.Steps{Doing: &record.Doing{Done: "split", Part: "FB1"}}}
	expect("whole", true, true, true)
	m.rework(c, *c.Steps.Doing)
	expect("while the bead is being lifted, and after", false, true, false)
	c.Findings = append(c.Findings, record.Finding{Part: "FB1", Done: "split", Short: "open"})
	c.Steps.Doing = nil
	m.endRework()
	if err := m.restore(c); err != nil {
		t.Fatal(err)
	}
	expect("lifted", false, true, false)
	c.Findings = append(c.Findings, record.Finding{Part: "FB1", Done: "refitted", Short: "remains"})
	if err := m.restore(c); err != nil {
		t.Fatal(err)
	}
	expect("refitted", true, true, true)
}

// TestClaimMendsNothing: that a short was seen open, where nothing was done
// that could open it, leaves the unit as it is: the proof finds it.
func TestClaimMendsNothing(t *testing.T) {
	s, m := beyondBead()
	c := &record.Case{Steps: &record.Steps{}, Findings: []record.Finding{{Part: "C3", Done: "reflowed", Short: "open"}}}
	for m.draw(0) < 0.05 { // by accident
		m.seed++
	}
	if err := m.restore(c); err != nil {
		t.Fatal(err)
	}
	from, to := widest(s, t, "+3V3"), widest(s, t, "VREF")
	if err := m.putDown(engine.Contacts{In: from, Out: to, High: from, Low: to}); err != nil {
		t.Fatal(err)
	}
	for range settling {
		if _, err := m.Read(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	if v, err := m.Read(context.Background()); err != nil || !isShort(float64(v.Ohms)) {
		t.Errorf("it reads %v, %v", v.Ohms, err)
	}
}

// TestSplitInPractice: on an invented unit whose short lies beyond a bead, the
// bead is lifted: the bar opens, the next places are on the far side, what is
// read there fits, and the answer stays on the right side.
func TestSplitInPractice(t *testing.T) {
	if testing.Short() {
		t.Skip("solves an invented unit: left out of -short")
	}
	s := newTestShelf(t, t.TempDir())
	var j *Session
	for number := 1; j == nil || !j.lies("FB1"); number++ {
		if q, _ := bench.PracticeOf(uint64(number), ""); q.Nets[0] != "+3V3A" {
			continue
		}
		id, err := s.BeginPractice(number)
		if err != nil {
			t.Fatal(err)
		}
		j = openJob(t, s, id)
	}
	for _, a := range []answer.Act{{Do: "cautions"}, {Do: "pass-swap"}, {Do: "touch"}, {Do: "touch"}, {Do: "mend"}} {
		must(t, j, a)
	}
	at := slices.IndexFunc(j.moves(), func(m answer.Repair) bool { return m.What == "split" && m.Part == "FB1" })
	if at < 0 {
		t.Fatalf("lifting FB1 is no move: %+v", j.moves())
	}
	must(t, j, answer.Act{Do: "move", N: at})
	must(t, j, answer.Act{Do: "start"})
	until(t, j, "the bar never opens", func(v *answer.View) bool { return opened(v.Card) })
	v := must(t, j, answer.Act{Do: "outcome", Text: "open"})
	if v.Step == stepRepair {
		v = must(t, j, answer.Act{Do: "read"})
	}
	if v.Step != stepRead || v.Target == nil {
		t.Fatalf("at %s, aimed at %+v", v.Step, v.Target)
	}
	v = must(t, j, answer.Act{Do: "touch"})
	if n := len(v.Readings); n != 2 || v.Where.Verdict != answer.OneShort || v.Trouble != nil {
		t.Errorf("%d readings, %s, %+v", n, v.Where.Verdict, v.Trouble)
	}
	x, y := j.sim.original.Fault.Mid()
	if b := v.Where.Best; engine.HypotMM((b.X+b.X2)/2-x, (b.Y+b.Y2)/2-y) > 3*max(b.RadiusMM, 1) {
		t.Errorf("the short is at %.1f,%.1f; said to be at %+v", x, y, b)
	}
}

// lies tells whether the short of an invented unit lies beyond a part.
func (j *Session) lies(beyond string) bool {
	fault := j.sim.original.Fault
	far := j.pair.Beyond(0, beyond)
	for i, site := range j.pair.Sites {
		if far != nil && site.LayerA == fault.LayerA && engine.DistanceMM(site.A, fault.A) < 0.2 {
			return far[i]
		}
	}
	return false
}

// opened tells whether a card says that the bar has opened.
func opened(c answer.Card) bool { return slices.Contains(c.Text, "The bar has opened.") }
