package boardread

import (
	"fmt"
	"strings"
	"testing"
)

// A clear polarity that does not belong there is told with the line of the first
// object that it takes away; clearances, text cut out of a pour and a clearance
// drawn twice are no doubt.
func TestPaintedAway(t *testing.T) {
	good := string(smallBoard()["b-top.gbr"].Data)
	pour := "G36*\n" + xy(1, 1) + "D02*\n" + xy(19, 1) + "D01*\n" + xy(19, 15) + "D01*\n" + xy(1, 15) + "D01*\n" + xy(1, 1) + "D01*\nG37*\n"
	clear := "%LPC*%\nD13*\n" + flash(10, 10) + flash(10, 12) + flash(10, 12) + "D10*\n"
	for x := range 12 {
		clear += line(3+float64(x)*0.4, 14, 3+float64(x)*0.4, 14.6)
	}
	tracks := ""
	for x := range 12 {
		tracks += line(3+float64(x)*0.8, 14, 3+float64(x)*0.8, 14.6)
	}
	before := func(mark, more string) string { return strings.Replace(good, mark, more+mark, 1) }
	first := "D11*\n" + pin("R1", "1", "A")
	for _, c := range []struct{ name, top, says string }{
		{"as it is", good, ""},
		{"clearances and text in a pour", before(first, pour+clear+"%LPD*%\n"), ""},
		{"before the lands", before(first, "%LPC*%\n"), "4 lands of copper L1"},
		{"before one pin's land", strings.Replace(good, "D12*\n", "%LPC*%\nD12*\n", 1), "2 lands of copper L1"},
		{"before the land, dark again behind it", before(first, "%LPC*%\n"+first+flash(5, 5)+"%LPD*%\n"), ""},
		{"before tracks alone", strings.Replace(good, "M02*", "%LPC*%\nD10*\n"+tracks+"M02*", 1), "12 of 12 objects of copper L1"},
	} {
		set := put(smallBoard(), "b-top.gbr", []byte(c.top))
		b := mustRead(t, set, Options{})
		if told := hasDoubt(b, "b-top.gbr", "%LPC*%"); told != (c.says != "") || !hasDoubt(b, c.says) && told {
			t.Errorf("%s: doubts %v, want %q", c.name, b.Doubts, c.says)
		}
		for _, d := range b.Doubts {
			if lines := strings.Split(c.top, "\n"); strings.Contains(d.What, "%LPC*%") && (d.Line == 0 || !strings.Contains(fmt.Sprint(lines[:d.Line]), "%LPC*%")) {
				t.Errorf("%s: the doubt's line %d is not behind the polarity", c.name, d.Line)
			}
		}
	}
}
