package boardread

import (
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/geom"
)

func TestSaidRoles(t *testing.T) {
	odd := fstest.MapFS{}
	names := map[string]string{"b-top.gbr": "one.art", "b-bottom.gbr": "two.art", "b-profile.gbr": "rim.art", "b.drl": "Holes.tap"}
	for name, f := range smallBoard() {
		text := string(f.Data)
		if i := strings.Index(text, "%TF.FileFunction"); i >= 0 {
			text = text[:i] + text[i+strings.IndexByte(text[i:], '\n')+1:]
		}
		odd["plots/"+names[name]] = &fstest.MapFile{Data: []byte(text)}
	}
	if _, err := Read(odd, "made", Options{}); err == nil {
		t.Fatal("names that tell nothing make a board")
	}
	toml := "[files]\n\"one.art\" = \"copper top\"\n'plots\\TWO.art' = \"copper L2\"\n\"rim.art\" = \"profile\"\n\"holes.tap\" = \"drill unplated 1-2\"\n"
	b := mustRead(t, put(odd, RolesFile, []byte(toml)), Options{})
	want := mustRead(t, smallBoard(), Options{})
	if len(b.Layers) != 2 || b.Layers[0].Copper.Area() != want.Layers[0].Copper.Area() || b.Outline.Area() != want.Outline.Area() {
		t.Errorf("%d layers, outline %g", len(b.Layers), b.Outline.Area())
	}
	for _, h := range b.Holes {
		if h.Plated {
			t.Errorf("hole %+v is said to be unplated", h)
		}
	}
	for _, f := range b.Files {
		if f.Path != RolesFile && f.Why != RolesFile+" says so" {
			t.Errorf("file %+v", f)
		}
	}
	// A role wins over the file's own attribute.
	b = mustRead(t, put(smallBoard(), RolesFile, []byte("[files]\n\"b.drl\" = \"ignore\"\n")), Options{})
	if len(b.Holes) != 0 || !hasDoubt(b, "no drill file") {
		t.Errorf("an ignored file is used: %+v", b.Holes)
	}
	for _, c := range []struct{ name, toml, want string }{
		{"no such file", "[files]\n\"b-topp.gbr\" = \"copper L1\"\n", "did you mean b-top.gbr?"},
		{"no such role", "[files]\n\"b-top.gbr\" = \"cupper\"\n", `role "cupper" is not known`},
		{"no side", "[files]\n\"b-top.gbr\" = \"mask\"\n", `role "mask" is not known`},
		{"metal", "[files]\n\n[[metal]]\npart = \"J1\"\n", "ohmward.toml:3: \"metal\" means nothing here"},
		{"no TOML", "files = [\n", "not readable"},
		{"a drill file as copper", "[files]\n\"b.drl\" = \"copper L1\"\n", "b.drl"},
	} {
		_, err := Read(put(smallBoard(), RolesFile, []byte(c.toml)), "made", Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// A header that tells the wrong unit is an error; a user who cannot have the
// file made anew lets the pads tell.
func TestSaidFitted(t *testing.T) {
	wrong := put(smallBoard(), "b.drl", []byte("M48\nMETRIC\nT1C0.0314961\nT2C0.0118110\n%\nG90\nT1\nX0.19685Y0.19685\nX0.590551Y0.19685\nT2\nX0.393701Y0.393701\nX0.393701Y0.472441\nM30\n"))
	_, err := Read(wrong, "made", Options{})
	if err == nil || !strings.Contains(err.Error(), "read in inches") || !strings.Contains(err.Error(), `"drill fitted"`) {
		t.Fatalf("inches under a metric header: %v", err)
	}
	b := mustRead(t, wrong, Options{Roles: []string{"b.drl=drill fitted"}})
	if !hasDoubt(b, "wrong: read in inches") {
		t.Errorf("no doubt says how the drill file was read: %v", b.Doubts)
	}
	want := mustRead(t, smallBoard(), Options{})
	if len(b.Holes) != len(want.Holes) {
		t.Fatalf("%d holes, want %d", len(b.Holes), len(want.Holes))
	}
	for i, h := range b.Holes {
		if d := h.Diameter - want.Holes[i].Diameter; geom.Distance(h.At, want.Holes[i].At) > 20 || d < -20 || d > 20 {
			t.Errorf("hole %+v, want %+v", h, want.Holes[i])
		}
	}
}
