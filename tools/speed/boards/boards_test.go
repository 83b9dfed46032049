package boards

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/internal/boardread"
	"ohmward/internal/copper"
)

// TestNets: the copper of a small board of each stack-up holds exactly the
// nets that were drawn, each under its own name.
func TestNets(t *testing.T) {
	for _, layers := range []int{4, 6, 8} {
		b := layOut(layers, 3, 2, 9)
		dir := t.TempDir()
		if err := b.Write(dir); err != nil {
			t.Fatal(err)
		}
		read, err := boardread.Open(context.Background(), dir, boardread.Options{}, func(string) {})
		if err != nil {
			t.Fatal(err)
		}
		nets, err := copper.Extract(context.Background(), read, copper.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(read.Layers) != layers || len(read.Pads) != b.tiles()*20 || len(read.Holes) != b.tiles()*14 {
			t.Errorf("%d layers: read %d layers, %d pads, %d holes", layers, len(read.Layers), len(read.Pads), len(read.Holes))
		}
		got := map[int]string{}
		for i, p := range read.Pads {
			id := nets.PadNet(i)
			if id < 0 {
				t.Fatalf("%d layers: pad %s.%s has no net", layers, p.Ref, p.Pin)
			}
			if got[id] = nets.Nets[id].Name; got[id] != p.Net {
				t.Errorf("%d layers: pad %s.%s of net %s is on %s", layers, p.Ref, p.Pin, p.Net, got[id])
			}
		}
		if len(got) != b.Nets() {
			t.Errorf("%d layers: %d nets with pads, drawn %d", layers, len(got), b.Nets())
		}
	}
}

// TestSameAgain: equal seeds give equal files, other seeds others.
func TestSameAgain(t *testing.T) {
	files := func(seed uint64) []byte {
		dir := t.TempDir()
		if err := New(100_000, 0, seed).Write(dir); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(filepath.Join(dir, "copper3.gbr"))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	a := files(1)
	if !bytes.Equal(a, files(1)) {
		t.Error("seed 1 gives two boards")
	}
	if bytes.Equal(a, files(2)) {
		t.Error("seeds 1 and 2 give one board")
	}
	if !strings.Contains(string(a), "G36*") {
		t.Error("the signal layer has no region")
	}
}

// BenchmarkRead reads boards to nets; measure tells their memory too.
func BenchmarkRead(b *testing.B) {
	for _, size := range []struct {
		name  string
		edges int
	}{{"edges=1e5", 100_000}, {"edges=3e5", 300_000}, {"edges=1e6", 1_000_000}} {
		b.Run(size.name, func(b *testing.B) {
			dir := b.TempDir()
			if err := New(size.edges, 0, 1).Write(dir); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				read, err := boardread.Open(context.Background(), dir, boardread.Options{}, func(string) {})
				if err != nil {
					b.Fatal(err)
				}
				if _, err := copper.Extract(context.Background(), read, copper.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
