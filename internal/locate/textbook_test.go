package locate

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"ohmward/internal/geom"
	"ohmward/internal/suspect"
)

func oneSite() []suspect.Site {
	return []suspect.Site{{Kind: suspect.Gap, Prior: 1}}
}

// TestConjugate: two places, two readings, κ Gaussian, Rs not seen: the
// posterior is a ratio of two bivariate normal densities written out by hand.
func TestConjugate(t *testing.T) {
	sites := []suspect.Site{{Prior: 0.3}, {Prior: 0.7, A: geom.FromMM(5, 0), B: geom.FromMM(5, 0)}}
	m := Meter{NoiseOhms: 1e-3, NoiseFourWireOhms: 2e-4}
	c := [2][2]float64{{0.010, 0.003}, {0.012, 0.004}} // [reading][site]
	obs := [2]float64{0.0108, 0.0125}
	scale := 0.09
	p, err := Solve(Case{
		Sites: sites, Meter: m, Copper: Copper{Scale: scale},
		Readings: []Reading{
			{Ohms: obs[0], FourWire: true, C: [][]float64{c[0][:]}},
			{Ohms: obs[1], FourWire: true, C: [][]float64{c[1][:]}},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	density := func(s int) float64 {
		u2, k2 := 2e-4*2e-4, scale*scale
		a, b := u2+k2*c[0][s]*c[0][s], u2+k2*c[1][s]*c[1][s]
		x := k2 * c[0][s] * c[1][s]
		det := a*b - x*x
		e0, e1 := obs[0]-c[0][s], obs[1]-c[1][s]
		return math.Exp(-0.5*(b*e0*e0-2*x*e0*e1+a*e1*e1)/det) / math.Sqrt(det)
	}
	d0, d1 := 0.3*density(0), 0.7*density(1)
	near(t, "P of place 1", p.P[0], d0/(d0+d1), 1e-9)
}

// TestRsGrid: one place against another when Rs is integrated, compared with
// a brute-force sum over ln r in 2·10⁵ steps.
func TestRsGrid(t *testing.T) {
	m := Meter{NoiseOhms: 0.3e-3, NullOhms: 0.5e-3}
	for _, ohms := range [][2]float64{{0.010, 0.0152}, {0.0100, 0.0149}, {0.0097, 0.0150}, {0.5, 0.5051}, {0.013, 0.018}} {
		sites := []suspect.Site{{Prior: 0.5}, {Kind: suspect.Part, Prior: 0.5, A: geom.FromMM(5, 0), B: geom.FromMM(5, 0)}}
		c := [2][2]float64{{0.0098, 0.0090}, {0.0149, 0.0141}}
		cs := Case{Sites: sites, Meter: m, Copper: Copper{Scale: 0.02}}
		for k := range ohms {
			cs.Readings = append(cs.Readings, Reading{Ohms: ohms[k], D: 1, C: [][]float64{c[k][:]}})
		}
		p, err := Solve(cs)
		if err != nil {
			t.Fatal(err)
		}
		sum := func(s int) float64 {
			pr := priorOf(sites[s].Kind)
			n2, z2, k2 := 0.09e-6, 0.25e-6, 0.0004
			a, b := n2+z2+k2*c[0][s]*c[0][s], n2+z2+k2*c[1][s]*c[1][s]
			x := z2 + k2*c[0][s]*c[1][s]
			det := a*b - x*x
			total, steps := 0.0, 200000
			h := math.Log(pr.high/pr.low) / float64(steps)
			for i := range steps {
				r := pr.low * math.Exp((float64(i)+0.5)*h)
				e0, e1 := ohms[0]-c[0][s]-r, ohms[1]-c[1][s]-r
				total += h * pr.density(r) * math.Exp(-0.5*(b*e0*e0-2*x*e0*e1+a*e1*e1)/det) / math.Sqrt(det)
			}
			return total
		}
		d0, d1 := sum(0), sum(1)
		near(t, "P of the gap", p.P[0], d0/(d0+d1), 2e-5)
	}
}

// line makes the least-squares core fit y = y1 + y2·x: the two coefficients
// are own factors of two components with priors too broad to matter.
func line(x, y []float64, sd float64) (b [2]float64, cov [4]float64) {
	c := Case{Sites: oneSite(), Copper: Copper{Own: []float64{1e3, 1e3}}}
	for i := range x {
		c.Readings = append(c.Readings, Reading{Ohms: y[i], U: sd, FourWire: true, C: [][]float64{{1}, {x[i]}}})
	}
	m := newModel(c, &Lay{links: make([]link, 1)}, func(int, Reading) bool { return true })
	w := m.room()
	m.load(0, w)
	m.gauss(w, -1, true)
	theta := append([]float64(nil), w.a...)
	backward(w.h, m.cols, theta)
	for i := range 2 {
		b[i] = 1 + 1e3*theta[1+i]
		for j := range 2 {
			e, f := make([]float64, m.cols), make([]float64, m.cols)
			e[1+i], f[1+j] = 1e3, 1e3
			forward(w.h, m.cols, e)
			forward(w.h, m.cols, f)
			cov[2*i+j] = dot(e, f)
		}
	}
	return b, cov
}

// TestGUMH3 is REFERENCES C5: JCGM 100:2008 Annex H.3, calibration of a
// thermometer, by the same core that integrates the copper factors.
func TestGUMH3(t *testing.T) {
	temp := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	y := []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160}
	x := make([]float64, len(temp))
	for i := range x {
		x[i] = temp[i] - 20
	}
	s := 0.003498
	b, cov := line(x, y, s)
	near(t, "y1", b[0], -0.17120, 6e-6)
	near(t, "y2", b[1], 0.002183, 6e-7)
	near(t, "s(y1)", math.Sqrt(cov[0]), 0.00288, 6e-6)
	near(t, "s(y2)", math.Sqrt(cov[3]), 0.000668, 6e-7)
	near(t, "r", cov[1]/math.Sqrt(cov[0]*cov[3]), -0.9304, 6e-5)
	near(t, "b(30)", b[0]+10*b[1], -0.14938, 6e-6)
	near(t, "u(b(30))", math.Sqrt(cov[0]+100*cov[3]+20*cov[1]), 0.00414, 6e-6)
}

// TestNorris is REFERENCES D1: NIST StRD Norris, certified coefficients and
// their standard deviations. The broad prior pulls by about 1e-9.
func TestNorris(t *testing.T) {
	const data = `.2:.1 337.4:338.8 118.2:118.1 884.6:888 10.1:9.2 226.5:228.1 666.3:668.5 996.3:998.5 448.6:449.1 777:778.9 558.2:559.2 .4:.3 .6:.1 775.5:778.1 666.9:668.8 338:339.3 447.5:448.9 11.6:10.8 556:557.7 228.1:228.3 995.8:998 887.6:888.8 120.2:119.6 .3:.3 .3:.6 556.8:557.6 339.1:339.3 887.2:888 999:998.5 779:778.9 11.1:10.2 118.3:117.6 229.2:228.9 669.1:668.4 448.9:449.2 .5:.2`
	var x, y []float64
	for _, f := range strings.Fields(data) {
		a, b := pairOf(t, f)
		x, y = append(x, a), append(y, b)
	}
	sd := 0.884796396144373
	b, cov := line(x, y, sd)
	near(t, "B0", b[0], -0.262323073774029, 2e-7)
	near(t, "B1", b[1], 1.00211681802045, 1e-9)
	near(t, "sd B0", math.Sqrt(cov[0]), 0.232818234301152, 1e-7)
	near(t, "sd B1", math.Sqrt(cov[3]), 0.000429796848199937, 1e-11)
}

// TestBoundOfALine is REFERENCES C13: positions 0..4, noise 1; the slope's
// variance with a free constant is 0.1. The slope is the short's place, the
// constant Rs.
func TestBoundOfALine(t *testing.T) {
	step := 0.2e-3
	c := Case{Meter: Meter{}}
	for i := range 3 {
		p := geom.FromMM(float64(i)*0.2, 0)
		c.Sites = append(c.Sites, suspect.Site{A: p, B: p, Length: step, Prior: 1})
	}
	for x := range 5 {
		row := make([]float64, 3)
		for i := range row {
			row[i] = float64(x) * float64(i) * step
		}
		c.Readings = append(c.Readings, Reading{U: 1, D: 1, C: [][]float64{row}})
	}
	sigma, ok := c.Bound(1)
	if !ok {
		t.Fatal("no bound")
	}
	near(t, "sigma", sigma, 1e3*math.Sqrt(0.1), 1e-6)
	// Readings that do not differ in slope tell nothing beside a free Rs.
	for k := range c.Readings {
		c.Readings[k].C[0] = []float64{0, step, 2 * step}
	}
	if s, ok := c.Bound(1); ok {
		t.Errorf("bound %g mm where Rs hides the place", s)
	}
}

func pairOf(t *testing.T, s string) (a, b float64) {
	t.Helper()
	l, r, _ := strings.Cut(s, ":")
	var err error
	if a, err = strconv.ParseFloat(l, 64); err == nil {
		b, err = strconv.ParseFloat(r, 64)
	}
	if err != nil {
		t.Fatal(err)
	}
	return a, b
}
