package bench

import (
	"context"
	"math"
	"strings"
	"testing"

	"ohmward/internal/engine"
	"ohmward/internal/suspect"
)

// TestTieEdits: what a user says of a part holds for the list, the groups and
// the resistance in the network.
func TestTieEdits(t *testing.T) {
	ctx := context.Background()
	a, err := Board(ctx, engine.DemoName, nil, engine.Options{Cache: shared, TieEdits: []engine.TieEdit{{Part: "FB1", Ohms: 0.3, Factor: 1.5}, {Part: "R4", Open: true}}})
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, tie := range a.Ties {
		switch tie.Part {
		case "FB1":
			seen++
			if tie.Ohms != 0.3 || math.Abs(tie.Range-1.5) > 1e-9 || !tie.Joins || tie.Kind != "bead" || tie.Pins != [2]string{"FB1.1", "FB1.2"} {
				t.Errorf("%+v", tie)
			}
		case "R4":
			seen++
			if tie.Joins {
				t.Errorf("%+v", tie)
			}
		}
	}
	if seen != 2 || len(a.Ties) != 5 {
		t.Errorf("ties %+v", a.Ties)
	}
	p, err := engine.Open(ctx, engine.DemoName, engine.Options{Cache: shared, Ties: "none", TieEdits: []engine.TieEdit{{Part: "FB1", Ohms: 0.3}}})
	if err != nil {
		t.Fatal(err)
	}
	s := &engine.Pair{Board: p}
	if err := s.ChooseNets([]string{"+3V3", "GND"}); err != nil {
		t.Fatal(err)
	}
	if len(s.Groups[0]) != 2 || len(s.Links[0]) != 1 || s.Links[0][0].Ohms != 0.3 || s.Links[0][0].Part != "FB1" {
		t.Errorf("group %v, links %+v", s.Groups[0], s.Links[0])
	}
	if _, err = engine.Open(ctx, engine.DemoName, engine.Options{Cache: shared, TieEdits: []engine.TieEdit{{Part: "FB9", Ohms: 1}}}); err == nil || !strings.Contains(err.Error(), "FB9") {
		t.Errorf("a part that is not there: %v", err)
	}
}

// TestMetalWithoutPlace: a marked body that lists nothing has one line; one
// that the files hint at is asked for until it is marked.
func TestMetalWithoutPlace(t *testing.T) {
	p, err := engine.Open(context.Background(), engine.DemoName, withStore())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		body engine.Metal
		want string // of the note
		asks string // of the caution
	}{
		{engine.Metal{Part: "J3", Net: "GND"}, "", "J2 (S1 S2 S3 S4 on GND), J5 (S1 S2 on GND)"},
		{engine.Metal{Part: "J33", Net: "GND"}, "no part of that name is on the board; did you mean J3?", "J3 (S1 S2 S3 S4 S5 on GND)"},
		{engine.Metal{Part: "L1", Net: "GND"}, "none of its pads is on that net, they are on +3V3, SW", "J3"},
		{engine.Metal{Part: "C15", Net: "+3V3"}, "none of its pads is on that net", "J3"},
	} {
		s := &engine.Pair{Board: p}
		if err := s.ChooseNets([]string{"+3V3", "GND"}); err != nil {
			t.Fatal(err)
		}
		if err := s.Suspect(engine.PairOptions{Rates: suspect.DefaultRates(), Metal: []engine.Metal{c.body}}); err != nil {
			t.Fatal(err)
		}
		metal := 0
		for _, site := range s.Sites {
			if site.Kind == suspect.Metal && site.Part == c.body.Part {
				metal++
			}
		}
		switch {
		case c.want == "" && (len(s.Notes) > 0 || metal == 0):
			t.Errorf("%v: notes %v, %d sites", c.body, s.Notes, metal)
		case c.want != "" && (len(s.Notes) != 1 || !strings.Contains(s.Notes[0].What, c.want) || metal > 0):
			t.Errorf("%v: notes %v, %d sites, want %q", c.body, s.Notes, metal, c.want)
		}
		if last := cautions(s)[len(cautions(s))-1]; !strings.Contains(last, c.asks) {
			t.Errorf("%v: caution %q, want %q", c.body, last, c.asks)
		}
	}
	if len(beforeProbes) != 3 {
		t.Errorf("the cautions of all boards have grown: %q", beforeProbes)
	}
}

// TestGoodUnitAtMost: R24 of 100 kohm lies from GND to VEXC_M and bounds what a
// good unit reads there; nothing is known to lie from +3V3 to GND.
func TestGoodUnitAtMost(t *testing.T) {
	for nets, want := range map[[2]string]string{
		{"GND", "VEXC_M"}: "a good unit reads at most 100 kΩ: R24 lies across",
		{"+3V3", "GND"}:   "",
	} {
		a, err := Suspects(context.Background(), engine.DemoName, nets[:], withStore())
		if err != nil {
			t.Fatal(err)
		}
		if a.Good != want {
			t.Errorf("%v: %q", nets, a.Good)
		}
	}
}
