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
	c := answer.Card{Head: moveWords(m, j.answer.Sites), Text: []string{upper(m.Why) + "."}}
	if m.What != "split" {
		c.Facts = append(c.Facts, answer.Fact{Name: "Chance", Value: chanceWords(m.Probability)})
	}
	c.Facts = append(c.Facts, answer.Fact{Name: "Takes", Value: minutesWords(m.Minutes)},
		answer.Fact{Name: "Risk", Value: riskWords(m.DamageRisk)})
	c.Doing = []answer.Option{{Words: "Begin", Act: answer.Act{Do: "start"}}}
	if len(j.answer.Next) > 0 {
		c.Doing = append(c.Doing, answer.Option{Words: "Another reading first", Note: j.answer.Next[0].Why,
			Act: answer.Act{Do: "read"}})
	}
	for i, other := range moves[:min(len(moves), mostMoves+1)] {
		if i != j.move {
			c.Doing = append(c.Doing, answer.Option{Words: moveWords(other, j.answer.Sites),
				Note: fmt.Sprintf("%s, %s", chanceWords(other.Probability), minutesWords(other.Minutes)),
				Act:  answer.Act{Do: "move", N: i}})
		}
	}
	if v := j.answer.Fit.Verdict; v != answer.OneShort {
		c.Text = append(c.Text, fmt.Sprintf("Take care: %s. %s", v, j.answer.Fit.Note))
		c.Tone = "care"
	}
	c.Speak = c.Head + ". " + upper(minutesWords(m.Minutes)) + ". Risk " + riskWords(m.DamageRisk) + "."
	return c
}

// how says how each action is done (BENCH.md, Rework).
var how = map[string]string{
	"cleaned": "Flux and dust off with alcohol and a brush. Then a loupe, light from the side, a mirror for " +
		"what is hidden.",
	"wicked": "Tip 350 °C or less, about 3 s a touch, fresh wick and flux. Look for strands afterwards: " +
		"wick itself bridges.",
	"reflowed": "Plenty of flux, tip 350 °C or less, about 3 s a touch.",
	"removed":  "Warm both sides; no force on the pads. A ceramic capacitor once off is never refitted.",
	"scraped": "Under a microscope: scrape the mask off the gap, lift the sliver with a blade, away from " +
		"both tracks.",
	"split": "One end is enough. Read again from the side of the named nets.",
	"replaced": "Pads clean and flat, fresh solder, the right way round. A ceramic capacitor once off is " +
		"never refitted: take a new one.",
	"refitted": "Fresh solder on the lifted end; look that it bridges nothing.",
}

func (j *Session) reworkCard() answer.Card {
	d := j.c.Steps.Doing
	c := answer.Card{Head: j.doingWords(), Text: []string{how[d.Done]}, Bar: j.sim != nil}
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
	c.Speak = c.Head + "."
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
		return answer.Card{Head: "Seen open. Let it cool",
			Text: []string{"Warm copper lies, and a tip that slipped looks like a cleared short. Wait until the " +
				"place is within 5 degrees of the room, about two minutes."},
			Doing: []answer.Option{{Words: "It is cool", Act: answer.Act{Do: "cool"}}}, Tone: "good"}
	case stepLeads:
		c := answer.Card{Head: "Do both leads touch?",
			Text: []string{"Both tips on one net: it must read under 1 Ω. So an open reading is no slipped tip."}}
		j.tips("Put the tips down", "It reads", &c)
		c.Speak = c.Head + " " + spoken(v.Target)
		return c
	case stepAcross:
		c := answer.Card{Head: "And across the two nets again",
			Text: []string{fmt.Sprintf("The leads are good: %v on one net. Now where it was short.",
				*j.c.Steps.Proof.Leads)}}
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
		c.Text = append(c.Text, fmt.Sprintf("Cool, both leads shown to touch, and %v between the nets.",
			*s.Proof.Across))
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
		c.Doing[0].Note = fmt.Sprintf("%d not ticked: that is asked about first.", len(left))
		c.Doing[0].Aside = true
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
	text := fmt.Sprintf("The hidden short was %s, %v.", siteWords(truth), unit.Resistance(j.sim.original.Ohms))
	if b := j.answer.Best; j.answer.Points() {
		x, y := j.sim.original.Fault.Mid()
		text += fmt.Sprintf(" You had it within %.1f mm.", max(0.1, engine.HypotMM((b.X+b.X2)/2-x, (b.Y+b.Y2)/2-y)))
	}
	c.Text = append(c.Text, text)
}
