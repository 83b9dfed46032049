package boardread

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"ohmward/geom"
)

// TestContacts: where copper of two nets is painted into one. What is cleared
// between them, or lies apart, is no contact.
func TestContacts(t *testing.T) {
	area := func(x, y, x2, y2 float64) string {
		return "G36*\n" + xy(x, y) + "D02*\n" + xy(x2, y) + "D01*\n" + xy(x2, y2) + "D01*\n" + xy(x, y2) + "D01*\n" + xy(x, y) + "D01*\nG37*\n"
	}
	net := func(name, plot string) string { return "%TO.N," + name + "*%\n" + plot + "%TD*%\n" }
	for _, c := range []struct{ name, plot, want string }{
		{"apart", net("A", area(1, 1, 3, 3)) + net("B", area(4, 1, 6, 3)), ""},
		{"overlapping areas", net("A", area(1, 1, 3, 3)) + net("B", area(2.8, 1, 6, 3)), "B A 2.9,2.0"},
		{"areas that share an edge", net("A", area(1, 1, 3, 3)) + net("B", area(3, 1, 6, 3)), "B A 3.0,2.0"},
		{"a track that runs into a land far from both pins", net("A", "D10*\n"+line(1, 8, 19, 8)) + net("B", "D12*\n"+flash(15, 8)+"D10*\n"+line(15, 8, 15, 2)), "B A 15.0,8.0"},
		{"areas a nanometre apart", net("A", area(1, 1, 3, 3)) + net("B", area(3.000001, 1, 6, 3)), ""},
		{"copper without a name between", net("A", area(1, 1, 3, 3)) + net("B", area(5, 1, 7, 3)) + area(2.8, 1.8, 5.2, 2.2), "B A 5.1,2.0 2.9,2.0"},
		{"two pieces without a name", net("A", area(1, 1, 3, 3)) + net("B", area(5, 1, 7, 3)) + area(2.8, 1.8, 4.2, 2.2) + net("", area(4, 1.8, 5.2, 2.2)), "B A 5.1,2.0 2.9,2.0"},
		{"a pour cleared round a land", net("A", area(1, 1, 9, 9)) + "%LPC*%\nD11*\n" + flash(5, 5) + "%LPD*%\n" + net("B", "D12*\n"+flash(5, 5)), ""},
		{"a pour not cleared round a land", net("A", area(1, 1, 9, 9)) + net("B", "D12*\n"+flash(5, 5)), "B A 5.0,5.0"},
		{"a pour cleared, but for a spoke", net("A", area(1, 1, 9, 9)) + "%LPC*%\nD11*\n" + flash(5, 5) + "%LPD*%\n" + net("B", "D12*\n"+flash(5, 5)) + net("A", "D10*\n"+line(5, 5.4, 5, 6.5)), "B A 5.0,5.3"},
		{"cleared after both", net("A", area(1, 1, 3.2, 3)) + net("B", area(3, 1, 6, 3)) + "%LPC*%\n" + area(2.9, 0, 3.3, 4) + "%LPD*%\n", ""},
		{"three in a row", net("A", area(1, 1, 3, 3)) + net("B", area(2.8, 1, 6, 3)) + net("C", area(5.8, 1, 8, 3)), "B A 2.9,2.0; C B 5.9,2.0"},
	} {
		b := mustRead(t, put(put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", c.plot)), "b.drl", nil), Options{})
		var got []string
		for _, k := range b.Contacts {
			if k.Layer != 0 || k.File != "b-top.gbr" || k.Line == 0 || !b.Layers[0].Copper.Contains(k.At[0]) && c.name != "areas that share an edge" {
				t.Errorf("%s: %+v", c.name, k)
			}
			s := k.Nets[0] + " " + k.Nets[1]
			for i, p := range slices.Compact([]geom.Point{k.At[0], k.At[1]}) {
				x, y := p.MM()
				near := ""
				for _, want := range strings.Split(c.want, "; ") {
					f := strings.Fields(want)
					if len(f) < 3+i || f[0]+" "+f[1] != s && !strings.HasPrefix(s, f[0]+" "+f[1]) {
						continue
					}
					var wx, wy float64
					fmt.Sscanf(f[2+i], "%f,%f", &wx, &wy)
					if math.Hypot(x-wx, y-wy) < 0.6 {
						near = f[2+i]
					}
				}
				s += " " + near
				if near == "" {
					s += fmt.Sprintf("at %.2f,%.2f", x, y)
				}
			}
			got = append(got, s)
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%s: %s, want %s", c.name, s, c.want)
		}
	}
}
