package copper

import (
	"encoding/json"
	"os"
	"testing"

	"ohmward/geom"
)

// Outside check: every place of resistances.json lies on the net it names.
func TestPlacesOfRealBoards(t *testing.T) {
	data, err := os.ReadFile(shared(t, "checks", "resistances.json"))
	if err != nil {
		t.Fatal(err)
	}
	type at struct {
		Layer string
		X     float64 `json:"x_mm"`
		Y     float64 `json:"y_mm"`
	}
	var all struct {
		Resistances []struct {
			Board, Net string
			A, B       at
		}
	}
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	for _, r := range all.Resistances {
		if leftOut(r.Board) {
			continue
		}
		n := openBoard(t, r.Board)
		id, err := n.ByName(r.Net)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, p := range []at{r.A, r.B} {
			s, err := n.Resolve(Place{Layer: int(p.Layer[1] - '1'), At: geom.FromMM(p.X, p.Y)})
			if err != nil {
				t.Errorf("%s %s: %v", r.Board, r.Net, err)
			} else if s.Net != id {
				t.Errorf("%s %s@%g,%g: net %s, want %s", r.Board, p.Layer, p.X, p.Y, n.Nets[s.Net].Name, r.Net)
			}
		}
	}
}
