package boards

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"

	"ohmward/internal/boardread"
	"ohmward/internal/copper"
)

// TestLarge: a small board of the IPC-2581 kind reads as it was laid out: its
// layers, parts with their values, holes, and the nets of all pins by geometry
// and by name.
func TestLarge(t *testing.T) {
	b, err := NewLarge(6, 4, 38, 5)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "large.xml")
	if err := b.WriteFile(path); err != nil {
		t.Fatal(err)
	}
	read, err := boardread.Open(context.Background(), path, boardread.Options{}, func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	nets, err := copper.Extract(context.Background(), read, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range append(read.Doubts, nets.Doubts...) {
		t.Errorf("a doubt: %s", d.What)
	}
	if len(read.Layers) != b.Layers() || len(read.Parts) != b.Parts() || len(read.Holes) != 4*b.Parts() {
		t.Errorf("read %d layers, %d parts and %d holes, want %d, %d and %d",
			len(read.Layers), len(read.Parts), len(read.Holes), b.Layers(), b.Parts(), 4*b.Parts())
	}
	if len(nets.Nets) != b.Nets() || b.Nets() != 38 {
		t.Errorf("%d nets by geometry, laid out %d, asked for 38", len(nets.Nets), b.Nets())
	}
	value := map[string]string{}
	for _, p := range read.Parts {
		value[p.Ref] = p.Value
	}
	net := map[string]string{}
	for i, p := range read.Pads {
		if p.Ref == "" {
			continue
		}
		if id := nets.PadNet(i); id >= 0 {
			net[p.Ref+"."+p.Pin] = nets.Nets[id].Name
		}
	}
	for p := range b.Parts() {
		if got := value[b.PartName(p)]; got != b.Value(p) {
			t.Errorf("%s has value %q, want %q", b.PartName(p), got, b.Value(p))
		}
		for pin := 1; pin <= 4; pin++ {
			key := b.PartName(p) + "." + string(rune('0'+pin))
			if net[key] != b.NetOf(p, pin) {
				t.Errorf("%s is on net %q, want %s", key, net[key], b.NetOf(p, pin))
			}
		}
	}
	if len(net) != 4*b.Parts() {
		t.Errorf("%d pins have nets, want %d", len(net), 4*b.Parts())
	}
}

// TestLargeSameAgain: equal seeds give equal files, other seeds others; what
// cannot be laid out is an error.
func TestLargeSameAgain(t *testing.T) {
	file := func(seed uint64) []byte {
		b, err := NewLarge(5, 3, 25, seed)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := b.write(&out); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	if !bytes.Equal(file(1), file(1)) || bytes.Equal(file(1), file(2)) {
		t.Error("the seed does not settle the board")
	}
	for _, nets := range []int{19, 33} {
		if _, err := NewLarge(5, 3, nets, 1); err == nil {
			t.Errorf("15 parts in 3 rows with %d nets: no error", nets)
		}
	}
}
