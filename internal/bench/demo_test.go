package bench

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/demo"
	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
	"ohmward/unit"
)

// demoFault is the truth about one failed unit, from demo/faults.json.
type demoFault struct {
	Case   string      `json:"case"`
	Kind   string      `json:"kind"`
	Nets   []string    `json:"nets"`
	Layer  string      `json:"layer"`
	X      float64     `json:"x_mm"`
	Y      float64     `json:"y_mm"`
	X2     float64     `json:"x2_mm"`
	Y2     float64     `json:"y2_mm"`
	Ohms   float64     `json:"ohms"`
	Probes [][2]string `json:"probes"`
	OnA    string      `json:"on_a"`
}

func demoFaults(t *testing.T) []demoFault {
	t.Helper()
	data, err := fs.ReadFile(demo.Files(), "faults.json")
	if err != nil {
		t.Fatal(err)
	}
	var list struct{ Faults []demoFault }
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	return list.Faults
}

func (f demoFault) path(t *testing.T) string {
	return filepath.Join(check.Root(t), "demo", "cases", f.Case+".toml")
}

// The three failed units, under -short the one off the ground: the true place comes first
// and inside the radius.
func TestDemoCases(t *testing.T) {
	for i, f := range demoFaults(t) {
		if testing.Short() && f.Case != "pins" {
			continue
		}
		t.Run(f.Case, func(t *testing.T) {
			f.compare(t, f.readings(t, uint64(i)))
			a, err := Locate(context.Background(), f.path(t), "", withStore())
			if err != nil {
				t.Fatal(err)
			}
			dx, dy := (a.Best.X+a.Best.X2-f.X-f.X2)/2, (a.Best.Y+a.Best.Y2-f.Y-f.Y2)/2
			off := math.Hypot(dx, dy)
			t.Logf("%s: %.2f mm off, radius %.2f mm, %d readings, %s", f.Case, off, a.Best.RadiusMM, a.Readings, a.Fit.Verdict)
			if off > a.Best.RadiusMM {
				t.Errorf("the truth is %.2f mm from the best place, outside its radius of %.2f mm", off, a.Best.RadiusMM)
			}
			if off > math.Max(0.5, a.Best.Extent/2) {
				t.Errorf("the best place is %.2f mm off: %+v", off, a.Best.Site)
			}
			if a.Fit.Verdict != answer.OneShort {
				t.Errorf("verdict %q: %s", a.Fit.Verdict, a.Fit.Note)
			}
		})
	}
}

// compare holds the case file's readings to the simulated unit's, whose mesh
// may have moved since by a few thousandths; -update writes them anew.
func (f demoFault) compare(t *testing.T, readings []record.Reading) {
	t.Helper()
	if flag.Lookup("update").Value.String() == "true" {
		check.Golden(t, f.path(t), f.text(t, readings))
		return
	}
	c, err := record.Read(f.path(t))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Readings) != len(readings) {
		t.Fatalf("%d readings in the file, %d on the unit", len(c.Readings), len(readings))
	}
	for i, r := range readings {
		check.Approx(t, c.Readings[i].Ohms, r.Ohms, check.Tol{Rel: 0.005, Abs: 0.5e-3}, r.From+" to "+r.To)
	}
}

// text is the case file of a unit: its head as written by hand, and readings.
func (f demoFault) text(t *testing.T, readings []record.Reading) []byte {
	t.Helper()
	head, err := fs.ReadFile(demo.Cases(), f.Case+".toml")
	if err != nil {
		t.Fatal(err)
	}
	before, _, _ := strings.Cut(string(head), "\n[[reading]]")
	out := strings.TrimRight(before, "\n") + "\n"
	for _, r := range readings {
		out += fmt.Sprintf("\n[[reading]]\nfrom = %q\nto   = %q\nohms = %.5f\n", r.From, r.To, float64(r.Ohms))
	}
	return []byte(out)
}

// readings measures the unit with the profile that its case names.
func (f demoFault) readings(t *testing.T, seed uint64) []record.Reading {
	t.Helper()
	ctx := context.Background()
	p, err := engine.Open(ctx, engine.DemoName, withStore())
	if err != nil {
		t.Fatal(err)
	}
	s := &engine.Pair{Board: p}
	if err := s.ChooseNets(f.Nets); err != nil {
		t.Fatal(err)
	}
	layer, err := copper.ParsePlace(f.Layer + "@0,0")
	if err != nil {
		t.Fatal(err)
	}
	site := suspect.Site{LayerA: layer.Layer, LayerB: layer.Layer, A: geom.FromMM(f.X, f.Y), B: geom.FromMM(f.X2, f.Y2)}
	b := practice.Bench{Nets: s.Nets, Groups: s.Groups, Links: [2][]conduct.Link{s.PlainLinks(0), s.PlainLinks(1)}, Material: s.Material, Fault: &site, Ohms: f.Ohms}
	var list []conduct.Reading
	for _, pair := range f.Probes {
		at, err := p.ContactsNamed(false, pair[0], pair[1], nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, conduct.Reading{In: s.Probe(at.In), Out: s.Probe(at.Out), High: s.Probe(at.High), Low: s.Probe(at.Low)})
		b.Probes = append(b.Probes, s.Probe(at.In), s.Probe(at.Out))
	}
	rng := rand.New(rand.NewPCG(seed, 40))
	unit, err := practice.NewUnit(ctx, b, rng)
	if err != nil {
		t.Fatal(err)
	}
	profile, err := locate.Profile(engine.DefaultMeter)
	if err != nil {
		t.Fatal(err)
	}
	return measured(t, unit, practice.NewMeter(engine.NoiseOf(profile), rng), list, f.Probes)
}

func measured(t *testing.T, board *practice.Unit, meter *practice.Meter, list []conduct.Reading, names [][2]string) []record.Reading {
	t.Helper()
	d := &drill{unit: board, meter: meter}
	if err := d.nullLeads(); err != nil {
		t.Fatal(err)
	}
	var out []record.Reading
	for i, r := range list {
		exact, err := board.Reads(r)
		if err != nil {
			t.Fatal(err)
		}
		meter.Touch(exact, false)
		v, err := d.ask()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, record.Reading{From: names[i][0], To: names[i][1], Ohms: unit.Resistance(v - d.null)})
	}
	return out
}
