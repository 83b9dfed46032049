package session

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// The black tip goes on the more negative of the two nets, so that no meter and
// no supply drives a part backwards (BENCH.md, Injecting current). Names tell
// which that is, or a person does.

// potential is what a net's name tells of its voltage.
type potential int

const (
	unknown potential = iota
	below             // it is or may be below ground
	ground
	above
)

// negativeWord is the name of a rail that is or may be below ground.
var negativeWord = regexp.MustCompile(`^(?:-\d.*|-V.*|.*V-|.*V?(?:NEG|MINUS)\d*|V_?EE\w*|` +
	`(?:.*_)?N\d+V\d*|M\d+V\d*)$`)

// voltage is a rail's as its name has it: "+3V3", "5V", "1.8V".
var voltage = regexp.MustCompile(`(\d+)(?:[V.](\d+)?)?`)

// potentialOf tells from a net's name and kind what its voltage is against ground.
func potentialOf(name string, rail copper.Rail) potential {
	switch {
	case negativeWord.MatchString(strings.ToUpper(name[strings.LastIndexAny(name, `/\`)+1:])):
		return below
	case rail == copper.Ground:
		return ground
	case rail == copper.Supply:
		return above
	}
	return unknown
}

// byNames tells which of two nets of a board is the more negative.
func byNames(nets *copper.Nets, names [2]string) (black int, sure bool) {
	var p [2]potential
	named := true
	for g, name := range names {
		if i, err := nets.ByName(name); err == nil {
			p[g] = potentialOf(name, nets.RailOf(i))
			named = named && nets.Nets[i].Named()
		}
	}
	black, sure = moreNegative(p, names)
	return black, sure && named
}

// voltsOf reads a rail's voltage in its name; false where there is none.
func voltsOf(name string) (float64, bool) {
	m := voltage.FindStringSubmatch(strings.ToUpper(name))
	if m == nil || !strings.Contains(strings.ToUpper(name), "V") {
		return 0, false
	}
	v, err := strconv.ParseFloat(m[1]+"."+m[2]+"0", 64)
	return v, err == nil
}

// moreNegative tells which of two nets is the more negative, 0 or 1, and whether
// their names leave no doubt of it.
func moreNegative(p [2]potential, names [2]string) (black int, sure bool) {
	switch {
	case p[0] == above && p[1] == above:
		a, known := voltsOf(names[0])
		b, too := voltsOf(names[1])
		if known && too && a < b {
			return 0, true
		}
		return 1, known && too && a != b
	case p[0] == ground && p[1] == above:
		return 0, true
	case p[0] == above && p[1] == ground:
		return 1, true
	}
	rank := func(p potential) int { return slices.Index([]potential{below, ground, unknown, above}, p) }
	if rank(p[0]) < rank(p[1]) {
		return 0, false
	}
	return 1, false
}

// blackNet is which of the case's nets the black tip goes on: as a person said,
// else as the names tell.
func (j *Session) blackNet() int {
	if i := slices.Index(j.c.Nets[:], j.c.Steps.BlackNet); j.c.Steps.BlackNet != "" && i >= 0 {
		return i
	}
	names := j.c.Nets
	if names[0] == "" && len(j.picked) == 2 {
		names = [2]string(j.picked)
	}
	if j.board == nil || names[0] == "" {
		return 1
	}
	black, _ := byNames(j.board.Nets, names)
	return black
}

// polarityToAsk tells whether a person is to say which net is the more negative.
// An invented unit is not worth asking about.
func (d *LoadedBoard) polarityToAsk(c *record.Case) bool {
	if c.Steps == nil || c.Steps.Practice != nil || c.Nets[0] == "" || len(c.Readings) > 0 ||
		slices.Contains(c.Nets[:], c.Steps.BlackNet) {
		return false
	}
	_, sure := byNames(d.Nets, c.Nets)
	return !sure
}

func (j *Session) polarityCard() answer.Card {
	black, _ := byNames(j.board.Nets, j.c.Nets)
	first, second := j.c.Nets[black], j.c.Nets[1-black]
	option := func(net, note string) answer.Option {
		return answer.Option{Words: net + " is the more negative", Note: note,
			Act: answer.Act{Do: "polarity", Text: net}}
	}
	return answer.Card{Head: "Which of the two is more negative?",
		Text: []string{fmt.Sprintf("By its voltage when the unit works. The names %s and %s do not say so for "+
			"certain. Black goes there, so that no part is driven backwards.", j.c.Nets[0], j.c.Nets[1])},
		Doing: []answer.Option{option(first, "also if you cannot tell"), option(second, "")}}
}

// sayPolarity says which net is the more negative.
func sayPolarity(j *Session, next *record.Case, a answer.Act) (bool, error) {
	if !slices.Contains(next.Nets[:], a.Text) || a.Text == "" {
		return false, &answer.Error{Kind: answer.Misuse,
			What: fmt.Sprintf("%.40q is not one of the two nets of this case", a.Text)}
	}
	next.Steps.BlackNet = a.Text
	return true, nil
}

// onTips puts the black tip and the black clip on the more negative net. All four
// change places together, so that a four-wire reading keeps its sign.
func (j *Session) onTips(at engine.Contacts) (tips engine.Contacts, swapped bool) {
	in, out := j.pair.GroupOfNet(at.In.Net), j.pair.GroupOfNet(at.Out.Net)
	if in == out || in != j.blackNet() {
		return at, false
	}
	at.In, at.Out, at.High, at.Low = at.Out, at.In, at.Low, at.High
	return at, true
}
