package boardread

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
)

func TestStrayHoles(t *testing.T) {
	far := []byte("M48\nMETRIC\n;TYPE=NON_PLATED\nT1C2.000\n%\nG90\nT1\nX80.0Y5.0\nX85.0Y5.0\nM30\n")
	b := mustRead(t, put(smallBoard(), "b-npth.drl", far), Options{})
	if !hasDoubt(b, "b-npth.drl", "2 of 2 holes lie outside the board") {
		t.Errorf("doubts %v", b.Doubts)
	}
}

func TestPanelNoticed(t *testing.T) {
	plot := func(x float64) string {
		out := "D12*\n"
		for i := range 12 {
			out += pin(fmt.Sprintf("C%d", i), "1", fmt.Sprintf("N%d", i)) + flash(x+1+float64(i)*1.5, 8)
		}
		return out
	}
	set := put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", plot(0)+plot(22)))
	if b := mustRead(t, set, Options{}); !hasDoubt(b, "12 of 12 pins are there 2 times") && !hasDoubt(b, "a panel of 2 copies") {
		t.Errorf("repeated pins: doubts %v", b.Doubts)
	}
	set = put(set, "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+box(0, 0, 20, 16)+box(22, 0, 42, 16)))
	if b := mustRead(t, set, Options{}); !hasDoubt(b, "a panel of 2 copies of a board of 20.0 x 16.0 mm") {
		t.Errorf("two outlines: doubts %v", b.Doubts)
	}
	if b := mustRead(t, put(smallBoard(), "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+box(0, 0, 20, 16)+box(5, 5, 7, 8))), Options{}); hasDoubt(b, "panel") {
		t.Errorf("a window makes a panel: %v", b.Doubts)
	}
}

// A pin attribute left standing far away does not stretch a body.
func TestBodyWithoutOutliers(t *testing.T) {
	plot := "D12*\n"
	for i := range 8 {
		plot += pin("U1", fmt.Sprint(i+1), "A") + flash(5+float64(i%4)*1.2, 5+float64(i/4)*3)
	}
	plot += pin("U1", "9", "A") + flash(18, 15)
	b := mustRead(t, put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", plot)), Options{})
	for _, p := range b.Parts {
		if p.Ref == "U1" {
			if o := p.Body.Bounds(); o.Max.X > 10e6 || o.Max.Y > 9e6 || o.Max.X-o.Min.X < 4e6 {
				t.Errorf("body %v", o)
			}
			return
		}
	}
	t.Error("no U1")
}

// One missing hole is told where lands above each other say that it was there:
// by their attribute, or as they join something. Marks on both sides and lands of
// surface parts are none.
func TestFewHolesMissing(t *testing.T) {
	attribute := regexp.MustCompile(`%TA[^%]*%\n`)
	good := smallBoard()
	// Twenty vias with their holes, so that one more is no tenth of all.
	plot, holes := "D13*\n", "T1\nX5.0Y5.0\nX15.0Y5.0\nT2\nX10.0Y10.0\nX10.0Y12.0\n"
	for x := range 20 {
		plot += flash(0.8+float64(x)*0.9, 1)
		holes += fmt.Sprintf("X%.3fY1.0\n", 0.8+float64(x)*0.9)
	}
	put2 := func(top, bottom string) fstest.MapFS {
		set := good
		for name, more := range map[string]string{"b-top.gbr": plot + top, "b-bottom.gbr": plot + bottom} {
			set = put(set, name, []byte(strings.TrimSuffix(string(good[name].Data), "M02*\n")+"%TD*%\n"+more+"M02*\n"))
		}
		return put(set, "b.drl", drillText(holes))
	}
	mark := flash(18, 14)
	track := "D10*\n" + line(18, 14, 18, 10)
	stripped := func(set fstest.MapFS) fstest.MapFS {
		for _, name := range []string{"b-top.gbr", "b-bottom.gbr"} {
			set = put(set, name, attribute.ReplaceAll(set[name].Data, nil))
		}
		return set
	}
	paste := put(stripped(put2(mark+track, mark)), "b-paste.gbr", gerberText("Paste,Top", "D13*\n"+flash(18, 14)))
	for _, c := range []struct {
		name string
		set  fstest.MapFS
		told bool
	}{
		{"all holes there", put2("", ""), false},
		{"a via's hole missing", put2(mark, mark), true},
		{"without attributes, with a track", stripped(put2(mark+track, mark)), true},
		{"without attributes, a mark on both sides", stripped(put2(mark, mark)), false},
		{"paste on the land", paste, false},
		{"surface lands", put2("D12*\n"+mark+track, "D12*\n"+mark), false},
	} {
		b := mustRead(t, c.set, Options{})
		if told := hasDoubt(b, "have no hole, as at 18.000,14.000"); told != c.told || b.Partial {
			t.Errorf("%s: told %v, part %v, doubts %v", c.name, told, b.Partial, b.Doubts)
		}
	}
}
