package locate

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/suspect"
)

func oneSite() []suspect.Site {
	return []suspect.Site{{Kind: suspect.Gap, Prior: 1}}
}

// astray is a likelihood of two readings when one of them may have gone
// astray: of gives it for extra variances of the readings.
func astray(sd float64, prior [2]float64, c [2][2]float64, of func(v0, v1 float64) float64) float64 {
	wide := func(k int) float64 {
		mean := prior[0]*c[k][0] + prior[1]*c[k][1]
		v := prior[0]*(c[k][0]-mean)*(c[k][0]-mean) + prior[1]*(c[k][1]-mean)*(c[k][1]-mean)
		return math.Max(outlierNoise*outlierNoise*sd*sd, outlierSpread*outlierSpread*v)
	}
	return of(0, 0) + outlierChance*(of(wide(0), 0)+of(0, wide(1)))
}

// TestConjugate: two places, two readings, κ Gaussian, Rs not seen: the
// posterior is a ratio of bivariate normal densities written out by hand.
func TestConjugate(t *testing.T) {
	sites := []suspect.Site{{Prior: 0.3}, {Prior: 0.7, A: geom.FromMM(5, 0), B: geom.FromMM(5, 0)}}
	m := Meter{NoiseOhms: 1e-3, NoiseFourWireOhms: 2e-4}
	c := [2][2]float64{{0.010, 0.0104}, {0.012, 0.0108}} // [reading][site]
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
		return astray(2e-4, [2]float64{0.3, 0.7}, c, func(v0, v1 float64) float64 {
			u2, k2 := 2e-4*2e-4, scale*scale
			a, b := u2+v0+k2*c[0][s]*c[0][s], u2+v1+k2*c[1][s]*c[1][s]
			x := k2 * c[0][s] * c[1][s]
			det := a*b - x*x
			e0, e1 := obs[0]-c[0][s], obs[1]-c[1][s]
			return math.Exp(-0.5*(b*e0*e0-2*x*e0*e1+a*e1*e1)/det) / math.Sqrt(det)
		})
	}
	d0, d1 := 0.3*density(0), 0.7*density(1)
	if r := d1 / d0; r < 1e-3 || r > 1e3 {
		t.Fatalf("the places differ by a factor of %g: this tests nothing", r)
	}
	near(t, "P of place 1", p.P[0], d0/(d0+d1), 1e-9)
}

// TestRsGrid: one place against another when Rs is integrated, compared with
// a brute-force sum over ln r in 2·10⁵ steps. What a reading that went astray
// adds takes the prior of Rs as even over its width.
func TestRsGrid(t *testing.T) {
	m := Meter{NoiseOhms: 0.3e-3, NullOhms: 0.5e-3}
	cases := [][2]float64{{0.010, 0.0152}, {0.5, 0.5051}, {0.0100, 0.0149}, {0.0097, 0.0150}, {0.013, 0.018}}
	if testing.Short() {
		cases = cases[:2]
	}
	for _, ohms := range cases {
		sites := []suspect.Site{{Prior: 0.5}, {Kind: suspect.Part, Prior: 0.5, A: geom.FromMM(5, 0),
			B: geom.FromMM(5, 0)}}
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
			return astray(0.3e-3, [2]float64{0.5, 0.5}, c, func(v0, v1 float64) float64 {
				n2, z2, k2 := 0.09e-6, 0.25e-6, 0.0004
				a, b := n2+v0+z2+k2*c[0][s]*c[0][s], n2+v1+z2+k2*c[1][s]*c[1][s]
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
			})
		}
		d0, d1 := sum(0), sum(1)
		near(t, "P of the gap", p.P[0], d0/(d0+d1), 2e-4)
	}
}

// line makes the least-squares core fit y = y1 + y2·x.
func line(x, y []float64, sd float64) (b [2]float64, cov [4]float64) {
	one := make([]float64, len(x))
	for i := range one {
		one[i] = 1
	}
	coef, c := regress([][]float64{one, x}, y, sd, 1e3)
	return [2]float64(coef), [4]float64(c)
}

// regress makes the least-squares core fit y by the columns: their
// coefficients are own factors of as many components, with priors of width
// broad around 1. cov is row by row.
func regress(columns [][]float64, y []float64, sd, broad float64) (b, cov []float64) {
	n := len(columns)
	c := Case{Sites: oneSite()}
	for range columns {
		c.Copper.Own = append(c.Copper.Own, broad)
	}
	for i := range y {
		r := Reading{Ohms: y[i], U: sd, FourWire: true}
		for _, x := range columns {
			r.C = append(r.C, []float64{x[i]})
		}
		c.Readings = append(c.Readings, r)
	}
	m := newModel(c, &SiteIndex{links: make([]link, 1)}, func(int, Reading) bool { return true })
	w := m.newWorkspace()
	m.load(0, w)
	m.gaussianFit(w)
	theta := append([]float64(nil), w.a...)
	backward(w.h, m.cols, theta)
	unit := func(i int) []float64 {
		e := make([]float64, m.cols)
		e[1+i] = broad
		forward(w.h, m.cols, e)
		return e
	}
	for i := range n {
		b = append(b, 1+broad*theta[1+i])
		for j := range n {
			cov = append(cov, dot(unit(i), unit(j)))
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

// longley is NIST StRD Longley: total employment, then the six predictors.
const longley = `60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962`

// TestLongley is REFERENCES D2: certified coefficients and deviations of a
// regression whose predictors are nearly collinear, to 1e-7. The core forms
// normal equations, which copper's few factors of like size allow; Longley's
// predictors are put on such a scale first: less their means, over their
// deviations.
func TestLongley(t *testing.T) {
	y, x := table(t, longley)
	n := float64(len(y))
	columns, mean, dev := [][]float64{make([]float64, len(y))}, []float64{0}, []float64{1}
	for i := range y {
		columns[0][i] = 1
	}
	for _, v := range x {
		mu, sq := 0.0, 0.0
		for _, a := range v {
			mu += a / n
		}
		for _, a := range v {
			sq += (a - mu) * (a - mu) / n
		}
		c := make([]float64, len(v))
		for i, a := range v {
			c[i] = (a - mu) / math.Sqrt(sq)
		}
		columns, mean, dev = append(columns, c), append(mean, mu), append(dev, math.Sqrt(sq))
	}
	const sd = 304.854073561965
	b, cov := regress(columns, y, sd, 1e9)
	p := len(columns)
	// Back to the predictors as they stand: row k of back makes B_k of b.
	back := make([][]float64, p)
	for k := range back {
		back[k] = make([]float64, p)
		back[k][k] = 1 / dev[k]
		if k > 0 {
			back[0][k] = -mean[k] / dev[k]
		}
	}
	for k, want := range [][2]float64{
		{-3482258.63459582, 890420.383607373}, {15.0618722713733, 84.9149257747669},
		{-0.0358191792925910, 0.0334910077722432},
		{-2.02022980381683, 0.488399681651699}, {-1.03322686717359, 0.214274163161675},
		{-0.0511041056535807, 0.226073200069370},
		{1829.15146461355, 455.478499142212},
	} {
		value, variance := dot(back[k], b), 0.0
		for i := range p {
			for j := range p {
				variance += back[k][i] * back[k][j] * cov[i*p+j]
			}
		}
		near(t, "B"+strconv.Itoa(k), value, want[0], 1e-7*math.Abs(want[0]))
		near(t, "sd of B"+strconv.Itoa(k), math.Sqrt(variance), want[1], 1e-7*want[1])
	}
}

// table reads numbers: the first of each line, and the others by column.
func table(t *testing.T, text string) (first []float64, rest [][]float64) {
	t.Helper()
	for _, row := range strings.Split(text, "\n") {
		for k, f := range strings.Fields(row) {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			if k == 0 {
				first = append(first, v)
				continue
			}
			if len(rest) < k {
				rest = append(rest, nil)
			}
			rest[k-1] = append(rest[k-1], v)
		}
	}
	return first, rest
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
	sigma, ok := newModel(c, c.siteIndex(), counts).bound(1)
	if !ok {
		t.Fatal("no bound")
	}
	near(t, "sigma", sigma, 1e3*math.Sqrt(0.1), 1e-6)
	// Readings that do not differ in slope tell nothing beside a free Rs.
	for k := range c.Readings {
		c.Readings[k].C[0] = []float64{0, step, 2 * step}
	}
	if s, ok := newModel(c, c.siteIndex(), counts).bound(1); ok {
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
