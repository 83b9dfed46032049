package conduct

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// Tips close together that the mesh does not follow share a patch: what they
// read against each other, against an electrode, and with a third tip's metal
// beside them, is right to 0.005 mohm for each tip. The reference is a fine
// mesh that follows them all, in the mean of both bounds.
func TestContactsTogether(t *testing.T) {
	n := few(2, 24)
	rng := rand.New(rand.NewPCG(2, 0.3e6))
	var worst float64
	for _, h := range hardFamily(2, n) {
		t.Run(h.name, func(t *testing.T) {
			box := h.box()
			for range 2 {
				h.at = append(
					h.at, [2]float64{h.at[0][0] + 0.9*(rng.Float64()-0.5), h.at[0][1] + 0.9*(rng.Float64()-0.5)},
				)
				last := &h.at[len(h.at)-1]
				last[0], last[1] = min(max(last[0], box[0]), box[2]), min(max(last[1], box[1]), box[3])
			}
			g, discs := h.problem()
			fine, err := Build(
				context.Background(), g, Options{Discs: discs[1:], Sizes: corners(g), MaxEdge: 20_000, Edge: true},
			)
			if err != nil {
				t.Fatal(err)
			}
			m, err := Build(context.Background(), g, Options{MaxEdge: evenSheet, Sizes: corners(g)})
			if err != nil {
				t.Fatal(err)
			}
			all := onCopper(fine, m, discs)
			want, got := impedances(t, fine, discs, all, 0), impedances(t, m, discs, all, probePieces)
			for i := range all {
				for j := range i {
					r := func(z [][]float64) float64 { return z[i][i] + z[j][j] - 2*z[i][j] }
					tips := 2.0
					if all[j] == 0 {
						tips = 1
					}
					off := (r(got) - r(want)) / tips
					worst = math.Max(worst, math.Abs(off))
					if math.Abs(off) > contactSlack {
						t.Errorf(
							"tips %v on %v: between %d and %d off by %.4f squares for each of %g tips, of %.4f", h.at, h.outline,
							all[i], all[j], off, tips, r(want),
						)
					}
				}
			}
		})
	}
	t.Logf("worst: %.4f square for each tip", worst)
}

func (h hardContact) box() [4]float64 {
	b := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range h.outline {
		b = [4]float64{min(b[0], p[0]), min(b[1], p[1]), max(b[2], p[0]), max(b[3], p[1])}
	}
	return b
}

// onCopper lists the contacts whose middle lies on copper.
func onCopper(fine, m *Model, discs []Disc) []int {
	all := []int{0}
	for i, d := range discs[1:] {
		x, y := float64(d.At.X)*1e-9, float64(d.At.Y)*1e-9
		if _, _, ok := fine.meshes[0].Find(x, y); ok && m.Reaches(d) {
			all = append(all, i+1)
		}
	}
	return all
}

func impedances(t *testing.T, m *Model, discs []Disc, which []int, pieces int) [][]float64 {
	t.Helper()
	var on []Disc
	for _, i := range which {
		on = append(on, discs[i])
	}
	c, err := m.Prepare(on, pieces)
	if err != nil {
		t.Fatal(err)
	}
	z, err := c.Impedance(c.all())
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// A tip chosen later and suspects all around it, some within its patch: the
// suspects are as the mesh has them, up to suspectSlack low wherever they are,
// and where the tip is does not change that.
func TestTipAmongSuspects(t *testing.T) {
	const suspectSlack = 0.1
	copper := rectangle(8, 1.2)
	g, _ := strip{copper, [][4]float64{{0, 0, 0, 1.2}}}.group(t.Name())
	tip := Disc{At: geom.FromMM(3.1, 0.31), Diameter: 300_000}
	var sites []Disc
	var sizes []SheetSize
	for i := range 30 {
		d := Disc{At: geom.FromMM(1+0.2*float64(i), 0), Diameter: 300_000}
		sites = append(sites, d)
		sizes = append(sizes, SheetSize{Size: mesh.Size{At: d.At, Radius: 150_000, Edge: 150_000}})
	}
	m, err := Build(context.Background(), g, Options{Sizes: sizes})
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Prepare([]Disc{tip}, probePieces)
	if err != nil {
		t.Fatal(err)
	}
	unrefined, err := m.prepareUnrefined(sites, sitePieces)
	if err != nil {
		t.Fatal(err)
	}
	view := c.View(unrefined)
	for s := 0; s < len(sites); s += few(15, 3) {
		d := sites[s]
		fine, err := Build(context.Background(), g, Options{Discs: []Disc{tip, d}, MaxEdge: 60_000, Edge: true})
		if err != nil {
			t.Fatal(err)
		}
		both, err := fine.Prepare([]Disc{tip, d}, 0)
		if err != nil {
			t.Fatal(err)
		}
		want, err := both.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		z, err := view.Impedance([]int{0}, s)
		if err != nil {
			t.Fatal(err)
		}
		off := z[0][0] + z[1][1] - 2*z[0][1] - want.Ohms
		t.Logf("suspect at %.1f: off %+.4f of %.4f squares", float64(d.At.X)*1e-6, off, want.Ohms)
		if off < -suspectSlack-contactSlack || off > 2*contactSlack {
			t.Errorf("suspect at %.1f: off by %.4f of %.4f squares", float64(d.At.X)*1e-6, off, want.Ohms)
		}
	}
}

// Where no patch can be made a contact stays as the mesh has it, and its bracket
// says how little that is worth: it holds the truth on a mesh that knows nothing
// of it, too, and so does the narrow one of a refined contact on an even mesh.
func TestContactBrackets(t *testing.T) {
	var lowest float64
	for _, h := range hardFamily(3, few(2, 16)) {
		g, discs := h.problem()
		want := reference(t, g, discs)
		for _, o := range []Options{{Sizes: corners(g)}, {Sizes: corners(g), MaxEdge: evenSheet}} {
			m, err := Build(context.Background(), g, o)
			if err != nil {
				t.Fatal(err)
			}
			prepare := m.prepareUnrefined
			if o.MaxEdge > 0 {
				prepare = m.Prepare
			}
			c, err := prepare(discs, probePieces)
			if err != nil {
				t.Fatal(err)
			}
			b, err := c.Resistance(0, 1)
			if err != nil {
				t.Fatal(err)
			}
			if b.Low > want.High || b.High < want.Low {
				t.Errorf("%s: bracket %.4f to %.4f does not hold %.4f", h.name, b.Low, b.High, want.Ohms)
			}
			lowest = math.Min(lowest, b.Ohms-want.Ohms)
		}
	}
	t.Logf("unrefined, the lowest is %.2f squares off", lowest)
	if !testing.Short() && lowest > -0.1 {
		t.Errorf("unrefined contacts are off by %.3f at most: the wide bracket serves nothing", lowest)
	}
}
