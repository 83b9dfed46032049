package locate

import (
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/internal/suspect"
)

func budgetOf(t *testing.T, m Meter, r Reading) (map[string]float64, float64) {
	t.Helper()
	list, u := m.Budget(r, Copper{}, 0, 0)
	out, sum := map[string]float64{}, 0.0
	for _, c := range list {
		out[c.Name] = c.Ohms
		sum += c.Ohms * c.Ohms
	}
	near(t, "root sum of squares", u, math.Sqrt(sum), 1e-12*u)
	return out, u
}

// REFERENCES C1 (GUM H.1): the end gauge's contributions of 25, 5.8, 3.9, 6.7,
// 2.9 and 16.6 nm combine to 31.67 nm.
func TestGUMEndGauge(t *testing.T) {
	var list []Component
	for _, u := range []float64{25, 5.8, 3.9, 6.7, 2.9, 16.6} {
		list = append(list, Component{Ohms: u})
	}
	near(t, "combined", rss(list), 31.67, 0.01)
}

// REFERENCES C6: 0.25, 0.57 and 0.82 % combine to 1.0295 %.
func TestGUMCombination(t *testing.T) {
	near(t, "combined", rss([]Component{{Ohms: 0.25}, {Ohms: 0.57}, {Ohms: 0.82}}), 1.0295, 5e-5)
}

// REFERENCES C7: the divisors of type B laws of half-width 1.
func TestDivisors(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 43))
	for _, c := range []struct {
		name    string
		divisor float64
		draw    func() float64
	}{
		{"rectangular", rectangular, func() float64 { return 2*rng.Float64() - 1 }},
		{"triangular", triangular, func() float64 { return rng.Float64() - rng.Float64() }},
		{"U-shaped", uShaped, func() float64 { return math.Sin(2 * math.Pi * rng.Float64()) }},
		{"a step of resolution", step, func() float64 { return rng.Float64() - 0.5 }},
	} {
		sum := 0.0
		const n = 400_000
		for range n {
			x := c.draw()
			sum += x * x
		}
		near(t, c.name, math.Sqrt(sum/n), 1/c.divisor, 0.003)
	}
}

// REFERENCES C9: a meter of 0.010 % of reading + 0.004 % of a range of
// 100 ohm has limits of 14 mohm at full scale and 4.05 mohm at 0.5 ohm.
func TestSpecification(t *testing.T) {
	m := Meter{Spec: Spec{OfReading: 1e-4, OfRangeOhms: 4e-5 * 100}}
	near(t, "limit at full scale", m.Spec.limit(100), 14e-3, 1e-12)
	near(t, "limit at 0.5 ohm", m.Spec.limit(0.5), 4.05e-3, 1e-12)
	_, u := budgetOf(t, m, Reading{Ohms: 0.5, D: 1})
	near(t, "standard uncertainty", u, 4.05e-3/math.Sqrt(3), 1e-9)
}

// REFERENCES C10 and C11: solder against copper at 5 uV/C, 2 C apart, fakes
// 10 mohm at 1 mA; differencing or reversing the current cancels it.
func TestThermalEMF(t *testing.T) {
	m := Meter{Spec: Spec{EMFOhms: 5e-6 * 2 / 1e-3}}
	near(t, "EMF as ohms", m.Spec.EMFOhms, 10e-3, 1e-12)
	_, u := budgetOf(t, m, Reading{Ohms: 0.02, FourWire: true})
	near(t, "its part", u, 10e-3/math.Sqrt(3), 1e-9)
	if list, u := budgetOf(t, m, Reading{Ohms: 0.02, FourWire: true, Differenced: true}); u != 0 {
		t.Errorf("differenced: %v is left", list)
	}
}

// TestOffsetPerSetup: two readings of one set-up share their offset, so that
// their difference is free of it; of two set-ups it is not.
func TestOffsetPerSetup(t *testing.T) {
	m := Meter{NoiseFourWireOhms: 1e-6, Spec: Spec{OffsetOhms: 50e-6}}
	sites := []suspect.Site{{Prior: 0.5}, {Prior: 0.5}}
	ask := func(second int, differenced bool) float64 {
		c := Case{Sites: sites, Meter: m, Readings: []Reading{
			{Ohms: 150e-6, FourWire: true, C: [][]float64{{100e-6, 100e-6}}},
			{Ohms: 170e-6, FourWire: true, C: [][]float64{{120e-6, 150e-6}}, Setup: second},
		}}
		for i := range c.Readings {
			c.Readings[i].Differenced = differenced
		}
		p, err := Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		return p.P[0]
	}
	if one := ask(0, false); one < 0.999 {
		t.Errorf("one set-up: %.4f for the place that the difference fits", one)
	}
	// Apart, the second offset is 50 or 20 uohm: odds exp((1-0.16)/2 ... ) turn.
	want := 1 / (1 + math.Exp((sq(50)-sq(20))/(2*sq(50))))
	near(t, "two set-ups", ask(1, false), want, 0.01)
}

func sq(x float64) float64 { return x * x }

// TestTouches: of steady touches the lowest that repeats is believed, their
// noise goes down with their number, and a stray touch changes nothing.
func TestTouches(t *testing.T) {
	m := Meter{NoiseOhms: 0.3e-3, ReadingFraction: 0.01}
	r := Reading{Ohms: 0.0188, D: 1, Touches: []float64{0.0251, 0.0187, 0.0190, 0.0188, 0.0300}}
	got, above := m.touched(r)
	near(t, "believed", got.Ohms, (0.0187+0.0188+0.0190)/3, 1e-12)
	if above != nil {
		t.Error("steady touches were taken as skewed")
	}
	near(t, "uncertainty", m.averaged(r), math.Hypot(0.3e-3/math.Sqrt(3), 0.01*r.Ohms), 1e-9)
	list, u := budgetOf(t, m, r)
	near(t, "budget", u, m.averaged(r), 1e-9)
	if len(list) != 2 {
		t.Errorf("budget %v", list)
	}
}

// TestHandTouches: skewed touches multiply out as by brute force, and the
// posterior is what as many separate readings of the same places give.
func TestHandTouches(t *testing.T) {
	m, err := Profile("bench-6.5-digit-hand")
	if err != nil {
		t.Fatal(err)
	}
	m.ReadingFraction = 0
	sites := []suspect.Site{{Prior: 0.5}, {Prior: 0.5}}
	rows := [][]float64{{0.010, 0.016}}
	other := Reading{Ohms: 0.022, D: 1, C: [][]float64{{0.015, 0.014}}}
	touches := []float64{0.0205, 0.0162, 0.0171}
	one := Case{Sites: sites, Meter: m, Readings: []Reading{other,
		{Ohms: 0.0162, D: 1, C: rows, Touches: touches}}}
	apart := Case{Sites: sites, Meter: m, Readings: []Reading{other}}
	for _, v := range touches {
		apart.Readings = append(apart.Readings, Reading{Ohms: v, D: 1, C: rows})
	}
	a, err := Solve(one)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Solve(apart)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "probability", a.P[0], b.P[0], 1e-3)
}

// REFERENCES C3 and C4 (GUM H.2): volts, amperes and phase of five sets, each
// taken as the touches of one reading, have the printed means and standard
// uncertainties; so have resistance, reactance and impedance set by set, which
// is H.2's second way and keeps their correlation.
func TestGUMImpedance(t *testing.T) {
	volts := []float64{5.007, 4.994, 5.005, 4.990, 4.999}
	amps := []float64{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}
	phase := []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}
	var r, x, z []float64
	for i := range volts {
		z = append(z, volts[i]/amps[i])
		r, x = append(r, z[i]*math.Cos(phase[i])), append(x, z[i]*math.Sin(phase[i]))
	}
	for _, c := range []struct {
		name            string
		touches         []float64
		mean, u, within float64
	}{
		{"V", volts, 4.9990, 0.0032, 5e-5}, {"I", amps, 19.6610e-3, 0.0095e-3, 5e-8},
		{"phi", phase, 1.04446, 0.00075, 5e-6},
		{"R", r, 127.732, 0.071, 5e-4}, {"X", x, 219.847, 0.2956, 5e-4}, {"Z", z, 254.260, 0.236, 5e-4},
	} {
		mean, square := 0.0, 0.0
		for _, v := range c.touches {
			mean += v / 5
		}
		for _, v := range c.touches {
			square += (v - mean) * (v - mean) / 4
		}
		m := Meter{NoiseOhms: math.Sqrt(square)}
		reading := Reading{D: 1, Touches: c.touches}
		got, _ := m.touched(reading)
		near(t, c.name, got.Ohms, c.mean, c.within)
		near(t, "u("+c.name+")", m.averaged(reading), c.u, 0.01*c.u)
	}
}

// REFERENCES C8 (JCGM 101): four rectangular laws of deviation 1 combine to 2;
// the normal law then gives 3.92 for 95 %, the exact law 3.879, so that taking
// limits as normal errs by 1 % and to the safe side.
func TestSumOfRectangles(t *testing.T) {
	limit := math.Sqrt(3)
	m := Meter{Spec: Spec{OfRangeOhms: limit, EMFOhms: limit}}
	_, two := budgetOf(t, m, Reading{Ohms: 0, FourWire: true})
	u := math.Sqrt2 * two
	near(t, "combined", u, 2, 1e-12)
	near(t, "normal 95 %", 1.959964*u, 3.91993, 1e-5)
	rng := rand.New(rand.NewPCG(4, 101))
	const n = 400_000
	inside, below := 0.0, 0.0
	for range n {
		sum := 0.0
		for range 4 {
			sum += limit * (2*rng.Float64() - 1)
		}
		if math.Abs(sum) < 1.959964*u {
			inside++
		}
		if math.Abs(sum) < 3.87941 {
			below++
		}
	}
	near(t, "exact law's 95 %", below/n, 0.95, 0.0015)
	if inside/n < 0.95 {
		t.Errorf("the normal interval holds %.4f", inside/n)
	}
}
