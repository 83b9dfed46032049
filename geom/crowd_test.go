package geom

import (
	"math"
	"reflect"
	"testing"
)

// TestSqueezed: whole boards squeezed into boxes of 20 nm to 30 um stay valid,
// are as large as the board as it was, but for what rounding moves edges, and
// are left as they are by a further union.
func TestSqueezed(t *testing.T) {
	n := 1000
	if testing.Short() {
		n = 300
	}
	for name, rings := range map[string][]Ring{"chain": chainBoard(n, 3), "random": randomBoard(n, 3)} {
		whole := Fill(rings, NonZero).Area()
		for _, side := range []int64{20, 60, 200, 1_000, 5_000, 30_000} {
			small := squeeze(rings, side)
			r := Fill(small, NonZero)
			if err := checkClean(r); err != nil {
				t.Errorf("%s in %d nm: %v", name, side, err)
			}
			if again := Union(r); !reflect.DeepEqual(again, r) {
				t.Errorf("%s in %d nm: union with nothing changes the result", name, side)
			}
			_, length := ringSegments(small)
			scale := float64(side) / 160e6
			off, may := math.Abs(r.Area()-whole*scale*scale), 1.5*length+float64(side)
			t.Logf("%s in %d nm: %d polygons, %d vertices, %.3g nm², off by %.3g of %.3g allowed",
				name, side, len(r), r.Vertices(), r.Area(), off, may)
			if off > may {
				t.Errorf("%s in %d nm: the area is off by %.3g nm², %.3g allowed", name, side, off, may)
			}
		}
	}
}
