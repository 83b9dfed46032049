package copper

import (
	"context"
	"slices"
	"strings"
	"testing"

	"ohmward/demo"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
)

// unnamed is a board of which the data names no net: R1 between two tracks, a
// lone land, and a land on either layer at the same place.
func unnamed() *board.Board {
	b := layersOf(
		slices.Concat(rect(0, 0, 10, 1), rect(0, 3, 10, 4), rect(20, 0, 22, 2), rect(30, 0, 31, 1)),
		slices.Concat(rect(30, 0, 31, 1)))
	addPad(b, 0, 1, 0.5, 0.8, "R10", "1", -1)
	addPad(b, 0, 9, 0.5, 0.8, "R2", "1", -1)
	addPad(b, 0, 1, 3.5, 0.8, "R2", "2", -1)
	return b
}

func names(n *Nets) []string {
	var out []string
	for i := range n.Nets {
		out = append(out, n.Nets[i].Name)
	}
	return out
}

func TestOwnNames(t *testing.T) {
	want := []string{"copper@21.00,1.00", "copper@30.50,0.50", "copper@30.50,0.50/L2", "copper@R2.1", "copper@R2.2"}
	if got := names(extract(t, unnamed(), Options{})); !slices.Equal(got, want) {
		t.Fatalf("names %q, want %q", got, want)
	}
	// A hole that is not plated, a mask and a netlist's place of a net without
	// a name change nothing.
	b := unnamed()
	bore(b, 5, 0.5, 0.3, false, 0, 1)
	bore(b, 20.5, 0.5, 0.3, false, 0, 1)
	mask := rect(0, 0, 1, 1)
	b.Mask[0] = &mask
	if got := names(extract(t, b, Options{})); !slices.Equal(got, want) {
		t.Errorf("with unplated holes and a mask: names %q, want %q", got, want)
	}
	// Old names are understood after a plated hole joins the two.
	b = unnamed()
	bore(b, 30.5, 0.5, 0.3, true, 0, 1)
	n := extract(t, b, Options{})
	for _, old := range want {
		if _, err := n.ByName(old); err != nil {
			t.Errorf("%s: %v", old, err)
		}
	}
	one, _ := n.ByName("copper@30.50,0.50")
	if two, _ := n.ByName("copper@30.50,0.50/L2"); one != two {
		t.Errorf("the joined lands are nets %d and %d", one, two)
	}
}

func TestUserNames(t *testing.T) {
	b := unnamed()
	b.Names = []board.Naming{
		{Name: "IN", Of: "R2.1", File: "f"}, {Name: "OUT", Of: "L1 5,3.5", File: "f"}, {Name: "ZZ", Of: "copper@21.00,1.00", File: "f"},
		{Name: "UNDER", Of: "L2@30.5,0.5", File: "f"},
	}
	n := extract(t, b, Options{})
	if got, want := names(n), []string{"IN", "OUT", "UNDER", "ZZ", "copper@30.50,0.50"}; !slices.Equal(got, want) {
		t.Fatalf("names %q, want %q", got, want)
	}
	for name, of := range map[string]string{"IN": "R10.1", "copper@R2.1": "R10.1", "OUT": "R2.2", "ZZ": "L1@20.2,0.2", "copper@21.00,1.00": "L1@20.2,0.2"} {
		id, err := n.ByName(name)
		if err != nil {
			t.Fatal(err)
		}
		p, err := ParsePlace(of)
		if err != nil {
			t.Fatal(err)
		}
		if s, err := n.Resolve(p); err != nil || s.Net != id {
			t.Errorf("%s is net %d, %s lies on %d (%v)", name, id, of, s.Net, err)
		}
	}
	if id, _ := n.ByName("IN"); n.PadNet(0) != id || n.PadNet(1) != id || !slices.Equal(n.Nets[id].Pads, []int{0, 1}) || n.Nets[id].Was != "copper@R2.1" {
		t.Errorf("IN is %+v; pads lie on %d and %d", n.Nets[id], n.PadNet(0), n.PadNet(1))
	}
	for _, c := range []struct {
		names []board.Naming
		want  string
	}{
		{[]board.Naming{{Name: "A", Of: "R9.1", File: "f.toml"}}, "no net R9.1"},
		{[]board.Naming{{Name: "A", Of: "L1 100,100", File: "f.toml"}}, "bare laminate"},
		{[]board.Naming{{Name: "A", Of: "R2.1", File: "f.toml"}, {Name: "B", Of: "R10.1", File: "f.toml"}}, "A and B are the same net"},
		{[]board.Naming{{Name: "copper@R2.2", Of: "R2.1", File: "f.toml"}}, "another net has this name"},
	} {
		b := unnamed()
		b.Names = c.names
		if _, err := Extract(context.Background(), b, Options{}); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "f.toml") {
			t.Errorf("%v: error %v, want %q", c.names, err, c.want)
		}
	}
	// Two names may change places.
	b = unnamed()
	b.Names = []board.Naming{{Name: "copper@R2.2", Of: "copper@R2.1", File: "f"}, {Name: "copper@R2.1", Of: "copper@R2.2", File: "f"}}
	n = extract(t, b, Options{})
	if id, err := n.ByName("copper@R2.2"); err != nil || n.PadNet(0) != id {
		t.Errorf("changed places: %v, net %d, pad on %d", err, id, n.PadNet(0))
	}
}

// A name of the data may be given up for another and still be used.
func TestRenamedDataNet(t *testing.T) {
	b, err := boardread.Read(demo.Board(), "demo", boardread.Options{})
	if err != nil {
		t.Fatal(err)
	}
	plain := names(extract(t, b, Options{}))
	b.Names = []board.Naming{{Name: "SUPPLY", Of: "+3V3", File: "f"}}
	n := extract(t, b, Options{})
	if len(n.Nets) != len(plain) {
		t.Fatalf("%d nets, were %d", len(n.Nets), len(plain))
	}
	a, err := n.ByName("SUPPLY")
	old, err2 := n.ByName("+3V3")
	if err != nil || err2 != nil || a != old {
		t.Errorf("SUPPLY is %d (%v), +3V3 %d (%v)", a, err, old, err2)
	}
}
