package record

import (
	"path/filepath"
	"reflect"
	"testing"

	"ohmward/unit"
)

func TestTie(t *testing.T) {
	text := head + `
[[tie]]
part = "FB1"
ohms = 0.3
factor = 1.5
[[tie]]
pins = ["Q1.2", "Q1.3"]
ohms = 0.05
[[tie]]
part = "F1"
joins = false
`
	c, err := Decode("c.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	ohms, less, factor := unit.Resistance(0.3), unit.Resistance(0.05), 1.5
	want := []Tie{{Line: 4, Part: "FB1", Ohms: &ohms, Factor: &factor}, {Line: 8, Pins: [2]string{"Q1.2", "Q1.3"}, Ohms: &less}, {Line: 11, Part: "F1", Open: true}}
	if !reflect.DeepEqual(c.Ties, want) {
		t.Errorf("got %+v", c.Ties)
	}
	for _, name := range []string{"again.toml", "again.json"} {
		path := filepath.Join(t.TempDir(), name)
		if err := create(path, c); err != nil {
			t.Fatal(err)
		}
		again, err := Read(path)
		if err != nil {
			t.Fatal(err)
		}
		for i := range again.Ties {
			again.Ties[i].Line = want[i].Line
		}
		if !reflect.DeepEqual(again.Ties, want) {
			t.Errorf("%s: got %+v", name, again.Ties)
		}
	}
	for text, want := range map[string]string{
		"[[tie]]\nohms = 1\n":                                      `c.toml:3: [[tie]] needs a part, or two pins as pins = ["Q1.2", "Q1.3"], not both`,
		"[[tie]]\npart = \"FB1\"\n":                                `c.toml:3: [[tie]] needs ohms, or joins = false`,
		"[[tie]]\npart = \"FB1\"\nohms = 1\njoins = false\n":       `c.toml:3: [[tie]] has ohms, or joins = false, not both`,
		"[[tie]]\npart = \"FB1\"\nohms = -1\n":                     `c.toml:5: ohms = -1 is out of range: 0 to 1000`,
		"[[tie]]\npart = \"FB1\"\nohms = 1\nfactor = 0.5\n":        `c.toml:6: factor = 0.5 is out of range: 1.001 to 100`,
		"[[tie]]\npart = \"FB1\"\npins = [\"A.1\"]\njoins=false\n": `c.toml:5: pins is not a list of two pins`,
	} {
		if _, err := Decode("c.toml", []byte(head+text)); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
