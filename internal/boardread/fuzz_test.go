package boardread

import (
	"strings"
	"testing"
)

// Any bytes in any file of a set end in a board or in one line of error, and
// what is read stays within the board's own numbers.
func FuzzRead(f *testing.F) {
	good := smallBoard()
	for name, file := range good {
		f.Add(name, file.Data)
	}
	f.Add("b.gbrjob", []byte(`{"GeneralSpecs":{"LayerNumber":"2","BoardThickness":1e99},"MaterialStackup":[{"Type":"Copper","Thickness":-1}]}`))
	f.Add("b.csv", []byte("Ref,Value\nR1,0\n"))
	f.Add("b-mask.gbr", gerberText("Soldermask,Top", "D11*\n"+flash(5, 5)))
	f.Add("b-parts.gbr", gerberText("Component,L1,Top", "%TO.C,R1*%\nD10*\n"+box(1, 1, 2, 2)))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		if len(data) > 1<<14 || !strings.HasPrefix(name, "b") || strings.ContainsAny(name, "/\\\x00") {
			return
		}
		b, err := Read(put(good, name, append([]byte{}, data...)), "made", Options{})
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Error("an empty error")
			}
			return
		}
		for _, p := range b.Pads {
			if p.Layer < 0 || p.Layer >= len(b.Layers) || p.Hole < -1 || p.Hole >= len(b.Holes) {
				t.Errorf("pad %+v", p)
			}
		}
		for _, h := range b.Holes {
			if h.First < 0 || h.First > h.Last || h.Last >= len(b.Layers) || h.Diameter <= 0 {
				t.Errorf("hole %+v", h)
			}
		}
		if len(b.Stack.Copper) != len(b.Layers) || len(b.Stack.Gap) != max(0, len(b.Layers)-1) {
			t.Errorf("stack %+v of %d layers", b.Stack, len(b.Layers))
		}
		for _, g := range b.Stack.Gap {
			if !(g > 0) {
				t.Errorf("gap %v", g)
			}
		}
	})
}
