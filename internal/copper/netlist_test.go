package copper

import (
	"bufio"
	"encoding/json"
	"io/fs"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/geom"
	"ohmward/internal/boardread"
)

// listedBoard is one board of nets_d356.json.
type listedBoard struct {
	Merged [][]string `json:"merged_in_copper"`
	Nets   map[string][]struct {
		Pad  string
		X    float64 `json:"x_mm"`
		Y    float64 `json:"y_mm"`
		Side string
	}
}

func listedNets(t testing.TB) map[string]listedBoard {
	t.Helper()
	data, err := os.ReadFile(shared(t, "checks", "nets_d356.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Boards map[string]listedBoard }
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	return all.Boards
}

// Outside check: nets_d356.json, the bare-board test netlist of a board whose
// copper carries no names. Pads of one net lie on one piece of copper; nets
// listed as merged do so too; all others are apart.
func TestNetsOfNetlist(t *testing.T) {
	for name, list := range listedNets(t) {
		if leftOut(name) {
			continue
		}
		n := openBoard(t, name)
		merged := map[string]string{}
		for _, m := range list.Merged {
			for _, net := range m {
				merged[net] = m[0]
			}
		}
		owner, copper := map[int]string{}, map[string]int{}
		for net, pads := range list.Nets {
			called := net
			if m := merged[net]; m != "" {
				called = m
			}
			for _, p := range pads {
				layer := 0 // drilled pads are said to be on both sides
				if p.Side[0] == 'L' {
					layer = int(p.Side[1] - '1')
				}
				id, ok := n.NetAt(layer, geom.FromMM(p.X, p.Y))
				if !ok {
					t.Errorf("%s: no copper at %s %g,%g (%s)", net, p.Side, p.X, p.Y, p.Pad)
					continue
				}
				if was, ok := copper[called]; ok && was != id {
					t.Errorf("%s: pad %s is on other copper than the rest", net, p.Pad)
				}
				if was, ok := owner[id]; ok && was != called {
					t.Errorf("%s and %s are one piece of copper at %s", was, called, p.Pad)
				}
				copper[called], owner[id] = id, called
			}
		}
	}
}

// d356 is a pad record of an IPC-D-356A netlist in units of 0.0001 inch.
var d356 = regexp.MustCompile(`^3[12]7(.{14})   (.{6})-(.{4}).*X([+-][0-9]+)Y([+-][0-9]+)`)

// unlabelled are pins whose lands in the Gerber file carry a part (.C) but no
// pin (.P): the netlist beside the copper names them, and nets.json, which
// knows the Gerbers' names only, has them not.
var unlabelled = map[string]bool{
	"U1.1": true, "U1.2": true, "U1.3": true, "U1.4": true,
	"U2.1": true, "U2.2": true, "U2.3": true, "U2.4": true,
	"U3.1": true, "U3.2": true, "U3.3": true, "U3.4": true,
	"U6.1": true, "U6.2": true, "U6.3": true, "U6.4": true,
}

// Outside check: the IPC-D-356A netlist that comes with fomu-dvt1a. Its frame
// is moved against the Gerbers', so the move is taken from the first pin and
// must fit every other.
func TestPinsOfNetlist(t *testing.T) {
	n := openBoard(t, "fomu-dvt1a")
	f, err := os.Open(shared(t, "checks", "boards", "fomu-dvt1a", "tomu-fpga.d356"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var move geom.Point
	moved, checked := false, 0
	listed := map[string]bool{}
	for in := bufio.NewScanner(f); in.Scan(); {
		m := d356.FindStringSubmatch(in.Text())
		if m == nil || strings.TrimSpace(m[2]) == "VIA" {
			continue
		}
		pin := strings.TrimSpace(m[2]) + "." + strings.TrimSpace(m[3])
		x, _ := strconv.Atoi(m[4])
		y, _ := strconv.Atoi(m[5])
		at := geom.Point{X: int64(x) * 2540, Y: int64(y) * 2540}
		listed[pin] = true
		pads := n.pins[pin]
		if len(pads) == 0 {
			t.Errorf("pin %s of the netlist has no pad", pin)
			continue
		}
		if !moved && len(pads) == 1 {
			p := n.Board.Pads[pads[0]].At
			move, moved = geom.Point{X: p.X - at.X, Y: p.Y - at.Y}, true
		}
		at = geom.Point{X: at.X + move.X, Y: at.Y + move.Y}
		found := false
		for _, i := range pads {
			p := &n.Board.Pads[i]
			if geom.Distance(p.At, at) < 6000 { // two roundings to 0.0001 inch
				found = true
				if name := strings.TrimSpace(m[1]); name != "N/C" && !strings.HasPrefix(strings.ToUpper(n.Nets[n.padNet[i]].Name), name) {
					t.Errorf("pin %s is on %s, want %s", pin, n.Nets[n.padNet[i]].Name, name)
				}
			}
		}
		if !found {
			t.Errorf("pin %s has no pad at %s", pin, millimetres(at))
		}
		checked++
	}
	for pin := range n.pins {
		if !listed[pin] {
			t.Errorf("pin %s is not in the netlist", pin)
		}
	}
	if checked < 100 {
		t.Errorf("only %d pads compared", checked)
	}
}

var attributes = regexp.MustCompile(`(?m)^(%T[FAOD][^%]*%|G04 #@! T[FAOD].*|; #@! T.*)\r?\n`)

// Without any attributes the names of the files tell the layers, and the
// copper falls into the same pieces.
func TestStrippedAttributes(t *testing.T) {
	names := []string{"fomu-dvt1a"}
	if !testing.Short() {
		names = append(names, "openrpncalc", "orangecrab", "glasgow-revc0")
	}
	for _, name := range names {
		dir := os.DirFS(shared(t, "checks", "boards", name))
		files, err := fs.ReadDir(dir, ".")
		if err != nil {
			t.Fatal(err)
		}
		set := fstest.MapFS{}
		for _, f := range files {
			if strings.HasSuffix(f.Name(), ".d356") {
				continue
			}
			data, err := fs.ReadFile(dir, f.Name())
			if err != nil {
				t.Fatal(err)
			}
			set[f.Name()] = &fstest.MapFile{Data: attributes.ReplaceAll(data, nil)}
		}
		b, err := boardread.Read(set, name, boardread.Options{})
		if err != nil {
			t.Fatal(err)
		}
		bare, full := extract(t, b, Options{}), openBoard(t, name)
		if len(b.Labels) > 0 {
			t.Errorf("%s: %d labels are left", name, len(b.Labels))
		}
		for _, p := range b.Pads { // of the list of places beside the files
			if p.Pin != "" || p.Net != "" || name != "fomu-dvt1a" {
				t.Fatalf("%s: pad %s of net %q is left", name, p.Name(), p.Net)
			}
		}
		if name == "fomu-dvt1a" {
			unnumbered(t, bare)
		}
		if len(bare.Nets) != len(full.Nets) {
			t.Errorf("%s: %d nets without attributes, %d with", name, len(bare.Nets), len(full.Nets))
		}
		pair := map[int]int{}
		for l, ids := range bare.pieceNet {
			for k, id := range ids {
				if want, ok := pair[id]; ok && want != full.pieceNet[l][k] {
					t.Errorf("%s: piece %d of L%d is in another net", name, k, l+1)
				}
				pair[id] = full.pieceNet[l][k]
			}
		}
	}
}

// unnumbered checks the pads of parts whose pins no file numbers.
func unnumbered(t *testing.T, n *Nets) {
	t.Helper()
	for _, place := range []string{"C1.1", "C1."} {
		p, err := ParsePlace(place)
		if err == nil {
			_, err = n.Resolve(p)
		}
		if err == nil || place == "C1.1" && !strings.Contains(err.Error(), "no file tells which of its pads is pin 1") {
			t.Errorf("%s: %v", place, err)
		}
	}
	touched := false
	for i, p := range n.Board.Pads {
		if p.Ref != "C1" || n.PadNet(i) < 0 {
			continue
		}
		for _, q := range n.ProbePlaces(n.PadNet(i)) {
			touched = touched || q.Kind == "pad" && q.Layer == p.Layer && q.At == p.At && q.Pin == ""
		}
	}
	if !touched {
		t.Error("no pad of C1 is a place to touch, without a pin's name")
	}
}

// Boards without names of nets read without error or loss.
func TestBoardsWithoutNames(t *testing.T) {
	for name, want := range map[string]struct{ layers, holes int }{
		"upduino-v3": {4, 181}, "simplefoc-shield": {2, 128}, "ts-8bit-mixtape": {2, 85}, "ts-usbvil": {2, 40},
	} {
		if leftOut(name) {
			continue
		}
		n := openBoard(t, name)
		if len(n.Layers) != want.layers || len(n.Board.Holes) != want.holes || n.Board.Partial {
			t.Errorf("%s: %d layers and %d holes (partial %v), want %d and %d", name, len(n.Layers), len(n.Board.Holes), n.Board.Partial, want.layers, want.holes)
		}
		if len(n.Board.Outline) == 0 {
			t.Errorf("%s: no outline", name)
		}
	}
}
