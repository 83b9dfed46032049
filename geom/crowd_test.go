package geom

import (
	"testing"
	"time"
)

// TestSqueezed: whole boards squeezed into boxes of 20 nm to 30 um stay valid
// and finish.
func TestSqueezed(t *testing.T) {
	for _, side := range []int64{20, 60, 200, 1_000, 5_000, 30_000} {
		for name, rings := range map[string][]Ring{"chain": chainBoard(1000, 3), "random": randomBoard(1000, 3)} {
			begin := time.Now()
			r := Fill(squeeze(rings, side), NonZero)
			t.Logf("%s in %d nm: %d polygons, %d vertices, %v", name, side, len(r), r.Vertices(), time.Since(begin))
			if r.Vertices() < 6000 {
				if err := checkClean(r); err != nil {
					t.Errorf("%s in %d nm: %v", name, side, err)
				}
			}
		}
	}
}
