package bench

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"ohmward/internal/check"
	"ohmward/internal/conduct"
	"ohmward/internal/mesh"
	"ohmward/internal/record"
)

// On real boards the likeliest suspects of shared cases, mended, are compared
// with a mesh that follows their contacts and is fine about them: what the
// first reading across the nets is predicted as, in squares of 35 µm copper. What
// is left is the coarse mesh's own error round the contact.
func TestSharpenedSuspects(t *testing.T) {
	if testing.Short() {
		t.Skip("meshes real boards once for each suspect: left out of -short")
	}
	var before, after, count float64
	for _, name := range []string{"openrpncalc-04", "openrpncalc-10", "orangecrab-10", "orangecrab-04", "glasgow-revc0-04"} {
		c, err := record.Read(filepath.Join(check.Shared(t), "checks", "cases", name+".json"))
		if err != nil {
			t.Fatal(err)
		}
		meter, err := meterOf(c.Meter)
		if err != nil {
			t.Fatal(err)
		}
		p, err := open(context.Background(), c.BoardPath(), Options{}.under(c))
		if err != nil {
			t.Fatal(err)
		}
		w, err := p.atWork(context.Background(), c)
		if err != nil {
			t.Fatal(err)
		}
		w.meter, w.knowledge = meter, w.copperKnown(c.Copper)
		if err := w.takeAll(c); err != nil {
			t.Fatal(err)
		}
		post, err := w.posterior()
		if err != nil {
			t.Fatal(err)
		}
		k := 0
		for w.readings[k].SameNet {
			k++
		}
		for _, pl := range post.Places[:min(4, len(post.Places))] {
			s := pl.Site
			one := w.sharpen(w.all(), []int{s})[k]
			want := followedReading(t, w, s, k)
			off := func(rows [][]float64) float64 {
				var sum float64
				for _, row := range rows {
					sum += row[min(s, len(row)-1)]
				}
				return (sum - want) / 0.4926e-3
			}
			plain, sharp := off(w.readings[k].C), off(one.C)
			t.Logf("%s site %d, reading %d: %.3f mohm; off %+.4f squares, unmended %+.4f", name, s, k+1, want*1e3, sharp, plain)
			before, after, count = before+math.Abs(plain), after+math.Abs(sharp), count+1
		}
	}
	t.Logf("mean: %.4f squares, unmended %.4f", after/count, before/count)
	if count == 0 || after > before/3 {
		t.Errorf("mended, suspects are off by %.4f squares in the mean, by %.4f as the mesh has them", after/count, before/count)
	}
}

// followedReading predicts a reading with a short at one site, on meshes that
// follow its contacts and are fine about them.
func followedReading(t *testing.T, w *work, site, reading int) float64 {
	t.Helper()
	var models [2]*conduct.Model
	discs := w.siteDiscs()
	for g := range models {
		d := discs[g][site]
		o := w.meshing(g, question{})
		for _, spot := range w.taken[reading].spots() {
			if w.groupOfNet(spot.Net) == g {
				o.Discs = append(o.Discs, w.disc(spot))
			}
		}

		o.Discs = append(o.Discs, d)
		o.Sizes = append(o.Sizes, conduct.SheetSize{Layer: d.Layer, Size: mesh.Size{At: d.At, Radius: 400_000, Edge: 10_000}})
		var err error
		if models[g], err = conduct.Build(context.Background(), w.group(g, w.material), o); err != nil {
			t.Fatal(err)
		}
		discs[g] = discs[g][site : site+1]
	}
	b, err := conduct.NewBridge(context.Background(), models, discs)
	if err != nil {
		t.Fatal(err)
	}
	p, err := b.Predict(w.fourContacts(w.taken[reading]))
	if err != nil {
		t.Fatal(err)
	}
	sum := p.Copper[0][0] + p.Copper[1][0]
	for _, tie := range p.Ties {
		sum += tie[0]
	}
	return sum
}
