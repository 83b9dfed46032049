package session

import (
	"fmt"
	"math"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/engine"
)

// substanceWords name what can be seen to bridge, as a button and in a sentence.
var substanceWords = map[string][2]string{
	"solder": {"Solder", "solder"},
	"strand": {"A loose strand or clipping", "a strand"},
	"sliver": {"A sliver of copper", "a sliver of copper"},
	"part":   {"The part itself: cracked, turned or out of place", "the part itself"},
	"dirt":   {"Dirt or flux", "dirt"},
}

// seenCard asks what a look has shown.
func (j *Session) seenCard() answer.Card {
	switch j.c.Steps.Seeing.Asks {
	case "where":
		return j.seenWhereCard()
	case "what":
		c := answer.Card{Head: "What is it?", Text: []string{"It goes on the record, with the place."}}
		for _, what := range []string{"solder", "strand", "sliver", "part", "dirt"} {
			c.Doing = append(c.Doing, answer.Option{Words: substanceWords[what][0],
				Act: answer.Act{Do: "seen-what", Text: what}})
		}
		return c
	}
	c := answer.Card{Head: "What did you see?", Doing: []answer.Option{
		{Words: "Nothing that bridges", Act: answer.Act{Do: "saw", Text: "nothing"}},
		{Words: "I see what bridges", Act: answer.Act{Do: "saw", Text: "bridge"}}}}
	if n := len(j.c.Readings); n > 0 && j.c.Readings[n-1].Note == lookingNote {
		c.Text = []string{fmt.Sprintf("It reads %v: that is recorded.", j.c.Readings[n-1].Ohms)}
	}
	return c
}

func (j *Session) seenWhereCard() answer.Card {
	c := answer.Card{Head: "Where is what bridges?",
		Text: []string{"Tap it on the board, or say which of these."}}
	if j.sim != nil {
		truth := bench.SiteAnswer(j.pair.Board, j.sim.original.Fault)
		c.Text = append(c.Text, "Under the loupe it is "+siteWords(truth)+".")
	}
	for _, s := range j.placesInView() {
		a := answer.Act{Do: "seen-at", Place: j.midOf(s)}
		if s.Kind == "part" {
			a.Text = s.Part
		}
		c.Doing = append(c.Doing, answer.Option{Words: upper(siteWords(s)), Act: a})
	}
	return c
}

// sightWords say what was seen where, "" where nothing was.
func (j *Session) sightWords() string {
	i := sightOf(j.c)
	if i < 0 {
		return ""
	}
	f := j.c.Findings[i]
	where := j.findingPlace(f)
	if where == "" {
		where = j.besidePart(f.Place)
	}
	if f.Part != "" {
		where = "at " + f.Part
	}
	return fmt.Sprintf("%s %s", substanceWords[f.What][1], where)
}

// besidePart says where a place lies by the pad nearest to it.
func (j *Session) besidePart(place string) string {
	at, layer, err := j.pair.PlaceOf(place)
	best, words := math.Inf(1), "at "+place
	if err != nil {
		return words
	}
	pads := j.pair.Layout.Pads
	for i := range pads {
		q := &pads[i]
		if mm := engine.DistanceMM(q.At, at); q.Ref != "" && mm < best {
			as := lie{bottom: isBottom(j.pair.Layout, layer), turns: j.c.Steps.Turns}
			best, words = mm, fmt.Sprintf("%.1f mm %s %s", max(finest, mm),
				besideWords(float64(at.X-q.At.X), float64(at.Y-q.At.Y), as), q.Ref)
		}
	}
	return words
}

// sighted says on a card what was seen, and whether the readings agree; it can be
// said otherwise there.
func (j *Session) sighted(step string, c *answer.Card) {
	words := j.sightWords()
	if words == "" || j.post == nil || step != stepRead && step != stepRepair && step != stepRework {
		return
	}
	g, _ := j.post.Sighting()
	switch {
	case g.Against:
		c.Tone = "care"
		c.Text = append(c.Text, fmt.Sprintf("You saw %s, but the readings do not suit that place, reading %d "+
			"least: touch it again, or say again what you saw.", words, g.Worst+1))
	case !g.Listed:
		c.Tone = "care"
		c.Text = append(c.Text, fmt.Sprintf("You saw %s, but no place where the two nets could touch is listed "+
			"there: does it join these two?", words))
	default:
		c.Text = append(c.Text, fmt.Sprintf("Seen: %s.", words))
	}
	if step == stepRework {
		return
	}
	if n := g.Worst; g.Against && n < len(j.c.Readings) && j.aim == nil {
		c.Doing = append(c.Doing, answer.Option{Words: fmt.Sprintf("Touch the places of reading %d again", n+1),
			Act: answer.Act{Do: "again", N: n}})
	}
	c.Doing = append(c.Doing, answer.Option{Words: "What I saw was otherwise", Note: "say again where and what",
		Aside: j.sim == nil && step == stepRead, Act: answer.Act{Do: "see-again"}})
}
