package session

import (
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// Heats per pad (BENCH.md, Rework): at the second a warning, no third.
const (
	warnHeat = 2
	stopHeat = 3
)

// heatedBy lists whose pads a finding's action heated; nil where none.
func (j *Session) heatedBy(f record.Finding) []string {
	if j.pair == nil {
		return nil
	}
	return j.pair.HeatedBy(f)
}

// heats is which heat a move would be, for what it is done to, and for what hot
// air heats beside it.
type heats struct {
	own, beside           int      // which heat it would be, from 1; 0: none
	ownNames, besideNames []string // of those that it would heat most often
	air                   bool     // done with hot air
}

// heatsOf counts what a move would make of its pads.
func (j *Session) heatsOf(d record.Doing) heats {
	list := j.heatedBy(record.Finding{Done: d.Done, Part: d.Part, Place: d.Place})
	had := j.pair.HeatCounts(j.c.Findings)
	h := heats{air: j.pair.HotAir(d.Done, d.Part)}
	for i, name := range list {
		n := had.Of(j.pair.Board, name) + 1
		if most, names := &h.own, &h.ownNames; i == 0 || d.Part == "" {
			countMost(n, name, most, names)
		} else {
			countMost(n, name, &h.beside, &h.besideNames)
		}
	}
	return h
}

func countMost(n int, name string, most *int, names *[]string) {
	if n > *most {
		*most, *names = n, nil
	}
	if n == *most {
		*names = append(*names, name)
	}
}

func (h heats) most() int { return max(h.own, h.beside) }

// names are those that the move would heat most often.
func (h heats) names() []string {
	if h.own >= h.beside {
		return h.ownNames
	}
	return h.besideNames
}

// fact says which heat a move is for its pads, the neighbours' and the factory's
// beside it.
func (h heats) fact(p *engine.Board) []answer.Fact {
	if h.own == 0 {
		return nil
	}
	text := fmt.Sprintf("%s on %s", ordinal(h.own), namesWords(h.ownNames))
	if h.beside > 0 {
		text += fmt.Sprintf("; %s on %s beside it, by hot air", ordinal(h.beside), namesWords(h.besideNames))
	}
	passes := "once"
	if p.FactoryPasses() > 1 {
		passes = "twice"
	}
	return []answer.Fact{{Name: "Heat", Value: text + "; the factory's oven " + passes + " before"}}
}

// care warns at the second heat and stops at the third.
func (h heats) care() string {
	switch n, names := h.most(), namesWords(h.names()); {
	case n >= stopHeat:
		return fmt.Sprintf("Stop: this would be the %s heat on the pads of %s, and they lift. Read or look on, or "+
			"leave it to a rework station.", ordinal(n), names)
	case n == warnHeat:
		return fmt.Sprintf("The second heat on the pads of %s: be quick, it is the last they take.", names)
	}
	return ""
}

func ordinal(n int) string {
	words := []string{"none", "first", "second", "third", "fourth"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprintf("%dth", n)
}

// namesWords lists a few names, and how many more there are.
func namesWords(names []string) string {
	const most = 3
	if n := len(names) - most; n > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), n)
	}
	if n := len(names) - 1; n > 0 {
		return strings.Join(names[:n], ", ") + " and " + names[n]
	}
	return strings.Join(names, "")
}
