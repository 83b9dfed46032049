package sparse

import (
	"testing"
)

// The factor's size, counted. Nested dissection of a grid of s by s unknowns
// by straight lines leaves (31/4) s² log2(s) entries, 2.37 million for s =
// 200, to leading order (George 1973). The limits are about 1.15 times what
// was found when they were written.
func TestFillIsThatOfNestedDissection(t *testing.T) {
	for _, c := range []struct {
		name  string
		l     *laplacian
		limit int64
	}{
		{"grid", grid(200, 200), 1_370_000},
		{"no coordinates", onePlace(grid(200, 200)), 1_400_000},
		{"line", grid(20000, 1), 150_000},
		{"star", star(20000), 45_000},
		{"mesh", jittered(200, source()), 1_600_000},
		{"edge elements", edges(120, source()), 960_000},
		{"layers and hubs", layered(3, 100, 60, 5, source()), 1_750_000},
	} {
		m := c.l.matrix(1)
		s, err := Analyse(m, Dissect(m, c.l.x, c.l.y))
		if err != nil {
			t.Fatal(err)
		}
		if s.NNZ() > c.limit {
			t.Errorf("%s: %d entries in the factor, want at most %d", c.name, s.NNZ(), c.limit)
		}
	}
}
