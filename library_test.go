package ohmward_test

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"ohmward"
)

// TestOutside builds and runs a program of another module: what it needs of the
// engine is exported.
func TestOutside(t *testing.T) {
	if testing.Short() {
		t.Skip("builds another module: full runs only")
	}
	sum, err := os.ReadFile("go.sum")
	if err != nil {
		t.Fatal(err)
	}
	root, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for name, text := range map[string][]byte{"go.sum": sum, "go.mod": nil, "main.go": nil} {
		if text == nil {
			if text, err = os.ReadFile(filepath.Join("testdata", "library", name)); err != nil {
				t.Fatal(err)
			}
			text = []byte(strings.Replace(string(text), "=> ../..", "=> "+root, 1))
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	c := exec.Command("go", "run", "-mod=mod", ".", filepath.Join(root, "demo", "board"))
	c.Dir = dir
	out, err := c.CombinedOutput()
	if got := strings.TrimSpace(string(out)); err != nil || !strings.HasSuffix(got, "true true true true J3's shell 3") {
		t.Errorf("%v: %s", err, got)
	}
}

// small gives the demo's +3V3 and NRST, which no plane makes slow to solve.
var small = sync.OnceValues(func() (*ohmward.Pair, error) {
	b, err := ohmward.OpenBoard(context.Background(), "demo/board", ohmward.Options{})
	if err != nil {
		return nil, err
	}
	return b.Pair(context.Background(), "+3V3", "NRST")
})

// TestTogether: one pair serves several goroutines, each with what it asked for.
func TestTogether(t *testing.T) {
	pair, err := small()
	if err != nil {
		t.Fatal(err)
	}
	cases := []ohmward.Evidence{
		{Readings: []ohmward.Reading{{From: "C3.2", To: "C21.1", Ohms: 0.05}}},
		{Readings: []ohmward.Reading{{From: "C3.2", To: "C21.1", Ohms: 0.09}}},
	}
	var want []string
	for _, e := range cases {
		post, err := pair.Locate(e)
		if err != nil {
			t.Fatal(err)
		}
		best, _ := post.Best()
		want = append(want, best.String())
	}
	var wait sync.WaitGroup
	for i := range 8 {
		wait.Go(func() {
			post, err := pair.Locate(cases[i%2])
			if err != nil {
				t.Error(err)
				return
			}
			if best, _ := post.Best(); best.String() != want[i%2] {
				t.Errorf("case %d: %s, alone %s", i%2, best, want[i%2])
			}
			if _, err := post.Next(3); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
}

// TestErrors: what cannot be answered is told by type, in one line, and a
// context that has ended ends the work.
func TestErrors(t *testing.T) {
	ctx := context.Background()
	b, err := ohmward.OpenBoard(ctx, "demo/board", ohmward.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, missing := ohmward.OpenBoard(ctx, filepath.Join(t.TempDir(), "none"), ohmward.Options{})
	_, place := b.Resistance("C3.2", "Q99.1")
	_, nets := b.Pair(ctx, "+3V3", "NO-SUCH-NET")
	_, same := b.Pair(ctx, "+3V3", "+3V3")
	pair, err := small()
	if err != nil {
		t.Fatal(err)
	}
	_, off := pair.Locate(ohmward.Evidence{Readings: []ohmward.Reading{{From: "C3.2", To: "J1.1", Ohms: 0.01}}})
	for name, err := range map[string]error{"no folder": missing, "no place": place, "no net": nets, "one net": same, "off the nets": off} {
		var known *ohmward.Error
		if !errors.As(err, &known) || strings.Contains(known.What, "\n") || known.What == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	ended, end := context.WithCancel(ctx)
	end()
	if _, err := b.Pair(ended, "+3V3", "GND"); !errors.Is(err, context.Canceled) {
		t.Errorf("after the context's end: %v", err)
	}
}
