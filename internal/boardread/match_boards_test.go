package boardread

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/check"
)

// attributes are the X2 attributes of Gerber files, also as comments.
var attributes = regexp.MustCompile(`%T[FAOD][^%]*\*%\r?\n?|G04 #@! T[FAOD][^*]*\*\r?\n?`)

// stripped is a shared board as it was read, and its files without attributes,
// netlist and tables.
func stripped(t *testing.T, name string) (*board.Board, fstest.MapFS) {
	t.Helper()
	folder := os.DirFS(filepath.Join(check.Shared(t), "checks", "boards", name))
	names, err := fs.Glob(folder, "*")
	if err != nil {
		t.Fatal(err)
	}
	set := fstest.MapFS{}
	for _, n := range names {
		data, err := fs.ReadFile(folder, n)
		if err != nil {
			t.Fatal(err)
		}
		switch strings.ToLower(path.Ext(n)) {
		case ".d356", ".csv", ".xlsx", ".zip", ".gbrjob":
			continue
		}
		set[n] = &fstest.MapFile{Data: attributes.ReplaceAll(data, nil)}
	}
	truth, err := Read(folder, name, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return truth, set
}

// score holds the pads of a board read without pins against the truth: a pad
// is right where the truth's pad of its part lies at the place.
type score struct {
	given, right, there int
	wrong, lost         []string
}

func (s score) precision() float64 { return float64(s.right) / float64(max(s.given, 1)) }
func (s score) recall() float64    { return float64(s.right) / float64(max(s.there, 1)) }

func (s score) String() string {
	return fmt.Sprintf("%d pads of listed parts, %d given, %d right: precision %.1f %%, recall %.1f %%", s.there,
		s.given, s.right, 100*s.precision(), 100*s.recall())
}

// compared counts pads by land and layer: several pins on one land are one.
func compared(truth, got *board.Board, listed map[string]bool) (s score) {
	type key struct {
		layer int
		at    geom.Point
	}
	keyOf := func(p board.Pad) key {
		if p.Hole >= 0 && truth.Holes[p.Hole].Diameter >= thinnestPin {
			return key{-1, truth.Holes[p.Hole].At} // a drilled pin is one on all layers
		}
		return key{p.Layer, p.Shape.Bounds().Mid()}
	}
	want, mine := map[key]string{}, map[key]bool{}
	for _, p := range truth.Pads {
		k := keyOf(p)
		if _, had := want[k]; !had && listed[p.Ref] {
			want[k] = p.Ref
			s.there++
		}
	}
	find := func(p board.Pad) (ref string, k key) {
		least := math.Inf(1)
		for _, q := range truth.Pads {
			mid := q.Shape.Bounds().Mid()
			if q.Layer != p.Layer || q.Ref != p.Ref || !q.Shape.Contains(p.At) && !p.Shape.Contains(mid) {
				continue
			}
			if d := geom.Distance(mid, p.At); d < least {
				least, ref, k = d, q.Ref, keyOf(q)
			}
		}
		return ref, k
	}
	seen := map[string]bool{}
	for _, p := range got.Pads {
		if h := p.Hole; h >= 0 && p.Function == "ComponentPad" {
			if one := fmt.Sprint(p.Ref, h); seen[one] {
				continue
			} else {
				seen[one] = true
			}
		}
		s.given++
		ref, k := find(p)
		if ref != "" && !mine[k] {
			mine[k] = true
			s.right++
		} else {
			s.wrong = append(s.wrong, fmt.Sprintf("%s L%d %s", p.Ref, p.Layer+1, place(p.At)))
		}
	}
	for k, ref := range want {
		if !mine[k] {
			s.lost = append(s.lost, fmt.Sprintf("%s L%d %s", ref, k.layer+1, place(k.at)))
		}
	}
	return s
}

// TestMatchedParts measures pads found by place, package and mask on the
// shared boards, their attributes stripped, against those that the attributes
// tell: 98 % right and 90 % found. Where the list names no package, or leaves
// out every other part, the floors are the ones that were measured.
func TestMatchedParts(t *testing.T) {
	const titles = "Ref,Val,Package,PosX,PosY,Rot,Side"
	bare := listing{per: 1, digits: 3, dy: 150, titles: titles}
	named := bare
	named.names = true
	half := named
	half.everyOther = true
	moved := listing{per: 1, digits: 2, dx: 37.123, dy: 61.7, mirrored: true, names: true, titles: titles}
	mils := listing{per: 0.0254, digits: 1, dx: -50, dy: 120, pinOne: true, names: true,
		titles: "Ref,Val,Package,X (mil),Y (mil),Rot,Side"}
	names := []string{"fomu-dvt1a", "upduino-v3", "openrpncalc", "orangecrab", "glasgow-revc0"}
	for _, name := range names[:check.Draws(t, 1, 3, len(names))] {
		truth, set := stripped(t, name)
		for _, c := range []struct {
			name              string
			how               listing
			precision, recall float64
		}{
			{"moved, bottom from below, 0.01 mm", moved, 0.98, 0.9},
			{"mils, drilled parts at pin 1", mils, 0.98, 0.9},
			{"named", named, 0.98, 0.9},
			{"no package names", bare, 0.97, 0.5},
			{"every other part", half, 0.97, 0.88},
		} {
			csv, listed := listOf(truth, c.how)
			set["places.csv"] = &fstest.MapFile{Data: []byte(csv)}
			b, err := Read(set, name, Options{})
			if err != nil {
				t.Fatal(err)
			}
			s := compared(truth, b, listed)
			t.Logf("%s, %s: %v", name, c.name, s)
			if s.precision() < c.precision || s.recall() < c.recall {
				t.Errorf("%s, %s: below %.0f %% and %.0f %%; wrong %v, lost %v", name, c.name, 100*c.precision,
					100*c.recall, s.wrong, s.lost)
			}
			if !hasDoubt(b, "no copper file carries pins") {
				t.Errorf("%s, %s: not told that pins have no numbers: %v", name, c.name, b.Doubts)
			}
			for _, p := range b.Pads {
				if p.Pin != "" {
					t.Fatalf("%s, %s: pin %s.%s without evidence", name, c.name, p.Ref, p.Pin)
				}
			}
		}
	}
}

// TestMatchedRealList takes the list that came with a board.
func TestMatchedRealList(t *testing.T) {
	const name = "fomu-dvt1a"
	truth, set := stripped(t, name)
	data, err := os.ReadFile(filepath.Join(check.Shared(t), "checks", "boards", name, "tomu-fpga-bottom-pos.csv"))
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^"([A-Z]+[0-9]+)"`).FindAllStringSubmatch(string(data), -1) {
		listed[m[1]] = true
	}
	set["tomu-fpga-bottom-pos.csv"] = &fstest.MapFile{Data: data}
	s := compared(truth, mustRead(t, set, Options{}), listed)
	t.Log(s)
	if s.precision() < 0.98 || s.recall() < 0.9 {
		t.Errorf("%v; wrong %v, lost %v", s, s.wrong, s.lost)
	}
}
