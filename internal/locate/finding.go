package locate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ohmward/internal/suspect"
)

// Finding is something that was done or seen, and what came of it.
type Finding struct {
	AfterReading int     // how many readings came before it
	Part         string  // the part it was done to; or a place:
	HasPlace     bool    // X and Y are given
	X, Y         float64 // mm
	Layer        int     // of that place, 0-based
	RadiusMM     float64 // how far it reached; 0: 1.5 mm
	Done         string  // see Deeds
	Short        string  // one of Outcomes, or "" where not given
	Seen         string  // of "looked": one of Sights; "" counts as nothing
	What         string  // of "bridge": one of Substances, or "" where not said
	// Disconnected tells of each site whether what was done cut it off from where the
	// outcome was read: beyond an opened bead, or past a cut. nil: nothing was
	// cut off.
	Disconnected []bool
}

// Actions are what can be done to a part or a place, or seen there.
var Actions = []string{
	"removed", "lifted", "refitted", "replaced", "reflowed", "cleaned", "wicked",
	"looked", "scraped", "cut", "split", "warmed", "chilled", "flexed", "other",
}

// wholeBoard are the actions that need no part or place.
var wholeBoard = []string{"cleaned", "looked", "flexed", "other"}

// Outcomes are what can come of an action. "open" is a short seen open by a
// tip that may have slipped; "changed" one whose resistance moved.
var Outcomes = []string{"remains", "open", "cleared", "changed"}

// Observations are what can be seen at a place: nothing, the short itself, a metal
// body or that there is none, or a warm spot while current runs.
var Observations = []string{"nothing", "bridge", "metal", "no metal", "warm"}

const defaultReachMM = 1.5

func (c Case) checkFindings() error {
	for i, f := range c.Findings {
		if err := f.check(); err != nil {
			return fmt.Errorf("finding %d: %w", i+1, err)
		}
		switch {
		case f.AfterReading < 0 || f.AfterReading > len(c.Readings):
			return fmt.Errorf("finding %d: after reading %d of %d", i+1, f.AfterReading, len(c.Readings))
		case f.Disconnected != nil && len(f.Disconnected) != len(c.Sites):
			return fmt.Errorf("finding %d: says of %d sites what was cut off; there are %d", i+1, len(f.Disconnected),
				len(c.Sites))
		}
	}
	return nil
}

func (f Finding) check() error {
	switch {
	case !slices.Contains(Actions, f.Done):
		return fmt.Errorf("done = %q is not known; one of %s", f.Done, strings.Join(Actions, ", "))
	case f.Short != "" && !slices.Contains(Outcomes, f.Short):
		return fmt.Errorf("short = %q; one of %s", f.Short, strings.Join(Outcomes, ", "))
	case f.Seen != "" && !slices.Contains(Observations, f.Seen):
		return fmt.Errorf("seen = %q; one of %s", f.Seen, strings.Join(Observations, ", "))
	case f.Seen != "" && f.Done != "looked":
		return fmt.Errorf("seen = %q goes with done = \"looked\", not %q", f.Seen, f.Done)
	case f.What != "" && !slices.Contains(Substances, f.What):
		return fmt.Errorf("what = %q; one of %s", f.What, strings.Join(Substances, ", "))
	case f.What != "" && f.Seen != "bridge":
		return fmt.Errorf("what = %q goes with seen = \"bridge\"", f.What)
	case f.Part == "" && !f.HasPlace && !slices.Contains(wholeBoard, f.Done):
		return fmt.Errorf("names neither a part nor a place")
	case math.IsNaN(f.X+f.Y) || !(f.RadiusMM >= 0):
		return fmt.Errorf("its place or radius is no number")
	}
	return nil
}

// Uninformative says why a finding says nothing about the place, or "" where it
// bears on it.
func (f Finding) Uninformative() string {
	nowhere := f.Part == "" && !f.HasPlace
	switch {
	case f.Done == "looked" && nowhere && f.Seen != "" && f.Seen != "nothing":
		return "it does not say where"
	case f.Done == "looked" && (f.Seen == "metal" || f.Seen == "no metal") && f.Part == "":
		return "it does not name the part whose metal it is"
	case f.Done == "looked":
		return ""
	case f.Short == "":
		return "it does not say what became of the short"
	case f.Done == "other" && nowhere:
		return "it does not say what was done where"
	case f.Done == "split" && f.Disconnected == nil:
		return "the part joins none of the two nets' copper, so it splits nothing"
	case (f.Done == "warmed" || f.Done == "chilled" || f.Done == "flexed" && nowhere) && f.Short == "remains":
		return "that the short remains is no news; say by how many ohms the reading changed"
	}
	return ""
}

// Relation says how a site lies to what an action was done to.
type Relation uint8

const (
	Untouched Relation = iota // untouched by it
	Adjacent                  // at the part's pins, or within reach of the place
	Inside                    // inside the part, or under its body or shell
)

// Relation gives how the site lies to the part or place of the finding.
func (f Finding) Relation(s suspect.Site) Relation {
	if f.Part == "" && !f.HasPlace && slices.Contains(wholeBoard, f.Done) {
		return Adjacent
	}
	if f.Part != "" {
		if s.Part == f.Part {
			return Inside
		}
		for _, pin := range s.Near {
			if pin == f.Part || strings.HasPrefix(pin, f.Part+".") {
				return Adjacent
			}
		}
	}
	if f.HasPlace {
		x, y := s.Mid()
		if math.Hypot(x-f.X, y-f.Y) <= cmp.Or(f.RadiusMM, defaultReachMM) {
			return Adjacent
		}
	}
	return Untouched
}

// ClearChance is the chance that an action clears a short at a site it touches, or
// for "looked" the chance that it is seen. Common practice, no source; a
// removed part takes a fault inside it along for certain.
func ClearChance(done string, t Relation, s suspect.Site) float64 {
	if t == Untouched {
		return 0.01 // by accident: heat and flexing reach further than meant
	}
	inside := s.Kind == suspect.Part || s.Kind == suspect.Metal && t == Inside
	switch done {
	case "removed":
		return choose(inside, 1, choose(s.Kind == suspect.Layers, 0.02, 0.7))
	case "replaced":
		return choose(inside, 0.97, choose(s.Kind == suspect.Layers, 0.02, 0.7))
	case "lifted":
		return choose(inside, 0.95, choose(s.Kind == suspect.Layers, 0.01, 0.3))
	case "reflowed", "wicked":
		return choose(s.Kind == suspect.Layers, 0.01,
			choose(s.Kind == suspect.Part, 0.05, choose(s.Covered, 0.15, choose(s.Hidden, 0.3, 0.8))))
	case "refitted":
		return choose(s.Kind == suspect.Gap && !s.Covered, 0.3, 0.05)
	case "cleaned":
		return choose(s.Kind == suspect.Part || s.Kind == suspect.Layers, 0.01,
			choose(s.Hidden || s.Covered, 0.05, 0.3))
	case "scraped", "cut":
		return choose(s.Kind == suspect.Layers, 0.3, 0.5)
	case "split", "warmed", "chilled", "flexed", "other":
		return 0.03
	}
	return seen(s) // looked
}

// seen is the chance that a loupe, a mirror and light from the side show the
// short at a site.
func seen(s suspect.Site) float64 {
	switch {
	case s.Kind == suspect.Layers:
		return 0.02
	case s.Kind == suspect.Part:
		return choose(s.Hidden, 0.02, 0.15) // a crack that reaches the surface
	case s.Hidden:
		return 0.1
	case s.Covered:
		return 0.4 // a sliver of copper shows through the mask, solder does not get there
	}
	return 0.8
}

func choose(c bool, yes, no float64) float64 {
	if c {
		return yes
	}
	return no
}
