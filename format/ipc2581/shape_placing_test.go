package ipc2581

import (
	"fmt"
	"reflect"
	"testing"

	"ohmward/geom"
)

// el is a triangle without symmetry: (0,0), (3,0), (0,1).
const el = `<Polygon><PolyBegin x="0" y="0"/><PolyStepSegment x="3" y="0"/><PolyStepSegment x="0" y="1"/></Polygon>`

// Where the corner (3,0) and the corner (0,1) come to lie, worked out by hand:
// offset, turn counter-clockwise, mirror x, scale, location.
func TestPlacing(t *testing.T) {
	cases := []struct {
		xform    string
		far, top geom.Point
	}{
		{``, geom.FromMM(13, 20), geom.FromMM(10, 21)},
		{`rotation="90"`, geom.FromMM(10, 23), geom.FromMM(9, 20)},
		{`rotation="-90.0"`, geom.FromMM(10, 17), geom.FromMM(11, 20)},
		{`rotation="450"`, geom.FromMM(10, 23), geom.FromMM(9, 20)},
		{`mirror="true"`, geom.FromMM(7, 20), geom.FromMM(10, 21)},
		{`rotation="90" mirror="true"`, geom.FromMM(10, 23), geom.FromMM(11, 20)},
		{`scale="2"`, geom.FromMM(16, 20), geom.FromMM(10, 22)},
		{`xOffset="1" yOffset="2"`, geom.FromMM(14, 22), geom.FromMM(11, 23)},
		{`xOffset="1" rotation="90"`, geom.FromMM(10, 24), geom.FromMM(9, 21)},
		{`rotation="45"`, geom.FromMM(10+3/1.41421356237, 20+3/1.41421356237), geom.FromMM(10-.70710678119, 20.70710678119)},
	}
	for _, c := range cases {
		x := `<Xform ` + c.xform + `/><Location x="10" y="20"/>`
		for _, xml := range []string{
			`<Features>` + x + el + `</Features>`,
			`<Pad>` + x + el + `</Pad>`,
			`<Features><UserSpecial>` + x + el + `</UserSpecial></Features>`,
		} {
			d := made{features: xml}.read(t)
			ring := d.Layers[0].Objects[0].Rings[0]
			want := map[geom.Point]bool{geom.FromMM(10, 20): true, c.far: true, c.top: true}
			if c.xform == `xOffset="1" yOffset="2"` || c.xform == `xOffset="1" rotation="90"` {
				delete(want, geom.FromMM(10, 20))
			}
			got := map[geom.Point]bool{}
			for _, p := range ring {
				got[p] = true
			}
			for p := range want {
				if !got[p] {
					t.Errorf("%s in %s: no corner at %v; has %v", c.xform, xml[:6], p, ring)
				}
			}
			if ring.Area() <= 0 {
				t.Errorf("%s: ring turned clockwise", c.xform)
			}
		}
	}
}

// A placing inside another is the two in turn.
func TestPlacingInside(t *testing.T) {
	d := made{
		dictionaries: `<DictionaryUser units="MILLIMETER"><EntryUser id="u"><UserSpecial><Xform rotation="90"/>` + el + `</UserSpecial></EntryUser></DictionaryUser>`,
		features:     `<Features><Xform mirror="true"/><Location x="1" y="0"/><UserPrimitiveRef id="u"/></Features>`,
	}.read(t)
	got := d.Layers[0].Objects[0].Rings[0]
	want := geom.Ring{geom.FromMM(1, 0), geom.FromMM(2, 0), geom.FromMM(1, 3)}
	if b := got.Bounds(); b != want.Bounds() || got.Area() != want.Area() {
		t.Errorf("got %v, want %v", got, want)
	}
}

// The same figure in every unit of the header, with a dictionary in another.
func TestUnits(t *testing.T) {
	for unit, nm := range map[string]int64{"MILLIMETER": 1_000_000, "MICRON": 1_000, "INCH": 25_400_000} {
		d := made{
			units:        unit,
			dictionaries: `<DictionaryStandard units="MICRON"><EntryStandard id="r"><RectCenter width="200" height="100"/></EntryStandard></DictionaryStandard>`,
			features:     `<Features><Location x="3" y="-1.5"/><StandardPrimitiveRef id="r"/></Features>`,
		}.read(t)
		b := d.Layers[0].Objects[0].Rings[0].Bounds()
		want := geom.Box{Min: geom.Point{X: 3*nm - 100_000, Y: -3*nm/2 - 50_000}, Max: geom.Point{X: 3*nm + 100_000, Y: -3*nm/2 + 50_000}}
		if b != want {
			t.Errorf("%s: got %v, want %v", unit, b, want)
		}
		if got, want := d.Layers[0].Below, int64(float64(nm)*1.53+.5); got != want {
			t.Errorf("%s: core is %d nm, want %d", unit, got, want)
		}
	}
}

// Prefixed names read as plain ones.
func TestNamespace(t *testing.T) {
	m := made{features: `<Features>` + el + `</Features>`}
	plain := m.read(t)
	d, err := Read(prefixed(m.text()), "made.xml")
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(d, plain) {
		t.Errorf("got %s, want %s", fmt.Sprint(d), fmt.Sprint(plain))
	}
}
