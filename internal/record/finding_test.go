package record

import (
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"ohmward/internal/check"
	"ohmward/unit"
)

// TestFindingKeys: what findings, touches and the meter's specification say is
// read, and reads back the same once written.
func TestFindingKeys(t *testing.T) {
	c, err := Read(filepath.Join("testdata", "findings.toml"))
	if err != nil {
		t.Fatal(err)
	}
	m := c.Meter
	check.Approx(t, *m.OfReading, 0.01, check.Tol{Rel: 1e-12})
	check.Approx(t, *m.Range, unit.Resistance(100), check.Tol{Rel: 1e-12})
	if m.VoltStep == nil || *m.VoltStep != 1e-4 {
		t.Errorf("a step of %v volts", m.VoltStep)
	}
	if m.Differenced == nil || *m.Differenced || c.Readings[1].Differenced == nil || !*c.Readings[1].Differenced {
		t.Errorf("differenced: meter %v, reading %v", m.Differenced, c.Readings[1].Differenced)
	}
	if got := c.Readings[0]; len(got.Touches) != 4 || got.Ohms != 0.0187 {
		t.Errorf("touches %v, believed %v; want 18.7 mΩ, which 18.9 repeats", got.Touches, got.Ohms)
	}
	split, looked, warmed := c.Findings[0], c.Findings[1], c.Findings[2]
	if split.Side != "C7.1" || split.After != 1 || looked.Seen != "no metal" || warmed.Reading != 1 ||
		*warmed.Change != 0.002 || *warmed.Kelvin != 40 {
		t.Errorf("findings %+v", c.Findings)
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
		if !reflect.DeepEqual(withoutLines(*again), withoutLines(*c)) {
			t.Errorf("%s:\n got %+v\nwant %+v", name, withoutLines(*again), withoutLines(*c))
		}
	}
}

func TestBelieved(t *testing.T) {
	for _, c := range []struct {
		touches []unit.Resistance
		want    unit.Resistance
	}{
		{[]unit.Resistance{0.020}, 0.020},
		{[]unit.Resistance{0.0187, 0.0189, 0.0300}, 0.0187},
		{[]unit.Resistance{0.0300, 0.0150, 0.0209, 0.0205}, 0.0205}, // 15 mΩ stands alone
		{[]unit.Resistance{0.010, 0.020, 0.030}, 0.010},             // none repeats
	} {
		if got := Believed(c.touches); got != c.want {
			t.Errorf("%v: %v, want %v", c.touches, got, c.want)
		}
	}
}

func TestBadFindings(t *testing.T) {
	const head = "board = \"demo\"\nnets = [\"A\", \"B\"]\n"
	for name, c := range map[string]struct{ text, want string }{
		"both values":  {"[[reading]]\nfrom = \"a\"\nto = \"b\"\nohms = 1\ntouches = [1, 2]", "not both"},
		"no touches":   {"[[reading]]\nfrom = \"a\"\nto = \"b\"\ntouches = []", "list of values"},
		"truth":        {"[meter]\ndifferenced = \"yes\"", "neither true nor false"},
		"seen":         {"[[finding]]\npart = \"C7\"\ndone = \"removed\"\nseen = \"bridge\"", "done = \"looked\""},
		"change":       {"[[finding]]\npart = \"C7\"\ndone = \"removed\"\nchange_ohms = 0.1", "change_ohms"},
		"half reading": {"[[finding]]\nplace = \"L1@1,1\"\ndone = \"warmed\"\nreading = 1.5", "whole number"},
	} {
		_, err := Decode("c.toml", []byte(head+c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", name, err, c.want)
		}
	}
}
