package conduct

import (
	"context"
	"math"
	"testing"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// siteMesh is the mesh that suspects get.
func siteMesh(discs []Disc) (o Options) {
	for _, d := range discs {
		o.Sizes = append(o.Sizes, SheetSize{Layer: d.Layer, Size: mesh.Size{At: d.At, Radius: 150_000, Edge: 150_000}})
	}
	return o
}

// againstSite is the resistance between a contact and each of some suspects, as
// the mesh has them and mended.
func againstSites(t *testing.T, m *Model, from Disc, sites []Disc) (plain, sharp []float64) {
	t.Helper()
	c, err := m.Prepare([]Disc{from}, probePieces)
	if err != nil {
		t.Fatal(err)
	}
	rough, err := m.prepareRough(sites, sitePieces)
	if err != nil {
		t.Fatal(err)
	}
	which := make([]int, len(sites))
	for i := range which {
		which[i] = i
	}
	read := func(v *View) (out []float64) {
		for s := range sites {
			z, err := v.Impedance([]int{0}, s)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, z[0][0]+z[1][1]-2*z[0][1])
		}
		return out
	}
	return read(c.View(rough)), read(c.View(rough.sharpened(which, c)))
}

// A suspect's contact mended when asked for adds 0.005 mohm or less to what the
// mesh errs by itself on hard copper, which a mesh that follows the contact errs
// as well; on one shape in ten the mesh that follows it happens to err less, by
// a tenth of a square at most. The reference follows it and is fine.
func TestSharpSites(t *testing.T) {
	if testing.Short() {
		t.Skip("solves dozens of shapes: left out of -short")
	}
	const n = 48
	var before, worst, beyond float64
	more := 0
	family := append(hardFamily(1, n), freshFamily(5, n)...)
	for _, h := range family {
		g, discs := h.problem()
		want := reference(t, g, discs)
		m, err := Build(context.Background(), g, siteMesh(discs[1:]))
		if err != nil {
			t.Fatal(err)
		}
		follows, err := Build(context.Background(), g, Options{Discs: discs[1:]})
		if err != nil {
			t.Fatal(err)
		}
		plain, sharp := againstSites(t, m, discs[0], discs[1:])
		off, own := sharp[0]-want.Ohms, math.Min(0, resistanceOf(t, follows, discs, probePieces)-want.Ohms)
		before, worst = math.Max(before, math.Abs(plain[0]-want.Ohms)), math.Max(worst, math.Abs(off))
		beyond = math.Max(beyond, math.Max(off, own-off))
		if off > contactSlack || off < own-contactSlack {
			more++
			t.Logf("%s: suspect at %v: off %+.4f of %.4f squares (unmended %+.4f, followed %+.4f)", h.name, h.at[0], off, want.Ohms, plain[0]-want.Ohms, own)
		}
	}
	t.Logf("worst: %.4f square, %.4f beyond what the mesh errs; unmended %.4f", worst, beyond, before)
	if more > len(family)/10 || beyond > 0.1 {
		t.Errorf("%d of %d suspects are off by more than the mesh is, by %.4f square at most", more, len(family), beyond)
	}
	if before < 0.1 {
		t.Errorf("unmended suspects are off by %.3f square at most: mending serves nothing", before)
	}
}

// Suspects close together share patches, in which one at a time is metal.
func TestSharpSitesTogether(t *testing.T) {
	g, electrodes := strip{rectangle(8, 1.2), [][4]float64{{0, 0, 0, 1.2}}}.group(t.Name())
	var sites []Disc
	for i := range 20 {
		sites = append(sites, Disc{At: geom.FromMM(2+0.2*float64(i), 0), Diameter: 300_000})
	}
	m, err := Build(context.Background(), g, siteMesh(sites))
	if err != nil {
		t.Fatal(err)
	}
	_, sharp := againstSites(t, m, electrodes[0], sites)
	for i, d := range sites {
		fine, err := Build(context.Background(), g, Options{Discs: []Disc{d}, MaxEdge: 40_000, Edge: true})
		if err != nil {
			t.Fatal(err)
		}
		both, err := fine.Prepare([]Disc{electrodes[0], d}, 0)
		if err != nil {
			t.Fatal(err)
		}
		want, err := both.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		if off := sharp[i] - want.Ohms; math.Abs(off) > contactSlack {
			t.Errorf("suspect %d: off %+.4f of %.4f squares", i, off, want.Ohms)
		}
	}
}
