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

const geosScript = `
import sys
from shapely.geometry import Polygon
from shapely.ops import unary_union
rings = []
for line in sys.stdin:
    v = [float(x) for x in line.split()]
    rings.append(Polygon(list(zip(v[0::2], v[1::2]))))
print(repr(unary_union(rings).area))
`

// pythonWithShapely finds an interpreter that has GEOS through shapely.
func pythonWithShapely(t *testing.T) string {
	if testing.Short() {
		t.Skip("compares areas with GEOS: left out of -short")
	}
	for _, py := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(py, "-c", "import shapely.ops").Run() == nil {
			return py
		}
	}
	t.Skip("python3-shapely is not installed: areas are not compared with GEOS")
	return ""
}

// TestAreaAgainstGEOS: the union of routed-looking boards has GEOS's area
// (python3-shapely) to 1e-8. GEOS keeps crossings in floats, we round them to
// whole nanometres; with tracks at any angle nearly all are rounded, which for
// 1000 of them is itself 1e-8 of the area. That board is enlarged five times,
// for both, so that the comparison sees the algorithm.
func TestAreaAgainstGEOS(t *testing.T) {
	py := pythonWithShapely(t)
	for _, n := range []int{1000, 10_000} {
		for name, rings := range map[string][]Ring{"chain": chainBoard(n, 5), "random": randomBoard(n, 5)} {
			if name == "random" {
				for i, r := range rings {
					rings[i] = r.Scale(Point{}, 5)
				}
			}
			var in bytes.Buffer
			for _, r := range rings {
				for _, p := range r {
					fmt.Fprint(&in, p.X, " ", p.Y, " ")
				}
				in.WriteByte('\n')
			}
			cmd := exec.Command(py, "-c", geosScript)
			cmd.Stdin = &in
			out, err := cmd.Output()
			if err != nil {
				t.Fatalf("shapely failed: %v", err)
			}
			want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
			if err != nil {
				t.Fatal(err)
			}
			got := Fill(rings, NonZero).Area()
			if math.Abs(got-want) > 1e-8*want {
				t.Errorf("%s, %d shapes: %.6f mm², GEOS %.6f", name, n, got/1e12, want/1e12)
			}
			t.Logf("%s, %d shapes: %.6f mm², GEOS %.6f", name, n, got/1e12, want/1e12)
		}
	}
}
