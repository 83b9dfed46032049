package locate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"
)

// TestInformationOfATest is REFERENCES D11 (Shannon): prior 0.2, sensitivity
// 0.9, false alarm 0.1 gives 0.357751 bit.
func TestInformationOfATest(t *testing.T) {
	c := entropySum{total: make([]float64, 2)}
	c.add(0.2, []float64{0.9, 0.1}, 0, 2)
	c.add(0.8, []float64{0.1, 0.9}, 0, 2)
	near(t, "P(+)", c.total[0], 0.26, 1e-12)
	near(t, "bits", c.bits(), 0.357751, 5e-7)
}

// TestInformationOfGaussians: the same two causes seen through Gaussian noise.
// Far apart they give the prior's whole entropy, alike nothing; a half-normal
// threshold loses some, so the reading says more than its sign.
func TestInformationOfGaussians(t *testing.T) {
	two := func(d, sd float64) float64 {
		return information([]outcome{{weight: 0.2, mean: 0, sd: sd}, {weight: 0.8, mean: d, sd: sd}})
	}
	near(t, "far", two(1, 0.01), 0.7219281, 1e-3) // entropy of 0.2, 0.8
	near(t, "alike", two(0, 0.01), 0, 1e-9)
	// By quadrature of the same integral, step 1e-4 deviations.
	want := func(d float64) float64 {
		sum := 0.0
		for x := -10.0; x < 10+d; x += 1e-3 {
			a := math.Exp(-x*x/2) / math.Sqrt(2*math.Pi)
			b := math.Exp(-(x-d)*(x-d)/2) / math.Sqrt(2*math.Pi)
			m := 0.2*a + 0.8*b
			if a > 1e-300 {
				sum += 0.2 * a * math.Log2(a/m) * 1e-3
			}
			if b > 1e-300 {
				sum += 0.8 * b * math.Log2(b/m) * 1e-3
			}
		}
		return sum
	}
	for _, d := range []float64{0.5, 1, 2, 3} {
		near(t, fmt.Sprint("apart by ", d), two(d*0.01, 0.01), want(d), 0.03*want(d))
	}
}

// tables makes planning tables of the synthetic network.
func (n *synth) tables() (a, b Table) {
	for i, s := range n.placesA {
		x, y := s.xy()
		a.Probes = append(a.Probes, Probe{ID: fmt.Sprint("A", i), X: x, Y: y, Sides: Top, SizeMM: 1, Reach: true,
			Clip: i%5 == 0})
		r, g, gp := make([]float64, len(n.sites)), make([]float64, len(n.sites)), make([]float64, len(n.placesA))
		for k := range n.sites {
			r[k] = n.track(s, n.spotOf(k))
			g[k] = -0.5 * r[k] // G up to datum terms that cancel in four-wire differences
		}
		for j, q := range n.placesA {
			gp[j] = -0.5 * n.track(s, q)
		}
		a.R, a.G, a.GP = append(a.R, r), append(a.G, g), append(a.GP, gp)
	}
	for i, q := range n.placesB {
		b.Probes = append(b.Probes, Probe{ID: fmt.Sprint("B", i), X: q[0], Y: q[1], Sides: Top, SizeMM: 1,
			Reach: true})
		r := make([]float64, len(n.sites))
		for k := range n.sites {
			r[k] = n.plane(q, n.spotOf(k))
		}
		b.R = append(b.R, r)
	}
	return a, b
}

// TestNextBeatsChance takes readings as Next asks for them and compares the
// radius with that of the same number of readings at places drawn blindly.
func TestNextBeatsChance(t *testing.T) {
	n := newSynth(0.4)
	a, b := n.tables()
	m, _ := Profile("bench-6.5-digit")
	c := Copper{Scale: 0.09}
	rng := rand.New(rand.NewPCG(3, 5))
	var asked, blind []float64
	runs := 25
	if testing.Short() {
		runs = 10
	}
	for range runs {
		f := n.draw(rng, c, m)
		f.rs = math.Min(f.rs, 1) // a lone dry reading above 5 ohm is taken for milliohms
		cs := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: c}
		cb := cs
		h := DefaultMoveCosts()
		var p *Posterior
		seen := map[[2]int]int{}
		for range 5 {
			var err error
			if p, err = Solve(cs); err != nil {
				t.Fatal(err)
			}
			moves, err := p.Next(a, b, h)
			if err != nil {
				t.Fatal(err)
			}
			if len(moves) == 0 { // nothing left to learn
				break
			}
			mv := moves[0]
			if mv.Why == "" || !(mv.Bits > 0) || !(mv.Seconds > 0) {
				t.Errorf("move without reason, gain or cost: %+v", mv)
			}
			seen[[2]int{mv.From, mv.To}]++
			h.At.A, h.At.B = mv.From, mv.To
			cs.Readings = append(cs.Readings, n.read(rng, f, m, n.placesA[mv.From], n.placesB[mv.To]))
			cb.Readings = append(cb.Readings, n.read(rng, f, m, n.placesA[rng.IntN(len(a.Probes))],
				n.placesB[rng.IntN(len(b.Probes))]))
		}
		p, err := Solve(cs)
		if err != nil {
			t.Fatal(err)
		}
		q, err := Solve(cb)
		if err != nil {
			t.Fatal(err)
		}
		asked, blind = append(asked, p.Best.RadiusMM), append(blind, q.Best.RadiusMM)
		for k, v := range seen {
			if v > 3 {
				t.Errorf("pair %v asked for %d times in 5", k, v)
			}
		}
	}
	sort.Float64s(asked)
	sort.Float64s(blind)
	for _, at := range []int{runs / 2, runs * 4 / 5} { // the median, and four in five
		t.Logf("radius after 5 readings: asked %.2f, blind %.2f mm", asked[at], blind[at])
		if asked[at] > blind[at] {
			t.Errorf("radius of run %d of %d: asked for %.2f mm, blind %.2f", at, runs, asked[at], blind[at])
		}
	}
}

// TestRepeatSaysLess: right after a reading the same pair again is worth less
// than it was, and less than the best other pair.
func TestRepeatSaysLess(t *testing.T) {
	n := newSynth(0.4)
	a, b := n.tables()
	m, _ := Profile("bench-6.5-digit")
	rng := rand.New(rand.NewPCG(8, 8))
	c := Copper{Scale: 0.09}
	f := fault{at: spot{0, 30.1}, rs: 0.004, factor: [2]float64{1.05, 1.05}}
	cs := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: c}
	cs.Readings = append(cs.Readings, n.read(rng, f, m, n.placesA[0], n.placesB[0]))
	p, err := Solve(cs)
	if err != nil {
		t.Fatal(err)
	}
	pl := &planner{p: p, h: DefaultMoveCosts(), groups: p.groupSites()}
	ra, rb := pl.rows(a.R, a.Probes), pl.rows(b.R, b.Probes)
	again := information(pl.across(ra[0], rb[0], nil))
	other := information(pl.across(ra[10], rb[0], nil))
	if again > 0.3*other {
		t.Errorf("the same pair again is said to give %.3f bits, the far end %.3f", again, other)
	}
}

// TestFourWirePlan: with a current source the planner offers four-wire
// readings, and their tables obey the tree's transfer formula.
func TestFourWirePlan(t *testing.T) {
	n := newSynth(0.4)
	a, b := n.tables()
	m, _ := Profile("bench-6.5-digit")
	p, err := Solve(Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.09}})
	if err != nil {
		t.Fatal(err)
	}
	h := DefaultMoveCosts()
	h.FourWire = true
	moves, err := p.Next(a, b, h)
	if err != nil {
		t.Fatal(err)
	}
	four := 0
	for _, mv := range moves {
		if !mv.FourWire {
			continue
		}
		four++
		if mv.SenseOnB || mv.SenseM == mv.SenseN || mv.SenseM == mv.CurrentA || mv.SenseN == mv.CurrentA {
			t.Errorf("odd four-wire move %+v", mv)
		}
	}
	if four == 0 {
		t.Error("no four-wire move offered")
	}
	pl := &planner{p: p, h: h, groups: p.groupSites()}
	o := pl.sense(a, pl.rows(a.G, a.Probes), 0, 5, 9, nil)
	for k, g := range pl.groups {
		want := 0.0
		for i, s := range g.sites {
			want += g.part[i] * n.transfer(n.placesA[0], n.placesA[5], n.placesA[9], n.spotOf(s))
		}
		near(t, "transfer", o[k].mean, want, 1e-12)
	}
}

func TestWords(t *testing.T) {
	for bits, want := range map[float64]string{0.05: "little", 1: "half of the places", 2: "three places in four", 4: "15 places in 16"} {
		if got := shorteningText(bits); !strings.Contains(got, want) {
			t.Errorf("%g bits: %q, want it to say %q", bits, got, want)
		}
	}
}

// BenchmarkNext is DESIGN's size: 300 by 300 places, 5,000 sites.
func BenchmarkNext(bm *testing.B) {
	n := newSynth(90.0 / 5000)
	n.placesA, n.placesB = nil, nil
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		n.placesA = append(n.placesA, spot{0, 50 * rng.Float64()})
		n.placesB = append(n.placesB, [2]float64{50 * rng.Float64(), 30*rng.Float64() - 9})
	}
	a, b := n.tables()
	m, _ := Profile("bench-6.5-digit")
	f := fault{at: spot{0, 30.1}, rs: 0.004, factor: [2]float64{1.05, 1.05}}
	for k := range 3 {
		cs := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.09}}
		for i := range k * 2 {
			cs.Readings = append(cs.Readings, n.read(rng, f, m, n.placesA[i], n.placesB[i]))
		}
		p, err := Solve(cs)
		if err != nil {
			bm.Fatal(err)
		}
		bm.Run(fmt.Sprint("readings=", 2*k), func(bm *testing.B) {
			for bm.Loop() {
				p.Next(a, b, DefaultMoveCosts())
			}
		})
	}
}

func BenchmarkSolve(bm *testing.B) {
	n := newSynth(90.0 / 5000)
	rng := rand.New(rand.NewPCG(1, 1))
	f := fault{at: spot{0, 30.1}, rs: 0.004, factor: [2]float64{1.05, 1.05}}
	for _, name := range ProfileNames() {
		m, _ := Profile(name)
		cs := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.09}}
		for i := range 8 {
			cs.Readings = append(cs.Readings, n.read(rng, f, m, n.placesA[i], n.placesB[i]))
		}
		bm.Run(name, func(bm *testing.B) {
			for bm.Loop() {
				if _, err := Solve(cs); err != nil {
					bm.Fatal(err)
				}
			}
		})
	}
}
