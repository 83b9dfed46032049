package record

import (
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"ohmward/unit"
)

// Steps, nulls and a doubtful reading come back as they were written, in both
// forms; a case at its nets may lack them.
func TestSteps(t *testing.T) {
	at := time.Date(2026, 3, 2, 14, 5, 0, 0, time.UTC)
	yes, seven := true, 7
	leads, null, across := unit.Resistance(0.21), unit.Resistance(0.0712), unit.Open
	c := &Case{
		Board: Demo, Nets: [2]string{"+3V3", "GND"},
		Readings: []Reading{{From: "C7.1", To: "C7.2", Ohms: 0.0187, Doubtful: &yes}},
		Findings: []Finding{{After: 1, Part: "C7", Done: "removed", Short: "open", Heated: []string{"C7", "U3.5"}},
			{After: 1, Place: "L1@1.000,2.000", Done: "looked", Seen: "bridge", What: "strand"}},
		Nulls: []Null{{After: 0, Ohms: &null, At: at}, {After: 1}},
		Steps: &Steps{
			Unit: "17", Revision: 12, Practice: &seven, Asked: []string{"J2", "J3"}, Cautions: true,
			Hot:  at,
			Swap: []unit.Resistance{0.08, 0.081, 0.08}, Checked: 1, Drifted: true, Turn: "mend",
			Doing:  &Doing{Done: "wicked", Place: "L1@1.000,2.000"},
			Seeing: Seeing{Asks: "what", Part: "C7", Place: "L1@1.000,2.000"}, Proof: Proof{Cool: true, Leads: &leads, Across: &across},
			Cause: "seen", Checks: []string{"tapped"}, LeftOff: []string{"C25"}, Begun: at, Closed: at.Add(time.Hour),
		},
	}
	for _, name := range []string{"case.toml", "case.json"} {
		path := filepath.Join(t.TempDir(), name)
		if err := create(path, c); err != nil {
			t.Fatal(err)
		}
		got, err := Read(path)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got.Steps, c.Steps) {
			t.Errorf("%s: got %+v\nwant %+v", name, got.Steps, c.Steps)
		}
		if f := got.Findings[1]; f.What != "strand" || f.Seen != "bridge" {
			t.Errorf("%s: seen %+v", name, f)
		}
		if !reflect.DeepEqual(got.Findings[0].Heated, c.Findings[0].Heated) {
			t.Errorf("%s: heated %v", name, got.Findings[0].Heated)
		}
		if !reflect.DeepEqual(got.Nulls, c.Nulls) || got.Readings[0].Doubtful == nil {
			t.Errorf("%s: nulls %+v, reading %+v", name, got.Nulls, got.Readings[0])
		}
	}
	if _, err := Decode("case.toml", []byte("board = \"demo\"\n[bench]\nrevision = 1\n")); err != nil {
		t.Errorf("a case at its nets: %v", err)
	}
	for text, want := range map[string]string{
		"[bench]\nbegun = \"yesterday\"": "not a time",
		"[bench]\nturn = \"left\"":       "turn",
		"[bench]\nseeing = \"where\"":    "goes with doing",
		"[[finding]]\npart = \"C7\"\ndone = \"looked\"\nseen = \"warm\"\nwhat = \"dirt\"": "what goes with",
		"[bench]\nswap_ohms = [1, 1, 1, 1]":                                               "swap_ohms",
		"[[null]]\nohms = 0.1":                                                            "after_reading",
		"[bench]\n[[null]]\nafter_reading = 1.5":                                          "whole number",
		"[bench]\nchecks = \"tapped\"":                                                    "list of texts",
		"[bench]\nhot_at = 3":                                                             "not a time",
		"[[finding]]\npart = \"C7\"\ndone = \"removed\"\nheated = \"C7\"":                 "list of texts",
		"[bench]\nrevison = 1":                                                            "revision",
	} {
		_, err := Decode("case.toml", []byte("board = \"demo\"\nnets = [\"A\", \"B\"]\n"+text))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
