package locate

import (
	"fmt"
	"math"
	"strings"

	"ohmward/internal/suspect"
)

// Finding is something that was done or seen, and what came of it.
type Finding struct {
	AfterReading int    // how many readings came before it
	Part         string // the part it was done to; or a place:
	HasPlace     bool
	X, Y         float64 // mm
	RadiusMM     float64 // how far it reached; 0: 1.5 mm
	Done         string  // see Deeds
	Short        string  // "remains", "cleared", or "" where only looked
}

// Deeds are what can be done to a part or a place.
var Deeds = []string{"removed", "lifted", "reflowed", "wicked", "cleaned", "looked", "cut"}

const defaultReachMM = 1.5

func (c Case) checkFindings() error {
	for i, f := range c.Findings {
		known := false
		for _, d := range Deeds {
			known = known || d == f.Done
		}
		switch {
		case !known:
			return fmt.Errorf("finding %d: done = %q is not known; one of %s", i+1, f.Done, strings.Join(Deeds, ", "))
		case f.Short != "remains" && f.Short != "cleared" && f.Short != "":
			return fmt.Errorf("finding %d: short = %q; \"remains\" or \"cleared\"", i+1, f.Short)
		case f.Short == "" && f.Done != "looked":
			return fmt.Errorf("finding %d: say whether the short remains or is cleared", i+1)
		case f.Part == "" && !f.HasPlace:
			return fmt.Errorf("finding %d: names neither a part nor a place", i+1)
		case math.IsNaN(f.X+f.Y) || !(f.RadiusMM >= 0):
			return fmt.Errorf("finding %d: its place or radius is no number", i+1)
		case f.AfterReading < 0 || f.AfterReading > len(c.Readings):
			return fmt.Errorf("finding %d: after reading %d of %d", i+1, f.AfterReading, len(c.Readings))
		}
	}
	return nil
}

// Touch says how a site lies to what a deed was done to.
type Touch uint8

const (
	Apart  Touch = iota // untouched by it
	Beside              // at the part's pins, or within reach of the place
	Inside              // inside the part, or under its body or shell
)

// Lies gives how the site lies to the part or place of the finding.
func (f Finding) Lies(s suspect.Site) Touch {
	if f.Part != "" {
		if s.Part == f.Part {
			return Inside
		}
		for _, pin := range s.Near {
			if strings.HasPrefix(pin, f.Part+".") {
				return Beside
			}
		}
	}
	if f.HasPlace {
		reach := f.RadiusMM
		if reach == 0 {
			reach = defaultReachMM
		}
		x, y := s.Mid()
		if math.Hypot(x-f.X, y-f.Y) <= reach {
			return Beside
		}
	}
	return Apart
}

// Clears is the chance that a deed clears a short at a site it touches, or
// for "looked" the chance that it is seen. Common practice, no source; a
// removed part takes a fault inside it along for certain.
func Clears(done string, t Touch, s suspect.Site) float64 {
	if t == Apart {
		return 0.01 // by accident: heat and flexing reach further than meant
	}
	inside := s.Kind == suspect.Part || s.Kind == suspect.Metal && t == Inside
	switch done {
	case "removed":
		return choose(inside, 1, choose(s.Kind == suspect.Layers, 0.02, 0.7))
	case "lifted":
		return choose(inside, 0.95, choose(s.Kind == suspect.Layers, 0.01, 0.3))
	case "reflowed", "wicked":
		return choose(s.Kind == suspect.Layers, 0.01,
			choose(s.Kind == suspect.Part, 0.05, choose(s.Covered, 0.15, choose(s.Hidden, 0.3, 0.8))))
	case "cleaned":
		return choose(s.Kind == suspect.Part || s.Kind == suspect.Layers, 0.01,
			choose(s.Hidden || s.Covered, 0.05, 0.3))
	case "cut":
		return choose(s.Kind == suspect.Layers, 0.3, 0.5)
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

// likelihood is the finding's chance if the short is at the site.
func (f Finding) likelihood(s suspect.Site) float64 {
	p := Clears(f.Done, f.Lies(s), s)
	if f.Done == "looked" && f.Lies(s) == Apart {
		p = 0
	}
	if f.Short == "cleared" {
		return p
	}
	return 1 - p
}

// elsewhere is its chance if the short is at no listed place: an accident or
// something near that the list does not know.
func (f Finding) elsewhere() float64 {
	if f.Short == "cleared" {
		return 0.1
	}
	return 0.9
}
