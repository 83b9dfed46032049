package geom

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// The rings of a board come in two halves; GEOS gives the areas of the one
// less the other, of what both cover, and of their union moved out and in.
const geosOps = `
import sys
from shapely.geometry import Polygon
from shapely.ops import unary_union
half = ([], [])
for line in sys.stdin:
    v = line.split()
    x = [float(q) for q in v[1:]]
    half[int(v[0])].append(Polygon(list(zip(x[0::2], x[1::2]))))
a, b = unary_union(half[0]), unary_union(half[1])
u = a.union(b)
for r in (a.difference(b), a.intersection(b), u.buffer(500, resolution=64), u.buffer(-500, resolution=64)):
    print(repr(r.area))
`

// TestOperationsAgainstGEOS: difference and intersection of routed-looking
// boards have GEOS's areas to 1e-8 of the union. Offsets by 500 nm agree to
// half a nanometre of movement: GEOS moves edges in floats, we by whole
// nanometres (at 45 degrees by 354 for 353.55 along each axis).
func TestOperationsAgainstGEOS(t *testing.T) {
	py := pythonWithShapely(t)
	for _, n := range []int{1000, 3000} {
		var in bytes.Buffer
		var parts [2][]Ring
		for i, r := range chainBoard(n, 6) {
			parts[i%2] = append(parts[i%2], r)
			fmt.Fprint(&in, i%2)
			for _, p := range r {
				fmt.Fprint(&in, " ", p.X, " ", p.Y)
			}
			in.WriteByte('\n')
		}
		cmd := exec.Command(py, "-c", geosOps)
		cmd.Stdin = &in
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("shapely failed: %v", err)
		}
		a, b := Fill(parts[0], NonZero), Fill(parts[1], NonZero)
		u := Union(a, b)
		perimeter := 0.0
		u.Edges(func(e Segment) { perimeter += Distance(e.A, e.B) })
		half := 0.5 * perimeter / u.Area()
		lines := strings.Fields(string(out))
		for i, c := range []struct {
			name string
			got  float64
			tol  float64
		}{
			{"difference", Difference(a, b).Area(), 1e-8}, {"intersection", Intersection(a, b).Area(), 1e-8},
			{"offset out", Offset(u, 500, 1).Area(), half}, {"offset in", Offset(u, -500, 1).Area(), half},
		} {
			if i >= len(lines) {
				t.Fatalf("shapely printed %q", out)
			}
			want, err := strconv.ParseFloat(lines[i], 64)
			if err != nil {
				t.Fatal(err)
			}
			off := math.Abs(c.got-want) / u.Area()
			if off > c.tol || want <= 0 {
				t.Errorf("%d shapes, %s: %.6f mm², GEOS %.6f: %.2g of the union", n, c.name, c.got/1e12, want/1e12, off)
			}
			t.Logf("%d shapes, %s: off by %.2g of the union", n, c.name, off)
		}
	}
}
