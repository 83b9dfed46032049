package record

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"ohmward/internal/check"
	"ohmward/unit"
)

func TestFull(t *testing.T) {
	c, err := Read(filepath.Join("testdata", "full.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := c.BoardPath(), filepath.Join("boards", "logger"); got != want {
		t.Errorf("board path %q, want %q", got, want)
	}
	if c.Nets != [2]string{"+3V3", "GND"} || c.Meter.Touch != "hand" || c.Copper.Ties != "none" {
		t.Errorf("read %+v", c)
	}
	check.Approx(t, *c.Meter.Placement, 0.3*unit.Millimetre, check.Tol{Rel: 1e-12}, "placement")
	check.Approx(t, *c.Copper.Plating, 25*unit.Micrometre, check.Tol{Rel: 1e-12}, "plating")
	if len(c.Copper.Thickness) != 4 {
		t.Fatalf("thickness %v", c.Copper.Thickness)
	}
	check.Approx(t, c.Copper.Thickness[1], 17.5*unit.Micrometre, check.Tol{Rel: 1e-12}, "copper")
	if want := []Metal{{Line: 27, Part: "J2", Net: "GND"}}; !reflect.DeepEqual(c.Metal, want) {
		t.Errorf("metal %+v", c.Metal)
	}
	checkReadings(t, c.Readings)
	if len(c.Findings) != 2 || c.Findings[0].After != 2 || c.Findings[1].After != 4 || c.Findings[0].Line != 50 {
		t.Errorf("findings %+v", c.Findings)
	}
}

func checkReadings(t *testing.T, rs []Reading) {
	t.Helper()
	if len(rs) != 4 {
		t.Fatalf("%d readings", len(rs))
	}
	for i, want := range []struct {
		line     int
		fourWire bool
		ohms     unit.Resistance
	}{{31, false, 0.0187}, {36, true, 0.00134}, {44, false, 0.0412}, {56, false, unit.Open}} {
		if rs[i].Line != want.line || rs[i].FourWire != want.fourWire {
			t.Errorf("reading %d: line %d, four-wire %v", i, rs[i].Line, rs[i].FourWire)
		}
		check.Approx(t, rs[i].Ohms, want.ohms, check.Tol{Rel: 1e-12})
	}
	if rs[1].Sense[1] != "L1@12.30,45.60" || rs[2].Unit != "good" || rs[1].U == nil {
		t.Errorf("readings %+v", rs)
	}
}

// TestWrite: what is written reads back the same, in both forms.
func TestWrite(t *testing.T) {
	want, err := Read(filepath.Join("testdata", "full.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"again.toml", "again.json"} {
		dir := t.TempDir()
		path := filepath.Join(dir, name)
		if err := create(path, want); err != nil {
			t.Fatal(err)
		}
		got, err := Read(path)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(withoutLines(*got), withoutLines(*want)) {
			t.Errorf("%s:\n got %+v\nwant %+v", name, withoutLines(*got), withoutLines(*want))
		}
		if files, _ := os.ReadDir(dir); len(files) != 3 { // with its journal and its lock
			t.Errorf("%d files left behind", len(files)-3)
		}
	}
	if err := create(filepath.Join(t.TempDir(), "none", "x.toml"), want); err == nil {
		t.Error("written into a folder that is not there")
	}
}

func withoutLines(c Case) Case {
	c.File = ""
	c.Readings = append([]Reading(nil), c.Readings...)
	c.Findings = append([]Finding(nil), c.Findings...)
	c.Metal = append([]Metal(nil), c.Metal...)
	for i := range c.Readings {
		c.Readings[i].Line = 0
	}
	for i := range c.Findings {
		c.Findings[i].Line = 0
	}
	for i := range c.Metal {
		c.Metal[i].Line = 0
	}
	return c
}

const head = "board = \"demo\"\nnets = [\"+3V3\", \"GND\"]\n"

func TestBad(t *testing.T) {
	for _, c := range []struct{ name, file, text, want string }{
		{"empty", "c.toml", " \n", "c.toml: is empty: a case names at least a board and two nets"},
		{"ending", "c.txt", head, "c.txt: ends in neither .toml nor .json: a case file is one of them"},
		{"no board", "c.toml", "nets = [\"A\", \"B\"]\n", `c.toml: board is missing: name the folder or .zip of the fabrication files, as board = "../boards/logger"`},
		{"no nets", "c.toml", "board = \"demo\"\n", `c.toml: nets is missing: name the two that touch, as nets = ["+3V3", "GND"]`},
		{"one net", "c.toml", "board = \"demo\"\nnets = [\"A\"]\n", "c.toml:2: nets is not a list of two nets"},
		{"same net", "c.toml", "board = \"demo\"\nnets = [\"A\", \"A\"]\n", `c.toml:2: nets names "A" twice`},
		{"syntax", "c.toml", head + "[meter\n", "c.toml:3: "},
		{"twice", "c.toml", head + "board = \"x\"\n", "c.toml:3: key board is already defined"},
		{"near key", "c.toml", head + "[meter]\nnoise_ohm = 1\n", `c.toml:4: unknown key "noise_ohm" in [meter]: did you mean "noise_ohms"?`},
		{"far key", "c.toml", head + "[[metal]]\nxyz = 1\n", `c.toml:4: unknown key "xyz" in [[metal]]; it takes net, part`},
		{"type", "c.toml", head + "[meter]\nnoise_ohms = \"a\"\n", "c.toml:4: noise_ohms is not a number"},
		{"range", "c.toml", head + "[copper]\ncopper_um = 0.035\n", "c.toml:4: copper_um = 0.035 is out of range: 1 to 1000"},
		{"nan", "c.toml", head + "[copper]\ntemp_c = nan\n", "c.toml:4: temp_c = NaN is out of range: -60 to 200"},
		{"touch", "c.toml", head + "[meter]\ntouch = \"stedy\"\n", `c.toml:4: touch is "stedy": did you mean "steady"?`},
		{"table", "c.toml", head + "meter = 3\n", "c.toml:3: [meter] is not a table of keys"},
		{"list", "c.toml", head + "[reading]\nfrom = \"a\"\n", "c.toml:3: reading is not a list of tables: write [[reading]]"},
		{"no places", "c.toml", head + "[[reading]]\nohms = 1\n", "c.toml:3: a reading needs its places: from and to, or current and sense"},
		{"one place", "c.toml", head + "[[reading]]\nfrom = \"a\"\nohms = 1\n", "c.toml:3: a two-wire reading needs both from and to"},
		{"to itself", "c.toml", head + "[[reading]]\nfrom = \"a\"\nto = \"a\"\nohms = 1\n", `c.toml:3: a reading from "a" to itself tells nothing`},
		{"both kinds", "c.toml", head + "[[reading]]\nfrom = \"a\"\nto = \"b\"\nsense = [\"a\", \"b\"]\nohms = 1\n", "c.toml:3: a reading has from and to (two-wire), or current and sense (four-wire), not both"},
		{"no value", "c.toml", head + "[[reading]]\nfrom = \"a\"\nto = \"b\"\n", "c.toml:3: a reading needs its value: ohms, or volts with amps"},
		{"volts alone", "c.toml", head + "[[reading]]\nfrom = \"a\"\nto = \"b\"\nvolts = 1\n", "c.toml:3: volts and amps go together"},
		{"no current", "c.toml", head + "[[reading]]\nfrom = \"a\"\nto = \"b\"\nvolts = 1\namps = 0\n", "c.toml:3: amps = 0 is no test current"},
		{"typed value", "c.toml", head + "[[reading]]\nfrom = \"a\"\nto = \"b\"\nohms = \"18.7mV\"\n", `c.toml:6: ohms: reading "18.7mV" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{"deed", "c.toml", head + "[[finding]]\npart = \"C7\"\ndone = \"remved\"\n", `c.toml:5: done is "remved": did you mean "removed"?`},
		{"no deed", "c.toml", head + "[[finding]]\npart = \"C7\"\n", "c.toml:3: [[finding]] needs done: what was done or seen"},
		{"late finding", "c.toml", head + "[[finding]]\npart = \"C7\"\ndone = \"removed\"\nafter_reading = 1\n", "c.toml:3: after_reading = 1, but there are only 0 readings"},
		{"cut off", "c.json", "{\"board\": \"demo\",\n\"nets\": [\"A\"", "c.json:2: the file ends early: is it cut off?"},
		{"json syntax", "c.json", "{\"board\":\n\"demo\",,}", "c.json:2: "},
		{"json twice", "c.json", "{\"board\": \"a\",\n\"board\": \"b\"}", `c.json:2: key "board" is given twice`},
		{"json key", "c.json", "{\"board\": \"demo\",\n\"nets\": [\"A\",\"B\"],\n\"metr\": {}}", `c.json:3: unknown key "metr" in the case: did you mean "meter"?`},
		{"json null", "c.json", "{\"board\": null}", "c.json:1: null stands for nothing here: leave the key out"},
		{"json after", "c.json", "{} {}", "c.json:1: something stands after the end of the object"},
		{"json deep", "c.json", strings.Repeat("[", 100000), "c.json:1: is nested more than 8 deep"},
		{"json list", "c.json", "[1]", "c.json:1: the case is not a table of keys"},
	} {
		dir := t.TempDir()
		path := filepath.Join(dir, c.file)
		if err := os.WriteFile(path, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		_, err := Read(path)
		if err == nil {
			t.Errorf("%s: read without error", c.name)
			continue
		}
		got := strings.TrimPrefix(err.Error(), dir+string(filepath.Separator))
		whole := !strings.HasSuffix(c.want, ": ")
		if whole && got != c.want || !strings.HasPrefix(got, c.want) || strings.Contains(got, "\n") {
			t.Errorf("%s:\n got %q\nwant %q", c.name, got, c.want)
		}
	}
	_, err := Read(filepath.Join(t.TempDir(), "none.toml"))
	if !errors.Is(err, os.ErrNotExist) {
		t.Errorf("missing file: %v", err)
	}
}

// TestShared reads every case of the outside checks.
func TestShared(t *testing.T) {
	cases, err := filepath.Glob(filepath.Join(check.Shared(t), "checks", "cases", "*.json"))
	if err != nil || len(cases) == 0 {
		t.Fatalf("no cases found: %v", err)
	}
	for _, path := range cases {
		c, err := Read(path)
		if err != nil {
			t.Error(err)
			continue
		}
		if _, err := os.Stat(c.BoardPath()); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		if len(c.Readings) == 0 || c.Copper.Ties != "none" {
			t.Errorf("%s: read %+v", path, c)
		}
		for _, r := range c.Readings {
			if r.Line == 0 {
				t.Errorf("%s: a reading without a line", path)
			}
		}
	}
}

// FuzzRead: no panic, and what is taken is written and read back the same.
func FuzzRead(f *testing.F) {
	full, err := os.ReadFile(filepath.Join("testdata", "full.toml"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(full, false)
	f.Add([]byte(`{"board":"demo","nets":["A","B"],"reading":[{"from":"a","to":"b","ohms":1e-3}]}`), true)
	f.Fuzz(func(t *testing.T, data []byte, asJSON bool) {
		name := "in.toml"
		if asJSON {
			name = "in.json"
		}
		c, err := Decode(name, data)
		if err != nil {
			return
		}
		again, err := Decode("out.toml", tomlText(c))
		if err != nil {
			t.Fatalf("written but not read: %v", err)
		}
		if len(again.Readings) != len(c.Readings) || again.Nets != c.Nets || len(again.Findings) != len(c.Findings) {
			t.Fatalf("got %+v, want %+v", again, c)
		}
	})
}
