package web

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
)

// TestGoodUnit: what was read across two nets once their short was proved gone
// is shown beside the pair for the next unit of the same files, also when they
// are brought a second time; beside other pairs, and for other files, nothing
// but what a resistor across them tells: R24 of 100 kohm, from GND to VEXC_M.
func TestGoodUnit(t *testing.T) {
	if testing.Short() {
		t.Skip("looks over a whole board three times: some seconds")
	}
	s := newTest(t, "")
	files := demoFiles(t)
	first := brought(t, s, files)
	ready(t, s, first)
	pairs := call[[]answer.PronePair](t, s, "GET", "/api/cases/"+first+"/pairs", nil)
	const most = "a good unit reads at most 100 kΩ: R24 lies across"
	across := -1
	for i, p := range pairs {
		switch {
		case p.Nets == [2]string{"GND", "VEXC_M"}:
			across = i
			if p.Good != most {
				t.Errorf("with R24 across: %q", p.Good)
			}
		case p.Good != "":
			t.Errorf("nothing was read, yet %v: %s", p.Nets, p.Good)
		}
	}
	if across < 2 {
		t.Fatalf("GND and VEXC_M are pair %d", across)
	}
	// The pins of one part, read on a good unit.
	var nets [2]string
	for i, pin := range []string{"C9.1", "C9.2"} {
		nets[i] = call[[]answer.Found](t, s, "GET", "/api/cases/"+first+"/find?q="+pin, nil)[0].Net
	}
	marked := slices.IndexFunc(pairs, func(p answer.PronePair) bool {
		return p.Nets == nets || p.Nets == [2]string{nets[1], nets[0]}
	})
	if marked < 0 {
		t.Fatalf("%v are no prone pair", nets)
	}
	pair := pairs[1]
	proven := 1
	if marked == 1 {
		proven, pair = 0, pairs[0]
	}
	begun := filepath.Join(s.folder.Dir(), "cases", first, "case.toml")
	text, err := os.ReadFile(begun)
	if err != nil {
		t.Fatal(err)
	}
	head, steps, _ := strings.Cut(string(text), "[bench]")
	i := strings.Index(head, "\n") // after the board
	proved := head[:i+1] + `nets = ["` + pair.Nets[1] + `", "` + pair.Nets[0] + `"]` + head[i:] + `
[[reading]]
from = "C9.1"
to = "C9.2"
ohms = 4700
unit = "good"

[[finding]]
after_reading = 1
done = "looked"
place = "L1@20,20"
seen = "bridge"
short = "cleared"

[bench]
across_ohms = 23000
cautions = true` + steps
	if err := os.WriteFile(begun, []byte(proved), 0o644); err != nil {
		t.Fatal(err)
	}
	good := func(files map[string]string) map[int]string {
		id := brought(t, s, files)
		ready(t, s, id)
		out := map[int]string{}
		for i, p := range call[[]answer.PronePair](t, s, "GET", "/api/cases/"+id+"/pairs", nil) {
			if p.Good != "" && i != across {
				out[i] = p.Good
			}
		}
		return out
	}
	if g := good(files); len(g) != 2 || g[proven] != "a good unit read 23.0 kΩ" ||
		g[marked] != "a good unit read 4.70 kΩ" {
		t.Errorf("the same board: %v", g)
	}
	files["RL-40-parts.csv"] = strings.Replace(files["RL-40-parts.csv"], "R4", "R5", 1)
	if g := good(files); len(g) != 0 {
		t.Errorf("another board: %v", g)
	}
}
