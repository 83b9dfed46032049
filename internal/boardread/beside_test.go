package boardread

import (
	"strings"
	"testing"
)

// Copper wholly outside the outline is no net: it is counted, told and left out.
// What reaches into the outline, or is joined to it by a plated hole, stays.
func TestBesideBoard(t *testing.T) {
	text := "D10*\n"
	for k := range 30 {
		x := 1 + float64(k)*0.6
		text += line(x, 20, x, 21)
	}
	hole := "D13*\n" + flash(10, 18)
	holes := drillText("T1\nX5.0Y5.0\nX15.0Y5.0\nT2\nX10.0Y10.0\nX10.0Y12.0\nX10.0Y18.0\n")
	for _, c := range []struct {
		name, top, bottom string
		profile           string // "": 20 x 16 mm
		pieces            int    // on top that go
		says              string
	}{
		{"none", "", "", "", 0, ""},
		{"text beside the board", text, "", "", 30, "copper on L1 wholly outside the outline: 30 pieces"},
		{"a track over the edge", "D10*\n" + line(10, 14, 10, 19), "", "", 0, ""},
		{"beside, joined by a plated hole", hole, hole + "D10*\n" + line(10, 18, 10, 14), "", 0, ""},
		{"beside, joined to nothing", hole, hole, "", 1, "copper on L2 wholly outside the outline: 1 piece,"},
		{"in a bay of the outline", "D10*\n" + line(10, 15, 10, 15.5), "", "D10*\n" + line(0, 0, 20, 0) + line(20, 0, 20, 16) + line(20, 16, 14, 16) + line(14, 16, 14, 14) +
			line(14, 14, 8, 14) + line(8, 14, 8, 16) + line(8, 16, 0, 16) + line(0, 16, 0, 0), 1, "copper on L1 wholly outside the outline: 1 piece,"},
		{"another board's outline", text, "", "D10*\n" + box(40, 0, 60, 16), 0, "lands lie outside the outline"},
		{"most of the copper", "D10*\n" + line(30, 0, 30, 200), "", "", 0, ""},
		{"no outline", text, "", "none", 0, "no profile"},
	} {
		set := smallBoard()
		for name, more := range map[string]string{"b-top.gbr": c.top, "b-bottom.gbr": c.bottom} {
			set = put(set, name, []byte(strings.TrimSuffix(string(set[name].Data), "M02*\n")+"%TD*%\n"+more+"M02*\n"))
		}
		if strings.Contains(c.top, "03*") && c.name != "none" {
			set = put(set, "b.drl", holes)
		}
		whole := mustRead(t, put(set, "b-profile.gbr", nil), Options{})
		switch c.profile {
		case "":
		case "none":
			set = put(set, "b-profile.gbr", nil)
		default:
			set = put(set, "b-profile.gbr", gerberText("Profile,NP", c.profile))
		}
		b := mustRead(t, set, Options{})
		if gone := len(whole.Layers[0].Copper) - len(b.Layers[0].Copper); gone != c.pieces {
			t.Errorf("%s: %d pieces went, want %d; doubts %v", c.name, gone, c.pieces, b.Doubts)
		}
		if !hasDoubt(b, c.says) && c.says != "" || hasDoubt(b, "wholly outside the outline") != (c.pieces > 0) {
			t.Errorf("%s: doubts %v, want %q", c.name, b.Doubts, c.says)
		}
	}
}
