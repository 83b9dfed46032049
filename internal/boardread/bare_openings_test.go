package boardread

import (
	"strings"
	"testing"
)

// A land that is missing from an outer layer is told by its paste, its opening or its
// plated hole, also where a track still ends there; openings over holes without
// plating, over bare laminate on purpose, off the board or over nothing but laminate
// are no doubt.
func TestMissingLands(t *testing.T) {
	openings := flash(5, 5) + flash(15, 5) + flash(5, 12) + flash(7, 12)
	set := put(smallBoard(), "b-paste.gbr", gerberText("Paste,Top", "D12*\n"+flash(5, 12)+flash(7, 12)))
	set = put(set, "b-mask.gbr", gerberText("Soldermask,Top", "D11*\n"+openings))
	top, mask := string(set["b-top.gbr"].Data), string(set["b-mask.gbr"].Data)
	lone := strings.Replace(top, "M02*", "%TO.N,A*%\nD12*\n"+flash(12, 3)+"M02*", 1)
	for _, c := range []struct{ name, top, mask, says string }{
		{"as it is", top, mask, ""},
		{"a pasted land with a track", strings.Replace(top, flash(7, 12), "", 1), mask, "no land at 1 of"},
		{"two pasted lands of two", strings.Replace(strings.Replace(top, flash(7, 12), "", 1), flash(5, 12), "", 1), mask, ""},
		{"an opening on copper", lone, strings.Replace(mask, openings, openings+flash(12, 3), 1), ""},
		{"an opening on nothing", top, strings.Replace(mask, openings, openings+flash(12, 3), 1), "as at 12.000,3.000"},
		{"an opening off the board", top, strings.Replace(mask, openings, openings+flash(30, 3), 1), ""},
		{"an opening over a hole", top, strings.Replace(mask, openings, openings+flash(10, 10), 1), ""},
	} {
		b := mustRead(t, put(put(set, "b-top.gbr", []byte(c.top)), "b-mask.gbr", []byte(c.mask)), Options{})
		if told := hasDoubt(b, "has no land at"); told != (c.says != "") || told && !hasDoubt(b, "b-top.gbr", c.says) {
			t.Errorf("%s: doubts %v, want %q", c.name, b.Doubts, c.says)
		}
	}
}
