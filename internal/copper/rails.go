package copper

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
)

// Rail is what a net is for.
type Rail uint8

// The kinds of rails; a signal is all that is neither of the others.
const (
	Signal Rail = iota
	Ground
	Supply
)

// String gives the kind in a word.
func (r Rail) String() string { return [...]string{"signal", "ground", "supply"}[r] }

// Words of nets' names (common practice, no source).
var (
	groundWord = regexp.MustCompile(`^(?:[A-Z]{0,3}GND[A-Z]{0,2}|GROUND|EARTH|[AD]?VSS[ADQ]?|0V|CHASSIS)\d*$`)
	supplyWord = regexp.MustCompile(`^(?:[+-]?P?\d+(?:\.\d+)?V\d*[A-Z]?|[+-]?P?\d+V\d+[A-Z]{0,3}|` +
		`[+-]?[ADP]?V(?:CC|DD|BUS|BAT|BATT|IN|SYS|EE|PP|AA|DDA|DDQ|DDIO|CCIO|CCA)\d*|[+-]?V\d+(?:[.V]\d+)?|` +
		`[+-]\d+(?:\.\d+)?)$`)
	// senseWord marks a signal that only speaks of a rail.
	senseWord = regexp.MustCompile(`^(?:N?EN|ENABLE|DET\w*|SENSE|SNS|FB|PG|PGOOD|GOOD|OK|ADC|MON|CTRL|SEL|` +
		`FAULT|FLT|INT|IRQ|SW|LX|DRV|GATE|BOOT)\d*$`)
	betweenWords = regexp.MustCompile(`[_\s/\\.:-]+`)
)

// railOfName tells from a net's name what it is for.
func railOfName(name string) Rail {
	name = strings.ToUpper(strings.TrimSpace(name[strings.LastIndexAny(name, `/\`)+1:]))
	if strings.ContainsAny(name, "()@") {
		return Signal // named after a pin
	}
	switch {
	case groundWord.MatchString(name):
		return Ground
	case supplyWord.MatchString(name):
		return Supply
	}
	out := Signal
	for _, w := range betweenWords.Split(name, -1) {
		switch {
		case senseWord.MatchString(w):
			return Signal
		case groundWord.MatchString(w):
			out = Ground
		case out == Signal && supplyWord.MatchString(w):
			out = Supply
		}
	}
	return out
}

// RailOf tells from a net's name what it is for, else from a guess where there
// is one.
func (n *Nets) RailOf(net int) Rail {
	if n.Nets[net].Named() {
		return railOfName(n.Nets[net].Name)
	}
	return n.guessed[net]
}

// GuessedRail tells what a net is taken for where the data names no net; Signal is no
// guess.
func (n *Nets) GuessedRail(net int) Rail {
	if n.Nets[net].Named() {
		return Signal
	}
	return n.guessed[net]
}

// Bounds of the guess. On the boards with names that were seen while writing
// this a ground weighs 1.4 times as much as the next net at least.
const (
	groundLead = 1.25 // times the next one's weight, or
	groundArea = 4    // times the next largest area
	supplyLead = 1.5  // times the weight of the next after the last supply
	mostRails  = 5    // supplies
)

// guessRails guesses ground and supplies where the data names no net: by
// weight, which is the geometric mean of area, pins and vias. Of the supplies
// only those count that stand out from what follows.
func (n *Nets) guessRails() {
	if len(n.Nets) < 3 || slices.ContainsFunc(n.Nets, func(x Net) bool { return x.Named() }) {
		return
	}
	weight := make([]float64, len(n.Nets))
	order := make([]int, len(n.Nets))
	for i := range n.Nets {
		x := &n.Nets[i]
		weight[i], order[i] = math.Cbrt(x.Area*1e6*float64(n.pinCount(i)+1)*float64(len(x.Holes)+1)), i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(weight[j], weight[i]) })
	ground, area := order[0], 0.0
	for _, i := range order[1:] {
		area = max(area, n.Nets[i].Area)
	}
	switch a := n.Nets[ground].Area; {
	case a < area, weight[ground] < groundLead*weight[order[1]] && a < groundArea*area:
		return // nothing stands out
	}
	n.guessed = map[int]Rail{ground: Ground}
	rest, last := order[1:], 0
	best := supplyLead
	for k := 1; k <= mostRails && k < len(rest); k++ {
		if lead := weight[rest[k-1]] / weight[rest[k]]; lead >= best {
			best, last = lead, k
		}
	}
	for _, i := range rest[:last] {
		n.guessed[i] = Supply
	}
	n.Doubts = append(n.Doubts, n.guessDoubt(ground, rest[:last]))
}

// pinCount counts a net's pins by their places, a drilled one's lands once.
func (n *Nets) pinCount(net int) int {
	at := map[geom.Point]bool{}
	for _, i := range n.Nets[net].Pads {
		at[n.Board.Pads[i].At] = true
	}
	return len(at)
}

// guessDoubt tells what is taken for ground and supplies.
func (n *Nets) guessDoubt(ground int, supplies []int) board.Doubt {
	tell := func(i int) string {
		pins := ""
		if k := n.pinCount(i); k > 0 {
			pins = fmt.Sprintf(", %d pins", k)
		}
		return fmt.Sprintf("%s (%.0f mm2%s, %d plated holes)", n.Nets[i].Name, n.Nets[i].Area*1e6, pins,
			len(n.Nets[i].Holes))
	}
	what := "ground is " + tell(ground)
	for k, i := range supplies {
		switch {
		case k > 0:
			what += " and "
		case len(supplies) > 1:
			what += ", supplies are "
		default:
			what += ", a supply is "
		}
		what += tell(i)
	}
	return board.Doubt{Code: board.NoNames, What: "the files name no nets. A guess from area, pins and plated holes: " + what +
		". Name the nets that you know under [nets] in ohmward.toml"}
}
