package boardread

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
)

// listing is how a list of places is written.
type listing struct {
	per        float64 // millimetres of its unit
	digits     int
	dx, dy     float64 // of its origin, millimetres
	mirrored   bool    // the bottom drawn as seen from below
	pinOne     bool    // drilled parts listed at pin 1, else in their middle
	names      bool    // packages are named
	titles     string
	everyOther bool // only every other part is listed
}

// listOf writes the list of places that a layout program would give of a
// board: body middles (drilled ones at pin 1), rotation with pin 1 at the left
// or upper left for zero (IPC-7351).
func listOf(b *board.Board, how listing) (csv string, listed map[string]bool) {
	var out strings.Builder
	out.WriteString(how.titles + "\n")
	listed = map[string]bool{}
	for k, p := range b.Parts {
		if how.everyOther && k%2 == 1 {
			continue
		}
		own := ownLands(b, p)
		if len(own) == 0 {
			continue
		}
		at := middleOf(own)
		if how.pinOne && drilledOnly(own) {
			at = pinOne(own).Shape.Bounds().Mid()
		}
		x, y := at.MM()
		x, y = x+how.dx, y+how.dy
		if how.mirrored && p.Side == board.Bottom {
			x = -x
		}
		name := ""
		if how.names {
			name = packageOf(p.Ref, own)
		}
		fmt.Fprintf(&out, "%s,x,%s,%.*f,%.*f,%.1f,%s\n", p.Ref, name, how.digits, x/how.per, how.digits,
			y/how.per, rotationOf(own), [...]string{"top", "bottom"}[p.Side])
		listed[p.Ref] = true
	}
	return out.String(), listed
}

// ownLands are a part's pads on its side, one for each land.
func ownLands(b *board.Board, p board.Part) (out []board.Pad) {
	face := 0
	if p.Side == board.Bottom {
		face = len(b.Layers) - 1
	}
	for _, i := range p.Pads {
		q := b.Pads[i]
		via := q.Hole >= 0 && b.Holes[q.Hole].Diameter < thinnestPin && q.Function == "ComponentPad"
		if q.Layer == face && !via && !slices.ContainsFunc(out, func(o board.Pad) bool { return o.At == q.At }) {
			out = append(out, q)
		}
	}
	return out
}

func drilledOnly(own []board.Pad) bool {
	return !slices.ContainsFunc(own, func(p board.Pad) bool { return p.Hole < 0 })
}

func middleOf(own []board.Pad) geom.Point {
	box := geom.EmptyBox()
	for _, p := range own {
		box = box.Join(p.Shape.Bounds())
	}
	return box.Mid()
}

func pinOne(own []board.Pad) board.Pad {
	for _, want := range []string{"1", "A1"} {
		if k := slices.IndexFunc(own, func(p board.Pad) bool { return p.Pin == want }); k >= 0 {
			return own[k]
		}
	}
	return own[0]
}

func rotationOf(own []board.Pad) float64 {
	m, p := middleOf(own), pinOne(own).Shape.Bounds().Mid()
	x, y := float64(p.X-m.X), float64(p.Y-m.Y)
	if len(own) == 2 {
		return math.Mod(math.Round(math.Atan2(y, x)*2/math.Pi)*90+540, 360)
	}
	for turn := range 4 {
		if x < 0 && y >= 0 {
			return float64(turn * 90)
		}
		x, y = y, -x // a quarter turn back
	}
	return 0
}

// packageOf names a package after its lands, as libraries of layout programs
// do.
func packageOf(ref string, own []board.Pad) string {
	letters := strings.TrimRight(ref, "0123456789")
	n := len(own)
	switch {
	case letters == "TP":
		return "TestPoint_Pad_D1.0mm"
	case letters == "FID":
		return "Fiducial_0.75mm_Mask1.5mm"
	case n == 1:
		return "MountingHole_3.2mm_M3_Pad"
	case n == 2 && own[0].Hole < 0:
		return chipName(letters, geom.Distance(own[0].Shape.Bounds().Mid(), own[1].Shape.Bounds().Mid())*1e-6)
	case letters == "J" && drilledOnly(own):
		return headerName(own)
	case letters == "U" || letters == "RN" || letters == "Y":
		return leadedName(letters, own)
	}
	return letters + "_Vendor_Part" // a maker's own name, that tells nothing
}

func chipName(letters string, span float64) string {
	for _, c := range []struct {
		most float64
		name string
	}{{0.75, "0201_0603Metric"}, {1.3, "0402_1005Metric"}, {1.8, "0603_1608Metric"}, {2.3, "0805_2012Metric"},
		{3.5, "1206_3216Metric"}} {
		if span <= c.most {
			return letters + "_" + c.name
		}
	}
	return letters + "_Vendor_Part"
}

func headerName(own []board.Pad) string {
	rows := map[int64]int{}
	cols := map[int64]int{}
	for _, p := range own {
		rows[p.At.Y/100_000]++
		cols[p.At.X/100_000]++
	}
	few := min(len(rows), len(cols))
	if few*max(len(rows), len(cols)) != len(own) {
		return "J_Vendor_Part"
	}
	return fmt.Sprintf("PinHeader_%dx%02d_Vertical", few, len(own)/few)
}

func leadedName(letters string, own []board.Pad) string {
	n, mid := len(own), middleOf(own)
	heat := n > 3 && n%2 == 1 && slices.ContainsFunc(own, func(p board.Pad) bool {
		return p.Shape.Bounds().Holds(mid)
	})
	switch {
	case letters == "Y":
		return fmt.Sprintf("Crystal_SMD_3225-%dPin_3.2x2.5mm", n)
	case letters == "RN":
		return fmt.Sprintf("Vendor_Network_%dPin", n)
	case heat:
		return fmt.Sprintf("QFN-%d-1EP_P0.5mm", n-1)
	case n > 64:
		return fmt.Sprintf("BGA-%d_P0.8mm", n)
	case n <= 6 && n >= 3:
		return map[int]string{3: "SOT-23", 4: "SOT-143", 5: "SOT-23-5", 6: "SOT-23-6"}[n]
	}
	return fmt.Sprintf("SOIC-%d_P0.65mm", n)
}
