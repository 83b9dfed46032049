package demo_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"ohmward/demo"
)

// TestEveryFaultHasItsCase pairs faults.json with the case files: same name,
// same nets, and metal where the truth has metal.
func TestEveryFaultHasItsCase(t *testing.T) {
	data, err := fs.ReadFile(demo.Files(), "faults.json")
	if err != nil {
		t.Fatal(err)
	}
	var truth struct {
		Schema int
		Faults []struct {
			Case   string
			Nets   [2]string
			Metal  []struct{ Part, Net string }
			Probes [][2]string
		}
	}
	if err := json.Unmarshal(data, &truth); err != nil {
		t.Fatal(err)
	}
	if len(truth.Faults) != 3 {
		t.Fatalf("faults: got %d, want 3", len(truth.Faults))
	}
	for _, f := range truth.Faults {
		text, err := fs.ReadFile(demo.Cases(), f.Case+".toml")
		if err != nil {
			t.Error(err)
			continue
		}
		want := []string{`board = "../board"`, fmt.Sprintf("nets = [%q, %q]", f.Nets[0], f.Nets[1])}
		for _, m := range f.Metal {
			want = append(want, fmt.Sprintf("[[metal]]\npart = %q\nnet = %q", m.Part, m.Net))
		}
		for _, w := range want {
			if !strings.Contains(string(text), w) {
				t.Errorf("%s.toml lacks %q", f.Case, w)
			}
		}
		if n := len(f.Probes); n < 4 || n > 6 {
			t.Errorf("%s: %d probe pairs, want 4 to 6", f.Case, n)
		}
	}
}

// TestBoardFolder finds the board's files where the case files say.
func TestBoardFolder(t *testing.T) {
	for _, pattern := range []string{"*copper-top.gbr", "*copper-bottom.gbr", "*profile.gbr", "*plated.drl", "*.gbrjob"} {
		if m, err := fs.Glob(demo.Board(), pattern); err != nil || len(m) == 0 {
			t.Errorf("board/%s: found %v, %v", pattern, m, err)
		}
	}
}
