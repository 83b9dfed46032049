package ipcd356

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

func readShared(t *testing.T, name string) *File {
	t.Helper()
	in, err := os.Open(filepath.Join(check.Shared(t), "checks", "boards", name))
	if err != nil {
		t.Fatal("the shared folder is there, but not this board of its checks")
	}
	defer in.Close()
	f, err := Read(in, filepath.Base(name))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Counted apart from this reader by grep and cut.
func TestSharedNetlists(t *testing.T) {
	for _, c := range []struct {
		name                               string
		through, surface, unplated, layers int
	}{
		{"upduino-v3/UPduino_v3.0.d356", 177, 315, 4, 4},
		{"fomu-dvt1a/tomu-fpga.d356", 260, 143, 0, 4},
	} {
		f := readShared(t, c.name)
		n := map[Kind]int{}
		for _, r := range f.Records {
			n[r.Kind]++
		}
		if n[Through] != c.through || n[Surface] != c.surface || n[Unplated] != c.unplated || len(n) > 3 ||
			f.Layers != c.layers || !f.Complete || f.Unread != 0 || len(f.Warnings) > 0 {
			t.Errorf("%s: kinds %v, layers %d, unread %d, warnings %v; want %+v", c.name, n, f.Layers, f.Unread, f.Warnings, c)
		}
	}
}

// Outside check: nets_d356.json has the pads of upduino-v3's netlist, net by
// net, in the Gerbers' frame, and the offset that brings them there.
func TestSharedNets(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(check.Shared(t), "checks", "nets_d356.json"))
	if err != nil {
		t.Fatal("the shared folder is there, but no nets_d356.json")
	}
	var all struct {
		Boards map[string]struct {
			Netlist string
			Offset  [2]float64 `json:"offset_mm"`
			Nets    map[string][]struct {
				Pad string
				X   float64 `json:"x_mm"`
				Y   float64 `json:"y_mm"`
			}
		}
	}
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	for name, b := range all.Boards {
		f := readShared(t, filepath.Join(name, b.Netlist))
		type where struct{ net, pad string }
		found := map[where][]geom.Point{}
		for _, r := range f.Records {
			w := where{r.Net, r.Ref + "." + r.Pin}
			if r.Via {
				w.pad = "VIA"
			}
			found[w] = append(found[w], r.At)
		}
		pads, offset := 0, geom.FromMM(b.Offset[0], b.Offset[1])
		for net, list := range b.Nets {
			for _, p := range list {
				pads++
				at := geom.FromMM(p.X, p.Y)
				if !slices.ContainsFunc(found[where{net, p.Pad}], func(q geom.Point) bool {
					return geom.Distance(at, geom.Point{X: q.X + offset.X, Y: q.Y + offset.Y}) < 200 // rounded to 0.1 um
				}) {
					t.Errorf("%s: %s of %s is at %v in the check, here %v", name, p.Pad, net, at, found[where{net, p.Pad}])
				}
			}
		}
		t.Logf("%s: %d pads of %d nets compared", name, pads, len(b.Nets))
	}
}

// word is a Gerber command with both coordinates, of 4.6 digits and mm, or
// the beginning or end of a region.
var word = regexp.MustCompile(`X(-?\d+)Y(-?\d+)D0([123])\*|G3([67])\*`)

// padCentres are the flashes of a board and the middles of its regions' boxes
// (some writers draw pads as regions), read apart from the Gerber reader.
func padCentres(t *testing.T, pattern string) (points []geom.Point) {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(check.Shared(t), "checks", "boards", pattern))
	if len(files) == 0 {
		t.Fatal("the shared folder is there, but not this board of its checks")
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		box := geom.EmptyBox()
		for _, m := range word.FindAllSubmatch(text, -1) {
			x, _ := strconv.ParseInt(string(m[1]), 10, 64)
			y, _ := strconv.ParseInt(string(m[2]), 10, 64)
			switch p := (geom.Point{X: x, Y: y}); string(m[3]) + string(m[4]) {
			case "3":
				points = append(points, p)
			case "6":
				box = geom.EmptyBox()
			case "7":
				points = append(points, geom.Point{X: (box.Min.X + box.Max.X) / 2, Y: (box.Min.Y + box.Max.Y) / 2})
			default:
				box = box.Extend(p)
			}
		}
	}
	return points
}

// Outside check: the offset of upduino-v3 is that of nets_d356.json; that of
// fomu-dvt1a was taken by hand from pad C1.1, at
// (-5.2238, 3.2242) inch in the one and (17.740, -18.505) mm in the other.
func TestSharedFit(t *testing.T) {
	for _, c := range []struct {
		netlist, copper string
		offset          geom.Point
		share           float64
	}{
		{"upduino-v3/UPduino_v3.0.d356", "upduino-v3/*_Cu.g*", geom.FromMM(100, -100), 0.95},
		{"fomu-dvt1a/tomu-fpga.d356", "fomu-dvt1a/*.Cu.g*", geom.FromMM(150.425, -100.4), 0.95},
	} {
		f := readShared(t, c.netlist)
		got, ok := Fit(f.Records, padCentres(t, c.copper))
		dx, dy := got.Offset.X-c.offset.X, got.Offset.Y-c.offset.Y
		if !ok || got.MirrorX || got.MirrorY || max(dx, -dx, dy, -dy) > 2540 || got.Share() < c.share {
			t.Errorf("%s: %+v, share %.3f; want offset %v", c.netlist, got, got.Share(), c.offset)
		}
		t.Logf("%s: offset %v, %d of %d places fit, spread %d nm", c.netlist, got.Offset, got.Fitted, got.Places, got.Spread)
	}
}
