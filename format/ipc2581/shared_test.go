package ipc2581

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

// dm0002 is the real board of the outside checks: revision C, 4 copper layers.
func dm0002(t *testing.T) *Design {
	path := filepath.Join(check.Shared(t), "checks", "boards", "ipc2581-dm0002", "DM0002-IPC-2518.xml")
	d, err := readOnce(path)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

var readOnce = func() func(path string) (*Design, error) {
	var once sync.Once
	var d *Design
	var err error
	return func(path string) (*Design, error) {
		once.Do(func() {
			var f *os.File
			if f, err = os.Open(path); err == nil {
				defer f.Close()
				d, err = Read(f, "DM0002.xml")
			}
		})
		return d, err
	}
}()

// Counts were taken apart from this reader by a text search of the file; the
// layers and thicknesses stand in its stack-up.
func TestRealBoard(t *testing.T) {
	d := dm0002(t)
	want := []Layer{
		{Name: "F.Cu", Side: "TOP", Thickness: 35000, Below: 210400},
		{Name: "In1.Cu", Side: "INTERNAL", Thickness: 15200, Below: 1065000},
		{Name: "In2.Cu", Side: "INTERNAL", Thickness: 15200, Below: 210400},
		{Name: "B.Cu", Side: "BOTTOM", Thickness: 35000},
	}
	if len(d.Layers) != len(want) {
		t.Fatalf("got layers %v", names(d))
	}
	for i, l := range d.Layers {
		if l.Name != want[i].Name || l.Side != want[i].Side || l.Thickness != want[i].Thickness || l.Below != want[i].Below {
			t.Errorf("layer %d: got %s %s %d %d, want %+v", i, l.Name, l.Side, l.Thickness, l.Below, want[i])
		}
	}
	if d.Thickness != 1606200 || len(d.Components) != 59 || len(d.Holes) != 72+4 || len(d.Repeats) != 0 {
		t.Errorf("got thickness %d, %d parts, %d holes", d.Thickness, len(d.Components), len(d.Holes))
	}
	unplated, slots := 0, 0
	for _, h := range d.Holes {
		if !h.Plated {
			unplated++
		}
		if h.Outline != nil {
			slots++
			if h.Diameter < 999_900 || h.Diameter > 1_000_100 || max(h.At.X-h.To.X, h.To.X-h.At.X) > 100 {
				t.Errorf("a slot 1 mm wide along y reads %v to %v, %d wide", h.At, h.To, h.Diameter)
			}
		}
	}
	if unplated != 2 || slots != 4 {
		t.Errorf("got %d unplated holes and %d slots, want 2 and 4", unplated, slots)
	}
	// The profile spans 15 mm by 38.6 mm.
	if b := d.Profile[0].Bounds(); b.Max.X-b.Min.X != 15_000_000 || b.Max.Y-b.Min.Y != 38_600_000 {
		t.Errorf("profile spans %v", b)
	}
	if len(d.Warnings) != 0 {
		t.Errorf("a sound file is doubted: %v", d.Warnings)
	}
	for _, c := range d.Components {
		if c.Ref == "C3" && c.Value != "100nF" {
			t.Errorf("C3 has value %q", c.Value)
		}
	}
}

// Two ways to a pin's place agree: its pad on the board, and the part's place
// and turn applied to the package's pin.
func TestRealPins(t *testing.T) {
	d := dm0002(t)
	pads := map[string][]geom.Point{}
	for _, l := range d.Layers {
		for _, o := range l.Objects {
			if o.Pin != "" {
				pads[o.Ref+"."+o.Pin] = append(pads[o.Ref+"."+o.Pin], o.At)
			}
		}
	}
	n := 0
	for _, c := range d.Components {
		for _, pin := range c.Pins {
			best := 1e18
			for _, at := range pads[c.Ref+"."+pin.Number] {
				best = min(best, geom.Distance(at, pin.At))
			}
			if len(pads[c.Ref+"."+pin.Number]) == 0 {
				continue // an unnamed paste or mounting pad
			}
			n++
			if best > 10 {
				t.Errorf("pin %s.%s: pad and package differ by %.0f nm", c.Ref, pin.Number, best)
			}
		}
	}
	if n < 190 {
		t.Errorf("only %d pins compared", n)
	}
}

// Copper of one net never overlaps copper of another; copper of one net is
// joined: through holes, every net's pins hang together.
func TestRealNetsApart(t *testing.T) {
	d := dm0002(t)
	for _, l := range d.Layers {
		byNet := map[string][]Object{}
		var all float64
		var order []string
		for _, o := range l.Objects {
			if o.Net == "" {
				continue
			}
			if byNet[o.Net] == nil {
				order = append(order, o.Net)
			}
			byNet[o.Net] = append(byNet[o.Net], o)
		}
		var named []Object
		for _, net := range order {
			all += mm2(image(byNet[net]))
			named = append(named, byNet[net]...)
		}
		// Areas add up only if no two nets overlap.
		check.Approx(t, mm2(image(named)), all, check.Tol{Abs: 1e-6}, l.Name)
		if len(order) < 3 || all < 300 || all > 15*38.6 {
			t.Errorf("%s: %d nets cover %.1f mm2 of a board of 579", l.Name, len(order), all)
		}
	}
}

// Every net of two or more pins is one piece of copper: pieces of a layer are
// joined where a plated hole lies in or touches them.
func TestRealNetsJoined(t *testing.T) {
	d := dm0002(t)
	group := joiner{}
	pinAt := map[string]map[int]bool{}
	piece := 0
	for i, l := range d.Layers {
		byNet := map[string][]Object{}
		for _, o := range l.Objects {
			byNet[o.Net] = append(byNet[o.Net], o)
		}
		for net, objects := range byNet {
			region := image(objects)
			find := geom.NewLocator(region)
			for h, hole := range d.Holes {
				if !hole.Plated || i < hole.First || i > hole.Last || hole.Net != net {
					continue
				}
				if at := find.Locate(hole.At); at >= 0 {
					group.join(piece+at, -1-h)
				}
			}
			for _, o := range objects {
				if o.Pin != "" && net != "" {
					key := net + " " + o.Ref + "." + o.Pin
					if pinAt[net] == nil {
						pinAt[net] = map[int]bool{}
					}
					at := find.Locate(o.At)
					if at < 0 {
						t.Errorf("%s: pad of %s lies on no copper", l.Name, key)
						continue
					}
					pinAt[net][piece+at] = true
				}
			}
			piece += len(region)
		}
	}
	if len(pinAt) < 60 {
		t.Errorf("only %d nets have pins", len(pinAt))
	}
	for net, pieces := range pinAt {
		roots := map[int]bool{}
		for p := range pieces {
			roots[group.root(p)] = true
		}
		if len(roots) != 1 {
			t.Errorf("net %s falls into %d pieces", net, len(roots))
		}
	}
}

// joiner finds what hangs together.
type joiner map[int]int

func (j joiner) root(a int) int {
	for {
		b, ok := j[a]
		if !ok || b == a {
			return a
		}
		a = b
	}
}

func (j joiner) join(a, b int) {
	if a, b = j.root(a), j.root(b); a != b {
		j[a] = b
	}
}
