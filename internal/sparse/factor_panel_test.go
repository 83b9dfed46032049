package sparse

import "testing"

// TestStoredClose: a panel that is opened and shut again is what it was, and
// each entry stands where it is said to, in both forms.
func TestStoredClose(t *testing.T) {
	some := 0
	for w := 1; w <= maxPackedWidth+4; w++ {
		for u := range 14 {
			p := panel{w, u}
			if !p.packed() {
				if p.storedSize() != p.size() {
					t.Errorf("%d columns, %d rows: %d stored, want %d", w, u, p.storedSize(), p.size())
				}
				continue
			}
			some++
			from := make([]float64, p.storedSize())
			for i := range from {
				from[i] = float64(i + 1)
			}
			wide := random(p.size(), source()) // as the panel before left it
			p.unpack(wide, from)
			for j := range w {
				for i := j; i < w; i++ {
					if got, want := wide[p.pivotRow(i)+4*j], from[p.storedPivot(i, j)]; got != want {
						t.Fatalf("%d columns, %d rows: pivot entry %d, %d is %g, want %g", w, u, i, j, got, want)
					}
				}
				for i := range u {
					if got, want := wide[p.lowerRow(i)+4*j], from[p.storedLower(i, j)]; got != want {
						t.Fatalf("%d columns, %d rows: entry %d, %d is %g, want %g", w, u, i, j, got, want)
					}
				}
			}
			for j := w; j < p.paddedWidth(); j++ {
				for i := range 4 * p.slivers() {
					if v := wide[p.lowerRow(i)+4*j]; v != 0 {
						t.Fatalf("%d columns, %d rows: %g beside the last column", w, u, v)
					}
				}
			}
			back := make([]float64, p.storedSize())
			p.pack(back, wide)
			for i, v := range back {
				if v != from[i] {
					t.Fatalf("%d columns, %d rows: number %d comes back as %g, was %g", w, u, i, v, from[i])
				}
			}
		}
	}
	if some < 100 {
		t.Errorf("only %d panels are stored close", some)
	}
}
