package repair

import (
	"math"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/locate"
	"ohmward/internal/suspect"
)

// solve gives the posterior of a case without readings: the prior, as findings
// leave it.
func solve(t *testing.T, sites []suspect.Site, f ...locate.Finding) *locate.Posterior {
	t.Helper()
	m, err := locate.Profile("bench-6.5-digit")
	if err != nil {
		t.Fatal(err)
	}
	p, err := locate.Solve(locate.Case{Sites: sites, Elsewhere: 0.02, Meter: m, Findings: f})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func at(x float64, s suspect.Site) suspect.Site {
	s.A, s.B = geom.FromMM(x, 0), geom.FromMM(x, 0)
	return s
}

// TestCheapestOrder is REFERENCES D9 (Blackwell; Stone): chances 0.5, 0.3,
// 0.2 and costs 10, 3, 1 with a perfect look are searched in the order 3, 2, 1
// at a mean cost of 8.4; every other order costs more.
func TestCheapestOrder(t *testing.T) {
	list := []Action{
		{Part: "1", Probability: 0.5, Minutes: 10}, {Part: "2", Probability: 0.3, Minutes: 3},
		{Part: "3", Probability: 0.2, Minutes: 1},
	}
	mean := func(order []int) float64 {
		spent, sum := 0.0, 0.0
		for _, i := range order {
			spent += list[i].Minutes
			sum += list[i].Probability * spent
		}
		return sum
	}
	got := append([]Action(nil), list...)
	arrange(got)
	var order []int
	for _, a := range got {
		order = append(order, int(a.Part[0]-'1'))
	}
	if order[0] != 2 || order[1] != 1 || order[2] != 0 {
		t.Errorf("order %v, want [2 1 0]", order)
	}
	if c := mean(order); math.Abs(c-8.4) > 1e-12 {
		t.Errorf("mean cost %g, want 8.4", c)
	}
	second := math.Inf(1)
	for _, o := range [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}} {
		second = math.Min(second, mean(o))
	}
	if math.Abs(second-8.7) > 1e-12 {
		t.Errorf("next best %g, want 8.7", second)
	}
}

func shelf() []suspect.Site {
	return []suspect.Site{
		at(0, suspect.Site{Kind: suspect.Part, Part: "C7", Near: []string{"C7.1", "C7.2"}, Prior: 0.4}),
		at(20, suspect.Site{Kind: suspect.Metal, Part: "J2", Hidden: true, Prior: 0.3}),
		at(40, suspect.Site{Kind: suspect.Gap, Near: []string{"U3.5", "U3.6"}, Prior: 0.28}),
	}
}

var parts = []Part{
	{Ref: "C7", Pins: 2, Ceramic: true}, {Ref: "J2", Pins: 12, BigTabs: true},
	{Ref: "U3", Pins: 48, PitchMM: 0.5},
}

func TestLookBeforeHeat(t *testing.T) {
	p := solve(t, shelf())
	list := Advise(p, parts)
	hot, seen := false, 0
	for _, a := range list {
		if a.What == "clean and look" {
			seen++
			if hot {
				t.Error("cleaning and looking comes after an iron")
			}
			if a.DamageRisk != 0 {
				t.Errorf("looking harms: %+v", a)
			}
		} else {
			hot = true
		}
		if !(a.Probability > 0 && a.Probability <= 1) || !(a.Minutes > 0) || a.Why == "" {
			t.Errorf("odd action %+v", a)
		}
	}
	if seen != 3 || !hot {
		t.Errorf("%d looks, iron %v; want 3 and true", seen, hot)
	}
}

// TestDearLast: the chip capacitor comes off before the fine-pitch IC is
// wicked in vain, and the connector with big tabs last.
func TestDearLast(t *testing.T) {
	p := solve(t, shelf())
	rank := map[string]int{}
	for i, a := range Advise(p, parts) {
		if a.What == "remove" {
			rank[a.Part] = i
		}
		if a.What == "wick" && a.Site == 2 {
			rank["wick U3"] = i
		}
	}
	if !(rank["C7"] < rank["U3"] && rank["C7"] < rank["J2"] && rank["wick U3"] < rank["U3"]) {
		t.Errorf("order %v", rank)
	}
}

// TestNotTwice: what was done is not advised again, a removed part neither,
// and pads heated three times are left alone.
func TestNotTwice(t *testing.T) {
	p := solve(t, shelf(),
		locate.Finding{Part: "C7", Done: "removed", Short: "remains"},
		locate.Finding{Part: "U3", Done: "wicked", Short: "remains"})
	hotter := append([]Part(nil), parts...)
	hotter[1].Heats = 3
	for _, a := range Advise(p, hotter) {
		switch {
		case a.What == "remove" && a.Part == "C7", a.What == "wick" && a.Site == 2:
			t.Errorf("advised again: %+v", a)
		case a.What != "clean and look" && a.Part == "J2":
			t.Errorf("a fourth heat: %+v", a)
		}
	}
}

func TestNothingLeft(t *testing.T) {
	site := []suspect.Site{{Kind: suspect.Part, Part: "C7", Prior: 1}}
	p := solve(t, site, locate.Finding{Part: "C7", Done: "removed", Short: "remains"})
	if a := Advise(p, nil); len(a) != 0 {
		t.Errorf("advice for an impossible place: %+v", a)
	}
}

// TestLookAgainOnceBare: cleaning and looking is over once it was done, and
// comes again once a part that hid the place is off.
func TestLookAgainOnceBare(t *testing.T) {
	sites := []suspect.Site{
		at(0, suspect.Site{Kind: suspect.Gap, Prior: 0.6, Near: []string{"U3.5", "U3.6"}, Hidden: true}),
		at(40, suspect.Site{Kind: suspect.Gap, Prior: 0.38, Near: []string{"U4.1"}}),
	}
	cleaned := locate.Finding{Done: "cleaned", Part: "U3", Short: "remains"}
	removed := locate.Finding{Done: "removed", Part: "U3", Short: "remains"}
	looked := func(f ...locate.Finding) float64 {
		for _, a := range Advise(solve(t, sites, f...), nil) {
			if a.What == "clean and look" && a.Site == 0 {
				return a.Probability
			}
		}
		return 0
	}
	before, after, bare := looked(), looked(cleaned), looked(cleaned, removed)
	if before == 0 || after != 0 || bare == 0 {
		t.Errorf("a look under U3 is advised at %.2f before, %.2f after one, %.2f with U3 off", before, after, bare)
	}
	if again := looked(cleaned, removed, cleaned); again != 0 {
		t.Errorf("advised at %.2f after a look at the bare place", again)
	}
}

// TestSeenFirst: where what bridges was seen is worked on next, before a look
// anywhere else; a strand is cleaned off, solder is not.
func TestSeenFirst(t *testing.T) {
	sites := shelf()
	seen := func(what string, s suspect.Site) Action {
		x, y := s.Mid()
		f := locate.Finding{Done: "looked", Seen: "bridge", What: what, HasPlace: true, X: x, Y: y, Layer: s.LayerA}
		return Advise(solve(t, sites, f), nil)[0]
	}
	for i, s := range sites {
		if s.Kind != suspect.Gap || s.Covered {
			continue
		}
		for what, wants := range map[string]bool{"solder": false, "strand": true} {
			a := seen(what, s)
			if a.Site < 0 || apartMM(sites[a.Site], s) > 1.5 || (a.What == "clean and look") != wants {
				t.Errorf("%s seen at site %d: first %+v", what, i, a)
			}
		}
	}
}

func apartMM(a, b suspect.Site) float64 {
	ax, ay := a.Mid()
	bx, by := b.Mid()
	return math.Hypot(ax-bx, ay-by)
}

// TestThirdHeatLast: what would be a second heat says so, and what would be a third
// comes behind all else, with words to stop.
func TestThirdHeatLast(t *testing.T) {
	p := solve(t, shelf())
	hotter := append([]Part(nil), parts...)
	hotter[0].Heats, hotter[1].Heats = 2, 1
	list := Advise(p, hotter)
	last := list[len(list)-1]
	if last.Part != "C7" || !strings.Contains(last.Care, "no third heat") {
		t.Errorf("last of all %+v", last)
	}
	for _, a := range list {
		if a.What == "remove" && a.Part == "J2" && !strings.Contains(a.Care, "second heat") {
			t.Errorf("a second heat without a word: %+v", a)
		}
		if a.Care != "" && !strings.Contains(a.Why, a.Care) && a.What != "scrape" {
			t.Errorf("%q is not in %q", a.Care, a.Why)
		}
	}
}
