package bench

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/cache"
	"ohmward/internal/check"
	"ohmward/internal/engine"
)

// TestKeptAnswers compares answers without a store, with an empty one, with a
// full one and with one whose files are all damaged: the same to the byte.
func TestKeptAnswers(t *testing.T) {
	if testing.Short() {
		t.Skip("asks everything twice: left out of -short")
	}
	dir := t.TempDir()
	nets := []string{"+3V3", "GND"}
	file := filepath.Join(check.Root(t), "demo", "cases", "shell.toml")
	resistance := func(o engine.Options) any {
		a, err := Resistance(context.Background(), engine.DemoName, []answer.Pair{{From: "U1.12", To: "U6.3"}}, o)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	suspects := func(o engine.Options) any {
		a, err := Suspects(context.Background(), engine.DemoName, nets, o)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	located := func(o engine.Options) any {
		a, err := Locate(context.Background(), file, "", o)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	for name, ask := range map[string]func(engine.Options) any{"resistance": resistance, "suspects": suspects, "locate": located} {
		write := func(s *cache.Store) []byte {
			out, err := json.Marshal(ask(engine.Options{Cache: s}))
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
		want := write(nil)
		s := cache.In(dir, "p", 1e9)
		for _, what := range []string{"an empty store", "a full store"} {
			if got := write(s); !bytes.Equal(got, want) {
				t.Errorf("%s with %s:\n%s\nwant\n%s", name, what, got, want)
			}
		}
		files, err := filepath.Glob(filepath.Join(dir, "*"))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: nothing was kept", name)
		}
		for _, f := range files {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			data[len(data)/2] ^= 1
			if err := os.WriteFile(f, data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if got := write(s); !bytes.Equal(got, want) {
			t.Errorf("%s with damaged files differs", name)
		}
	}
}
