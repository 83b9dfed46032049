package session

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// countWords counts things in words.
func countWords(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

func baseName(board string) string {
	name := path.Base(strings.ReplaceAll(board, `\`, "/"))
	return strings.TrimSuffix(name, path.Ext(name))
}

// chanceWords puts a probability as chances in ten.
func chanceWords(p float64) string {
	switch {
	case p >= 0.985:
		return "almost certain"
	case p >= 0.95:
		return "19 in 20"
	case p >= 0.075:
		return fmt.Sprintf("%.0f in 10", math.Max(1, math.Round(p*10)))
	case p >= 0.015:
		n := math.Round(1 / p)
		if n > 20 {
			n = 5 * math.Round(n/5)
		}
		return fmt.Sprintf("1 in %.0f", n)
	}
	return "hardly likely"
}

// riskWords puts a chance of harm into words.
func riskWords(p float64) string {
	switch {
	case p <= 0:
		return "none"
	case p <= 0.016:
		return "small"
	case p <= 0.05:
		return "some care needed"
	case p <= 0.11:
		return "real: keep it for later"
	}
	return "high: the last thing to do"
}

func minutesWords(m float64) string {
	if m < 1.5 {
		return "a minute"
	}
	return fmt.Sprintf("%.0f minutes", m)
}

// spotOf says where one works at a place: at a part, not inside it.
func spotOf(s answer.Site) string {
	if s.Kind == "part" {
		return "at " + s.Part
	}
	return siteWords(s)
}

// moveWords names a move.
func moveWords(m answer.Repair, sites []answer.Site) string {
	where := m.Part
	if i := m.Site - 1; i >= 0 && i < len(sites) {
		where = spotOf(sites[i])
	}
	switch m.What {
	case "clean and look":
		return "Clean and look " + where
	case "wick":
		return "Wick the solder " + where
	case "reflow":
		return "Reflow the joints " + where
	case "scrape":
		return "Scrape the mask and cut the sliver " + where
	case "remove":
		return "Take off " + m.Part
	case "split":
		return "Lift one end of " + m.Part
	}
	return m.What + " " + where
}

var actionWords = map[string]string{
	"cleaned": "cleaned", "wicked": "wicked", "reflowed": "reflowed", "removed": "taken off",
	"split":  "lifted at one end",
	"looked": "looked at", "scraped": "scraped free",
}

// findingWords says what was done where, and what came of it. spot is its place
// as the moves name it, "between C7.1 and C7.2", or "".
func findingWords(f record.Finding, spot string) string {
	action, known := actionWords[f.Done]
	if !known {
		action = f.Done
	}
	if f.Done == "looked" {
		action = "looked"
	}
	what := cmp.Or(f.Part, f.Place) + " " + action
	switch {
	case spot != "":
		what = action + " " + spot
	case f.Done == "looked":
		what = "looked at " + cmp.Or(f.Part, f.Place)
	}
	out := ""
	switch {
	case f.Done == "looked" && f.What != "":
		out = substanceWords[f.What][1] + " seen to bridge"
	case f.Done == "looked" && f.Seen != "":
		out = f.Seen + " seen"
	case f.Short == "remains":
		out = "the short remains"
	case f.Short == "open":
		out = "seen open"
	case f.Short != "":
		out = "the short is " + f.Short
	}
	return strings.TrimSuffix(what+": "+out, ": ")
}

// careWords says what a move needs care for; how likely it works stands by
// itself, once.
func careWords(m answer.Repair) []string {
	switch {
	case m.What == "split":
		return []string{fmt.Sprintf("Lift one end of %s. %s that the short lies beyond it.", m.Part,
			upper(chanceWords(m.Probability)))}
	case m.Care == "":
		return nil
	}
	return []string{upper(m.Care) + "."}
}

// noteWords says in short what a move brings and takes; of a split only what it
// takes, since it clears nothing.
func noteWords(m answer.Repair) string {
	if m.What == "split" {
		return "tells on which side it is, " + minutesWords(m.Minutes)
	}
	return worksWords(m.Probability) + ", " + minutesWords(m.Minutes)
}

// stages are those of the engine, as the page calls them.
var stages = map[string]string{
	"listing the suspects":          "listing where the two could touch",
	"preparing the suspects":        "working out each of these places",
	"weighing the suspects":         "seeing which place is likeliest",
	"telling the layers apart":      "telling the copper layers apart",
	"preparing the places to touch": "looking for good places to touch",
}

// stageWords says what work is under way.
func stageWords(stage string) string {
	if words, known := stages[stage]; known {
		return words
	}
	for _, verb := range []string{"meshing ", "solving "} {
		if net, is := strings.CutPrefix(stage, verb); is {
			return "working out the copper of " + net
		}
	}
	return stage
}
