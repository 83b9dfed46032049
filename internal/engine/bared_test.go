package engine

import (
	"slices"
	"strings"
	"testing"

	"ohmward/internal/locate"
)

// TestRemovedBares: once the card socket J3 is off the board, what its body
// and shell hid can be touched and looked at; once it is back, not.
func TestRemovedBares(t *testing.T) {
	if testing.Short() {
		t.Skip("solves the demo's ground anew: left out of -short")
	}
	const off = "[[finding]]\npart = \"J3\"\ndone = \"removed\"\nshort = \"remains\"\n"
	const back = "[[finding]]\npart = \"J3\"\ndone = \"refitted\"\nshort = \"remains\"\n"
	on, bare, again := fine(t, ""), fine(t, off), fine(t, off+back)
	for g, more := range []int{1, 2} { // one place of +3V3 and two of GND lie under it
		a, b, c := len(on.Tables[g].Probes), len(bare.Tables[g].Probes), len(again.Tables[g].Probes)
		if b != a+more || c != a {
			t.Errorf("%s: %d places to touch, %d with J3 off, %d with it back; want %d more", on.Names[g], a, b, c, more)
		}
	}
	under := 0
	for i, s := range on.Sites {
		if !s.Hidden || !slices.ContainsFunc(s.Near, func(p string) bool { return strings.HasPrefix(p, "J3.") }) {
			continue
		}
		under++
		pl := locate.Place{Site: i}
		if !on.Candidate(on.post, pl).Site.Hidden || bare.Candidate(bare.post, pl).Site.Hidden || !again.Candidate(again.post, pl).Site.Hidden {
			t.Errorf("site %d under J3: hidden %v, with J3 off %v, back %v", i, on.Candidate(on.post, pl).Site.Hidden, bare.Candidate(bare.post, pl).Site.Hidden, again.Candidate(again.post, pl).Site.Hidden)
		}
		look := locate.Finding{Done: "looked", HasPlace: true}
		look.X, look.Y = s.Mid()
		sees := func(a *taken) float64 {
			site := a.post.Case.Uncovered(a.Sites[i], len(a.post.Case.Findings))
			return locate.ClearChance("looked", look.Relation(site), site)
		}
		if sees(bare) <= sees(on) {
			t.Errorf("site %d under J3: a look shows it with chance %.2f, %.2f with J3 off", i, sees(on), sees(bare))
		}
	}
	if under == 0 {
		t.Error("nothing lies under J3")
	}
}
