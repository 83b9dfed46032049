package conduct

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"ohmward/internal/boardread"
	"ohmward/internal/copper"
	"ohmward/unit"
)

// deck is a circuit for ngspice: resistors, and one ampere from out to in.
type deck struct {
	lines []string
}

func (d *deck) resistor(a, b string, ohms float64) {
	d.lines = append(d.lines, fmt.Sprintf("R%d %s %s %.17g", len(d.lines), a, b, ohms))
}

// volts runs the circuit with 1 A into node in, node out being ground, and
// gives the voltages of some nodes; it skips the test without ngspice.
func (d *deck) volts(t *testing.T, in, out string, nodes ...string) []float64 {
	t.Helper()
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("skipped: needs ngspice (Debian's package ngspice)")
	}
	ground := strings.NewReplacer(" "+out+" ", " 0 ")
	var text strings.Builder
	fmt.Fprintln(&text, "* copper")
	for _, l := range d.lines {
		fmt.Fprintln(&text, ground.Replace(l))
	}
	fmt.Fprintf(&text, "I1 0 %s dc 1\n.options gmin=1e-30 reltol=1e-9\n.control\nset numdgt=12\nop\n", in)
	for _, n := range nodes {
		if n != out {
			fmt.Fprintf(&text, "print v(%s)\n", n)
		}
	}
	fmt.Fprintln(&text, "quit 0\n.endc\n.end")
	file := filepath.Join(t.TempDir(), "copper.cir")
	if err := os.WriteFile(file, []byte(text.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(spice, "-b", file).CombinedOutput()
	if err != nil {
		t.Fatalf("ngspice: %v\n%.2000s", err, said)
	}
	got := map[string]float64{strings.ToLower(out): 0}
	for _, m := range regexp.MustCompile(`(?m)^v\((\w+)\) = (\S+)`).FindAllSubmatch(said, -1) {
		v, err := strconv.ParseFloat(string(m[2]), 64)
		if err != nil {
			t.Fatal(err)
		}
		got[string(m[1])] = v
	}
	var list []float64
	for _, n := range nodes {
		v, ok := got[strings.ToLower(n)]
		if !ok {
			t.Fatalf("ngspice gave no v(%s):\n%.2000s", n, said)
		}
		list = append(list, v)
	}
	return list
}

// demoNets is the demo's copper.
func demoNets(t *testing.T) *copper.Nets {
	t.Helper()
	nets, err := readDemo()
	if err != nil {
		t.Fatal(err)
	}
	return nets
}

// readDemo reads the demo board once for all tests.
var readDemo = sync.OnceValues(func() (*copper.Nets, error) {
	ctx := context.Background()
	b, err := boardread.Open(ctx, filepath.Join("..", "..", "demo", "board"), boardread.Options{}, func(string) {})
	if err != nil {
		return nil, err
	}
	return copper.Extract(ctx, b, copper.Options{})
})

func netNamed(t *testing.T, nets *copper.Nets, name string) int {
	t.Helper()
	n, err := nets.ByName(name)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// pinDisc is the contact at a pin.
func pinDisc(t *testing.T, nets *copper.Nets, pin string) Disc {
	t.Helper()
	s, err := nets.Resolve(copper.Place{Pin: pin})
	if err != nil {
		t.Fatal(err)
	}
	return Disc{Layer: s.Layer, At: s.At, Diameter: copper.DefaultTip}
}

// Outside check: every resistor of a net's finite-element network as ngspice
// solves it, the contacts' unknowns being one node each.
func TestSpiceNetwork(t *testing.T) {
	onlyInFull(t)
	nets := demoNets(t)
	g := FromNets(nets, []int{netNamed(t, nets, "+3V3A")}, nil, Material{Temp: unit.Celsius(20)})
	discs := []Disc{pinDisc(t, nets, "FB1.2"), pinDisc(t, nets, "C33.1")}
	m, err := Build(context.Background(), g, Options{Discs: discs})
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Prepare(discs, 0)
	if err != nil {
		t.Fatal(err)
	}
	name := map[int32]string{}
	for i, arcs := range c.spaces[0].arcs {
		for _, a := range arcs {
			if len(a.Index) != 1 {
				t.Fatalf("contact %d has an arc over %d unknowns: the mesh does not follow it", i, len(a.Index))
			}
			name[a.Index[0]] = fmt.Sprintf("c%d", i)
		}
	}
	node := func(u int32) string {
		if n, ok := name[u]; ok {
			return n
		}
		return fmt.Sprintf("n%d", u)
	}
	var d deck
	a := m.nodal.matrix
	for j := range a.N {
		for k := a.Start[j]; k < a.Start[j+1]; k++ {
			if from, to := node(int32(j)), node(a.Row[k]); from != to && a.Value[k] != 0 {
				d.resistor(from, to, -1/a.Value[k])
			}
		}
	}
	want := d.volts(t, "c0", "c1", "c0")[0]
	r, err := c.Resistance(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d nodes, %d resistors: ngspice %.12g ohm, ours %.12g", a.N, len(d.lines), want, r.Ohms)
	if math.Abs(r.Ohms/want-1) > 1e-7 {
		t.Errorf("got %.12g ohm, ngspice gives %.12g", r.Ohms, want)
	}
}

// addReduced adds the network that contacts with impedances z see: the
// inverse of z against the first contact, as resistors between all pairs.
func (d *deck) addReduced(t *testing.T, z [][]float64, nodes []string) {
	t.Helper()
	n := len(z) - 1
	a := make([]float64, n*n)
	for i := range n {
		for j := range n {
			a[i*n+j] = z[i+1][j+1] - z[i+1][0] - z[0][j+1] + z[0][0]
		}
	}
	y, err := inverse(a, n)
	if err != nil {
		t.Fatal(err)
	}
	for i := range n {
		var rest float64
		for j := range n {
			rest += y[i*n+j]
			if j < i {
				d.resistor(nodes[i+1], nodes[j+1], -1/y[i*n+j])
			}
		}
		d.resistor(nodes[i+1], nodes[0], 1/rest)
	}
}

// touch is a contact of a reduced network: a node, its disc, and into how many
// arcs its rim is cut; 0 for a tie's end, which takes the mean of its rim.
type touch struct {
	node   string
	disc   Disc
	pieces int
}

// addCopper adds what some contacts see of a net's copper.
func (d *deck) addCopper(t *testing.T, m *Model, at []touch) {
	t.Helper()
	c := &Contacts{model: m}
	f := &contactSpace{space: m.nodal}
	var all []int
	var nodes []string
	for i, x := range at {
		arcs, err := m.arcs(m.nodal, x.disc, x.pieces)
		if x.pieces == 0 {
			var mean arc
			mean, err = m.mean(m.nodal, x.disc)
			arcs = []arc{mean}
		}
		if err != nil {
			t.Fatal(err)
		}
		f.arcs = append(f.arcs, arcs)
		c.Discs = append(c.Discs, x.disc)
		c.touched = append(c.touched, m.rims.touched(x.disc))
		all, nodes = append(all, i), append(nodes, x.node)
	}
	f.solve()
	c.spaces = []*contactSpace{f}
	z, err := c.Impedance(all)
	if err != nil {
		t.Fatal(err)
	}
	d.addReduced(t, z, nodes)
}

// Outside check: a short on the demo board as a circuit. Each of three nets is
// reduced to what its contacts see of it, the bead and the bridge are
// resistors of their own, and ngspice gives the readings that Predict
// foretells.
func TestSpiceShort(t *testing.T) {
	onlyInFull(t)
	const bead, bridge = 0.1, 0.0023
	nets := demoNets(t)
	ctx := context.Background()
	supply, analogue, ground := netNamed(t, nets, "+3V3"), netNamed(t, nets, "+3V3A"), netNamed(t, nets, "GND")
	pads := [2]int{nets.Pads("FB1", "1")[0], nets.Pads("FB1", "2")[0]}
	if nets.PadNet(pads[0]) != supply {
		pads[0], pads[1] = pads[1], pads[0]
	}
	site := [2]Disc{discAt(17.25, 28.2), discAt(16.35, 28.2)}
	pins := map[string]Disc{}
	discs := [2][]Disc{{site[0]}, {site[1]}}
	for _, name := range []string{"C3.2", "C8.1", "C29.1", "C16.1"} {
		pins[name] = pinDisc(t, nets, name)
		discs[0] = append(discs[0], pins[name])
	}
	for _, name := range []string{"C3.1", "C29.2", "C14.2"} {
		pins[name] = pinDisc(t, nets, name)
		discs[1] = append(discs[1], pins[name])
	}
	build := func(members []int, links []Link, at []Disc) *Model {
		m, err := Build(ctx, FromNets(nets, members, links, Material{Temp: unit.Celsius(20)}), Options{Discs: at})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	links := []Link{{Part: "FB1", A: pads[0], B: pads[1], Ohms: bead}}
	b, err := NewBridge(
		ctx, [2]*Model{build([]int{supply, analogue}, links, discs[0]), build([]int{ground}, nil, discs[1])},
		[2][]Disc{{site[0]}, {site[1]}},
	)
	if err != nil {
		t.Fatal(err)
	}
	opened, err := b.Models[0].Without([]string{"FB1"})
	if err != nil {
		t.Fatal(err)
	}
	alone := map[int]*Model{supply: opened, analogue: opened, ground: b.Models[1]}
	netOf := map[string]int{
		"C3.2":  supply,
		"C8.1":  supply,
		"C29.1": analogue,
		"C16.1": analogue,
		"C3.1":  ground,
		"C29.2": ground,
		"C14.2": ground,
	}
	for _, c := range [][4]string{
		{"C29.1", "C29.2", "C29.1", "C29.2"}, {"C3.2", "C3.1", "C3.2", "C3.1"}, {"C16.1", "C14.2", "C16.1", "C14.2"},
		{"C3.2", "C14.2", "C29.1", "C16.1"}, {"C3.2", "C14.2", "C29.1", "C29.2"}, {"C16.1", "C29.2", "C14.2", "C3.1"}, {"C3.2", "C29.1", "C8.1", "C16.1"},
	} {
		at := map[int][]touch{
			supply: {{"bead1", Disc{nets.Board.Pads[pads[0]].Layer, nets.Board.Pads[pads[0]].At, tieDiameter}, 0}},
			analogue: {
				{"bead2", Disc{nets.Board.Pads[pads[1]].Layer, nets.Board.Pads[pads[1]].At, tieDiameter}, 0},
				{"sitea", site[0], sitePieces},
			},
			ground: {{"siteb", site[1], sitePieces}},
		}
		var probes [4]Probe
		var nodes [4]string
		known := map[string]bool{}
		for k, name := range c {
			net := netOf[name]
			probes[k] = Probe{b2i(net == ground), pins[name]}
			nodes[k] = strings.ToLower(strings.ReplaceAll(name, ".", "x"))
			if !known[name] {
				at[net] = append(at[net], touch{nodes[k], pins[name], probePieces})
			}
			known[name] = true
		}
		var d deck
		for _, net := range []int{supply, analogue, ground} {
			if len(at[net]) > 1 {
				d.addCopper(t, alone[net], at[net])
			}
		}
		d.resistor("bead1", "bead2", bead)
		d.resistor("sitea", "siteb", bridge)
		v := d.volts(t, nodes[0], nodes[1], nodes[2], nodes[3])
		want := v[0] - v[1]
		p, err := b.Predict(Reading{probes[0], probes[1], probes[2], probes[3]})
		if err != nil {
			t.Fatal(err)
		}
		got := p.sum()[0] + p.Bridge*bridge
		for _, tie := range p.Ties {
			got += tie[0]
		}
		t.Logf("%v: ngspice %.9g ohm, ours %.9g", c, want, got)
		if math.Abs(got-want) > 1e-9+1e-7*math.Abs(want) {
			t.Errorf("%v: got %.9g ohm, ngspice gives %.9g", c, got, want)
		}
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
