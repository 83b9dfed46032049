package session

import (
	"fmt"
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/engine"
	"ohmward/internal/record"
	"ohmward/unit"
)

// mostMoves is how many other moves are offered beside the one shown.
const mostMoves = 5

func (j *Session) repairCard() answer.Card {
	moves := j.moves()
	if len(moves) == 0 {
		return answer.Card{Head: "No move to advise", Text: []string{j.answer.Fit.Note}, Tone: "care",
			Doing: []answer.Option{{Words: "Take another reading", Act: answer.Act{Do: "read"}}}}
	}
	m := moves[min(j.move, len(moves)-1)]
	names := distinctMoves(moves, j.answer.Sites, j.bottomLayer(), j.c.Steps.Turns)
	c := answer.Card{Head: names[min(j.move, len(moves)-1)], Text: careWords(m)}
	if m.What != "split" {
		c.Facts = append(c.Facts, answer.Fact{Name: "It works", Value: chanceWords(m.Probability)})
	}
	c.Facts = append(c.Facts, answer.Fact{Name: "Takes", Value: minutesWords(m.Minutes)},
		answer.Fact{Name: "Risk", Value: riskWords(m.DamageRisk)})
	c.Doing = []answer.Option{j.beginOption(m, &c)}
	if len(j.answer.Next) > 0 {
		c.Doing = append(c.Doing, answer.Option{Words: "Another reading first", Note: j.answer.Next[0].Why,
			Act: answer.Act{Do: "read"}})
	}
	for i, other := range moves[:min(len(moves), mostMoves+1)] {
		if i != j.move {
			c.Doing = append(c.Doing, answer.Option{Words: names[i], Note: noteWords(other),
				Act: answer.Act{Do: "move", N: i}})
		}
	}
	if v := j.answer.Fit.Verdict; v != answer.OneShort {
		c.Text = append(c.Text, fmt.Sprintf("Take care: %s. %s", v, j.answer.Fit.Note))
		c.Tone = "care"
	}
	c.Speak = c.Head + ". " + upper(minutesWords(m.Minutes)) + ". Risk: " + riskWords(m.DamageRisk) + "."
	return c
}

func (j *Session) reworkCard() answer.Card {
	d := j.c.Steps.Doing
	c := answer.Card{Head: j.doingWords(), Text: j.howWords(*d), Facts: j.heatsOf(*d).fact(j.pair.Board),
		Bar: j.sim != nil || j.wire != nil}
	open := answer.Option{Words: "It reads open now", Act: answer.Act{Do: "outcome", Text: "open"}}
	short := answer.Option{Words: "Done, and still a short", Act: answer.Act{Do: "outcome", Text: "remains"}}
	bridge := answer.Option{Words: "I see what bridges", Act: answer.Act{Do: "outcome", Text: "bridge"}}
	nothing := answer.Option{Words: "Nothing to be seen, still a short",
		Act: answer.Act{Do: "outcome", Text: "nothing"}}
	switch {
	case j.live.steadySeen && j.live.open:
		c.Text = append(c.Text, "The bar has opened.")
		c.Tone = "good"
		c.Doing = []answer.Option{open, short}
	case j.lookUnderWay():
		c.Doing = []answer.Option{nothing, bridge, open}
		if j.sim != nil {
			j.look(&c)
		}
	case d.Done == "replaced" || d.Done == "refitted": // it was open before
		c.Doing = []answer.Option{open, short}
	default:
		c.Doing = []answer.Option{short, open}
	}
	if j.sim == nil {
		c.Entry = &answer.Entry{Label: "It reads now", Hint: "18.7m, 38k or OL"}
		if at := j.acrossChoice(false); j.lookUnderWay() {
			c.Entry.Label = fmt.Sprintf("It reads now, at %s and %s", at.From, at.To)
		}
	}
	c.Speak = j.reworkSpeak(c)
	return c
}

// look says what the simulated loupe shows.
func (j *Session) look(c *answer.Card) {
	if j.sim.sees(j.c, findingOf(j.pair.Board, *j.c.Steps.Doing)) {
		c.Text = append(c.Text, "Under the loupe: something bridges the gap.")
		c.Doing[0], c.Doing[1] = c.Doing[1], c.Doing[0]
		return
	}
	c.Text = append(c.Text, "Under the loupe: nothing to be seen.")
}

// doingWords names the move under way.
func (j *Session) doingWords() string {
	d := j.c.Steps.Doing
	for _, m := range j.moves() {
		if is := j.findingToCome(m); *is == *d {
			return moveWords(m, j.answer.Sites)
		}
	}
	switch d.Done {
	case "replaced":
		return "Fit a new " + d.Part
	case "refitted":
		return "Solder " + d.Part + " back"
	}
	where := d.Part
	if where == "" {
		where = d.Place
	}
	return where + ": being " + actionWords[d.Done]
}

func (j *Session) proofCard(v *answer.View) answer.Card {
	switch v.Step {
	case stepCool:
		return answer.Card{Head: j.coolHead(), Text: []string{j.coolWords()},
			Doing: []answer.Option{{Words: "It is cool", Act: answer.Act{Do: "cool"}}}, Tone: "good"}
	case stepLeads:
		c := answer.Card{Head: "Do both leads touch?",
			Text: []string{"Both tips on one net: under 1 Ω shows that both touch."}}
		j.tips("Put the tips down", "It reads", &c)
		c.Speak = c.Head + " " + spoken(v.Target)
		return c
	case stepAcross:
		c := answer.Card{Head: "And across the two nets again",
			Text: []string{fmt.Sprintf("The leads are good: %s on one net. Now where it was short.",
				j.ohms(*j.c.Steps.Proof.Leads, false))}}
		j.tips("Put the tips down", "It reads", &c)
		c.Speak = c.Head + ". " + spoken(v.Target)
		return c
	case stepRefit:
		return j.refitCard()
	case stepClosed:
		c := answer.Card{Head: "Case closed", Tone: "good",
			Text: []string{fmt.Sprintf("Cause %s, %s.", j.causeWords(), countWords(len(j.c.Readings), "reading"))}}
		if left := undone(j.c); len(left) > 0 {
			c.Text = append(c.Text, "Left undone:")
			for _, words := range left {
				c.Items = append(c.Items, answer.Item{Words: words})
			}
		}
		j.reveal(&c)
		return c
	}
	return j.provenCard()
}

func (j *Session) provenCard() answer.Card {
	s := j.c.Steps
	c := answer.Card{Head: "Cleared", Tone: "good"}
	if s.Proof.Across != nil {
		c.Text = append(c.Text, fmt.Sprintf("Cool, both leads shown to touch, and %s between the nets.",
			j.ohms(*s.Proof.Across, false)))
	}
	if s.Cause == "" {
		c.Text = append(c.Text, "How well do you know what it was?")
		causes := [][2]string{{"Inferred from what cleared it", "inferred"}, {"I saw it", "seen"},
			{"Unknown", "unknown"}}
		if slices.ContainsFunc(j.c.Findings, func(f record.Finding) bool { return f.Seen == "bridge" }) {
			causes[0], causes[1] = causes[1], causes[0]
			if words := j.sightWords(); words != "" {
				causes[0][0] += ": " + words
			}
		}
		for _, o := range causes {
			c.Doing = append(c.Doing, answer.Option{Words: o[0], Act: answer.Act{Do: "cause", Text: o[1]}})
		}
		return c
	}
	c.Text = append(c.Text, "Before it goes back:")
	for _, k := range proofChecks {
		c.Items = append(c.Items, answer.Item{Words: k.words, Done: slices.Contains(s.Checks, k.name),
			Act: &answer.Act{Do: "check", Text: k.name}})
	}
	c.Doing = []answer.Option{{Words: "Close the case", Note: "Read once more tomorrow.",
		Act: answer.Act{Do: "close"}}}
	if left := undone(j.c); len(left) > 0 {
		c.Doing[0].Note, c.Doing[0].Aside = fmt.Sprintf("%d not ticked: that is asked about first.", len(left)), true
	}
	return c
}

// refitCard leads back to a whole board before the repair counts as proved.
func (j *Session) refitCard() answer.Card {
	d := partOff(j.c)
	c := answer.Card{Head: "Solder " + d.Part + " back", Tone: "good",
		Text: []string{"The short is gone with it lifted. The proof counts with the board whole: solder it back, " +
			"then read again."}}
	if d.Done == "replaced" {
		c.Head = "Fit a new " + d.Part
		c.Text = []string{"The short is gone with it off. The proof counts with the board whole: fit a new one, " +
			"then read again."}
	}
	c.Doing = []answer.Option{{Words: "Begin", Act: answer.Act{Do: "refit"}},
		{Words: d.Part + " stays as it is", Note: "noted as left undone", Act: answer.Act{Do: "leave-off"}}}
	return c
}

// causeWords say how well the cause is known and, where it was seen, what it was.
func (j *Session) causeWords() string {
	if words := j.sightWords(); words != "" && j.c.Steps.Cause == "seen" {
		return "seen: " + words
	}
	return j.c.Steps.Cause
}

// reveal tells the truth of an invented unit.
func (j *Session) reveal(c *answer.Card) {
	if j.sim == nil || j.answer == nil {
		return
	}
	truth := bench.SiteAnswer(j.pair.Board, j.sim.original.Fault)
	text := fmt.Sprintf("The hidden short was %s, %s.", siteWords(truth),
		j.ohms(unit.Resistance(j.sim.original.Ohms), false))
	switch b := j.answer.Best; {
	case !j.answer.Points():
	case b.Kind == "part" && truth.Kind == "part" && b.Part == truth.Part:
		text += " You had it."
	default:
		x, y := j.sim.original.Fault.Mid()
		text += fmt.Sprintf(" You had it within %s.", mmWords(engine.HypotMM((b.X+b.X2)/2-x, (b.Y+b.Y2)/2-y)))
	}
	c.Text = append(c.Text, text)
}
