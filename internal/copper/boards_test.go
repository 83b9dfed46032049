package copper

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ohmward/geom"
	"ohmward/internal/boardread"
)

// shared gives a path in the shared folder of real boards, or skips.
func shared(t testing.TB, parts ...string) string {
	t.Helper()
	root := os.Getenv("OHMWARD_SHARED")
	if root == "" {
		dir, err := os.Getwd()
		if err != nil {
			t.Fatal(err)
		}
		for ; root == ""; dir = filepath.Dir(dir) {
			if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
				root = filepath.Join(dir, "..", "shared")
			} else if dir == filepath.Dir(dir) {
				t.Skip("no go.mod above the test")
			}
		}
	}
	p := filepath.Join(append([]string{root}, parts...)...)
	if _, err := os.Stat(p); err != nil {
		t.Skipf("shared boards are not there: %s", p)
	}
	return p
}

// opened holds the nets of the boards that tests have read, and reading what
// processor time that took.
var (
	opened  = map[string]*Nets{}
	reading = map[string]time.Duration{}
)

// cpu is the processor time of this program so far, where the system tells it.
var cpu = func() time.Duration { return 0 }

// largeBoards take seconds to read: short runs leave them out.
var largeBoards = map[string]bool{"orangecrab": true, "glasgow-revc0": true, "upduino-v3": true, "simplefoc-shield": true}

// leftOut tells whether a short run leaves a board out.
func leftOut(name string) bool { return testing.Short() && largeBoards[name] }

// openBoard reads a shared board and extracts its nets, once for all tests.
func openBoard(t testing.TB, name string) *Nets {
	t.Helper()
	if n := opened[name]; n != nil {
		return n
	}
	start := cpu()
	b, err := boardread.Open(context.Background(), shared(t, "checks", "boards", name), boardread.Options{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	read := cpu() - start
	n, err := Extract(context.Background(), b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	reading[name] = cpu() - start
	t.Logf("%s: read %v, nets %v; %d layers, %d holes, %d pads, %d parts, %d nets, %d doubts", name, read.Round(time.Millisecond),
		(reading[name] - read).Round(time.Millisecond), len(b.Layers), len(b.Holes), len(b.Pads), len(b.Parts), len(n.Nets), len(b.Doubts)+len(n.Doubts))
	opened[name] = n
	return n
}

// expected is one board of nets.json.
type expected struct {
	Layers   int   `json:"layers"`
	WithName int   `json:"nets_with_copper"`
	Unnamed  int   `json:"unnamed_geometric_groups"`
	Groups   int   `json:"geometric_groups_total"`
	Clean    int   `json:"clean_nets"`
	Islands  []int `json:"copper_islands_per_layer"`
	Sample   map[string]struct {
		Clean bool          `json:"clean"`
		Pads  []expectedPad `json:"pads"`
	} `json:"sample"`
}

type expectedPad struct {
	Pad      string   `json:"pad"`
	X        float64  `json:"x_mm"`
	Y        float64  `json:"y_mm"`
	Layers   []string `json:"layers"`
	Kind     string   `json:"kind"`
	Function string   `json:"function"`
}

func expectations(t testing.TB) map[string]expected {
	t.Helper()
	data, err := os.ReadFile(shared(t, "checks", "nets.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Boards map[string]expected }
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	return all.Boards
}

var attributed = []string{"openrpncalc", "glasgow-revc0", "fomu-dvt1a", "orangecrab"}

// Outside check: nets.json of the shared checks, values of an independent
// program.
func TestNetsOfRealBoards(t *testing.T) {
	want := expectations(t)
	for _, name := range attributed {
		t.Run(name, func(t *testing.T) {
			if leftOut(name) {
				t.Skip("left out in short runs: a large board")
			}
			n, w := openBoard(t, name), want[name]
			if len(n.Layers) != w.Layers {
				t.Errorf("%d layers, want %d", len(n.Layers), w.Layers)
			}
			for i, r := range n.Layers {
				if len(r) != w.Islands[i] {
					t.Errorf("L%d has %d pieces of copper, want %d", i+1, len(r), w.Islands[i])
				}
			}
			named := 0
			for i := range n.Nets {
				if n.Nets[i].Named() {
					named++
				}
			}
			if named != w.WithName || len(n.Nets)-named != w.Unnamed {
				t.Errorf("%d named and %d unnamed nets, want %d and %d", named, len(n.Nets)-named, w.WithName, w.Unnamed)
			}
			for _, d := range n.Doubts {
				if strings.Contains(d.What, "slits narrower") {
					t.Log(d.What)
					continue
				}
				t.Errorf("doubt: %s:%d: %s", d.File, d.Line, d.What)
			}
			for net, s := range w.Sample {
				id, err := n.ByName(net)
				if err != nil {
					t.Error(err)
					continue
				}
				for _, p := range s.Pads {
					for _, l := range p.Layers {
						layer := int(l[1] - '1')
						got, ok := n.NetAt(layer, geom.FromMM(p.X, p.Y))
						if !ok || got != id {
							t.Errorf("%s at %s@%g,%g: net %d, want %s", p.Pad, l, p.X, p.Y, got, net)
						}
					}
				}
				comparePads(t, n, id, net, s.Pads)
			}
		})
	}
}

// comparePads asks that the pads of a net are the expected ones, by layer and
// place (regions have no one place: 0.1 mm), and by pin where the list names
// it. The list's vias and the copper parts of a footprint that are no pads
// are left out.
func comparePads(t *testing.T, n *Nets, id int, net string, want []expectedPad) {
	t.Helper()
	matched := make([]bool, len(n.Nets[id].Pads))
	for _, w := range want {
		if w.Function == "ViaPad" {
			continue
		}
		for _, l := range w.Layers {
			found := false
			for k, i := range n.Nets[id].Pads {
				p := &n.Board.Pads[i]
				near := geom.Distance(p.At, geom.FromMM(w.X, w.Y)) < 100e3 || p.Shape.Contains(geom.FromMM(w.X, w.Y)) && w.Kind == "region"
				if p.Layer == int(l[1]-'1') && near && (w.Pad == "" || w.Pad == p.Ref+"."+p.Pin) {
					found, matched[k] = true, true
				}
			}
			if !found {
				t.Errorf("%s: no pad %q at %s@%g,%g (%s, %s)", net, w.Pad, l, w.X, w.Y, w.Kind, w.Function)
			}
		}
	}
	for k, i := range n.Nets[id].Pads {
		if p := &n.Board.Pads[i]; !matched[k] && !unlabelled[p.Ref+"."+p.Pin] {
			t.Errorf("%s: pad %s.%s at L%d@%s is not in the list (%s)", net, p.Ref, p.Pin, p.Layer+1, millimetres(p.At), p.Function)
		}
	}
}
