package session

import (
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/locate"
	"ohmward/unit"
)

// card says the one thing to do now.
func (j *Session) card(v *answer.View) answer.Card {
	c := answer.Card{}
	switch {
	case v.Board == nil && j.busy == "" && j.trouble != nil:
		c = answer.Card{Head: "This board cannot be read",
			Text: []string{j.trouble.What, j.trouble.Hint, j.bringAgain()}, Tone: "care"}
	case j.busy != "":
		c = answer.Card{Kind: "wait", Head: "One moment", Text: []string{upper(j.busy) + " …"}}
	case j.answer == nil && j.c.Nets[0] != "" && v.Step != stepMetal && v.Step != stepPolarity:
		c = j.unsolvedCard()
	case j.ask != nil:
		c = *j.ask
	default:
		c = j.cardOf(v)
		j.sighted(v.Step, &c)
		j.oddFirst(v.Step, &c)
	}
	if c.Text == nil {
		c.Text = []string{}
	}
	if c.Doing == nil {
		c.Doing = []answer.Option{}
	}
	for i := range c.Doing {
		c.Doing[i].Act.Revision = v.Revision
	}
	for i := range c.Items {
		if c.Items[i].Act != nil {
			c.Items[i].Act.Revision = v.Revision
		}
	}
	if c.Speak == "" {
		c.Speak = c.Head + ". " + strings.Join(c.Text, " ")
	}
	return c
}

// bringAgain says how to go on with a board that fails to read.
func (j *Session) bringAgain() string {
	if j.failure == nil {
		return "Then go back to the bench and bring it again."
	}
	return "Say here how its files are to be read, or mend them, go back to the bench and bring the board again."
}

// unsolvedCard is a case whose copper could not be solved.
func (j *Session) unsolvedCard() answer.Card {
	c := answer.Card{Head: "These two nets cannot be worked on", Tone: "care"}
	switch last, err := j.store.LastAct(); {
	case err != nil:
	case last == "nets":
		c.Doing = []answer.Option{{Words: "Choose other nets", Act: answer.Act{Do: "undo"}}}
	default: // what was done since may be why
		c.Doing = []answer.Option{{Words: "Take back the last step", Act: answer.Act{Do: "undo"}}}
	}
	if j.trouble != nil {
		c.Text = []string{j.trouble.What, j.trouble.Hint}
	}
	return c
}

func (j *Session) cardOf(v *answer.View) answer.Card {
	switch v.Step {
	case stepNets:
		return j.netsCard()
	case stepPolarity:
		return j.polarityCard()
	case stepMetal:
		m := j.board.metalToAsk(j.c)
		return answer.Card{Head: fmt.Sprintf("Is there metal on %s?", m.Part),
			Text: []string{fmt.Sprintf("Its tabs are soldered to %s. A shell or shield carries current and can "+
				"itself touch %s; the files do not show it.", m.Net, other(j.c.Nets, m.Net))},
			Doing: []answer.Option{{Words: "Yes, a metal body", Act: answer.Act{Do: "metal", Text: "yes"}},
				{Words: "No metal there", Act: answer.Act{Do: "metal", Text: "no"}}}}
	case stepCautions:
		c := cautionsCard()
		j.offerMeters(&c)
		return c
	case stepSwap:
		return j.swapCard(v)
	case stepNull:
		return j.nullCard()
	case stepCheck:
		return j.checkCard(v)
	case stepRead:
		return j.readCard(v)
	case stepRepair:
		return j.repairCard()
	case stepRework:
		return j.reworkCard()
	case stepSeen:
		return j.seenCard()
	}
	return j.proofCard(v)
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func other(nets [2]string, net string) string {
	if nets[0] == net {
		return nets[1]
	}
	return nets[0]
}

func (j *Session) netsCard() answer.Card {
	c := answer.Card{Search: true}
	switch len(j.picked) {
	case 0:
		c.Head = "Which two nets touch?"
		c.Text = []string{"Tap one on the board, or type a net or a pin."}
	case 1:
		c.Head = j.picked[0] + ", and which other?"
		c.Text = []string{"Tap the second net, or type it."}
	default:
		c.Head = fmt.Sprintf("%s and %s", j.picked[0], j.picked[1])
		c.Text = []string{"These two read near zero ohms, and must not."}
		c.Doing = []answer.Option{{Words: "Begin with these two", Act: answer.Act{Do: "nets"}}}
	}
	return c
}

// cautions hold before any probe, each once (BENCH.md, Readings).
var cautions = []string{
	"Battery out, every cable unplugged, screws to metal out.",
	"Volts before ohms: measure d.c. volts on both nets and on what feeds them. Above 60 V leave it to " +
		"someone trained for it.",
	"Let capacitors drain through a resistor, never through a short.",
	"Earthed wrist strap on, board on an earthed mat.",
	"Know your meter's open-circuit volts: once the short opens, they reach the parts.",
	"Never burn the short out with current: it chars, hides, and takes the track along.",
}

func cautionsCard() answer.Card {
	c := answer.Card{Head: "Before any probe", Text: []string{"Your local rules come first."},
		Doing: []answer.Option{{Words: "All done", Act: answer.Act{Do: "cautions"}}}, Tone: "care"}
	for _, w := range cautions {
		c.Items = append(c.Items, answer.Item{Words: w})
	}
	c.Speak = "Before any probe. " + strings.Join(cautions, " ")
	return c
}

// tips is the main option wherever a value is wanted: the simulated hands, or
// typing.
func (j *Session) tips(words, label string, c *answer.Card) {
	if j.sim != nil {
		if j.live.stop != nil {
			c.Doing = append(c.Doing, answer.Option{Words: "Take the tips off", Act: answer.Act{Do: "lift"}})
		} else {
			c.Doing = append(c.Doing, answer.Option{Words: words, Act: answer.Act{Do: "touch"}})
		}
		c.Bar = true
	} else if j.c.Steps.MeterAt != "" {
		j.wireOnCard(c)
	}
	c.Entry = &answer.Entry{Label: label, Hint: "18.7m, 0.0187, 18m7 or OL"}
}

// polarity says on a four-wire reading's card what its sign means, and asks for it.
func polarity(t *answer.Target, c *answer.Card) {
	if t == nil || t.Kind != "four-wire" {
		return
	}
	c.Text = append(c.Text, polarityWords)
	c.Entry.Label, c.Entry.Hint = "The meter reads, with its sign", "+0.187m or -0.11m, as the meter shows it"
}

func (j *Session) swapCard(v *answer.View) answer.Card {
	n := len(j.c.Steps.Swap)
	c := answer.Card{Head: [...]string{"Is it metal? First touch", "Now swap the two tips",
		"Once more, on the next range up"}[n]}
	switch n {
	case 0:
		c.Text = []string{"A metal short reads under about 1 Ω, the same with tips swapped and on another " +
			"range. Parts do not."}
	case 1:
		c.Text = []string{fmt.Sprintf("It read %s. Red goes where black was.", j.ohms(j.c.Steps.Swap[0], false))}
	default:
		c.Text = []string{fmt.Sprintf("It read %s, swapped %s. Same places, one range higher.",
			j.ohms(j.c.Steps.Swap[0], false), j.ohms(j.c.Steps.Swap[1], false))}
	}
	j.tips("Put the tips down", "It reads", &c)
	c.Doing = append(c.Doing, answer.Option{Words: "Pass over this test", Aside: j.sim == nil,
		Act: answer.Act{Do: "pass-swap"}})
	c.Speak = c.Head + ". " + spoken(v.Target)
	return c
}

// sameShare is how alike swapped and other-range readings of metal are.
const sameShare = 0.05

// swapVerdict says what the swap-and-range test tells.
func swapVerdict(values []unit.Resistance, text func(unit.Resistance) string) (words string, metal bool) {
	if len(values) < swapValues {
		return "", true
	}
	low, high := values[0], values[0]
	for _, v := range values {
		low, high = min(low, v), max(high, v)
	}
	switch {
	case high >= 1:
		return fmt.Sprintf("It reads up to %s: that is hardly metal. Some processor cores read an ohm when "+
			"healthy: compare with a good unit before you go on.", text(high)), false
	case float64(high-low) > max(sameShare*float64(high), 2e-3):
		return fmt.Sprintf("It reads %s to %s as tips and range change: metal would stay within 5 %%. Compare "+
			"with a good unit, and clean the tips.", text(low), text(high)), false
	}
	return fmt.Sprintf("It reads %s either way and on both ranges: metal.", text(values[0])), true
}

func (j *Session) nullCard() answer.Card {
	c := answer.Card{Head: "Null the leads"}
	words, metal := swapVerdict(j.c.Steps.Swap,
		func(r unit.Resistance) string { return j.ohms(r, false) })
	if len(j.c.Nulls) > 0 {
		c.Head = "Null the leads again"
		words = "Ten readings or five minutes have passed: leads drift."
		if j.c.Steps.Drifted {
			words = "The fixed place has moved: the leads drifted. What lies between counts as doubtful."
		}
	} else if !metal {
		c.Tone = "care"
	}
	if words != "" {
		c.Text = append(c.Text, words)
	}
	c.Text = append(c.Text, "Press the tips together and hold still; then null the meter.")
	if j.sim != nil {
		c.Text[len(c.Text)-1] = "Press the tips together and hold still."
		j.tips("Press the tips together", "The leads read", &c)
		c.Entry = nil
		return c
	}
	if j.c.Steps.MeterAt != "" {
		c.Text[len(c.Text)-1] = "Press the tips together and hold still."
		j.tips("", "", &c)
		c.Entry = nil
		c.Speak = c.Head + ". Press the tips together and hold still."
		c.Doing = []answer.Option{{Words: "Type values by hand", Aside: true, Act: answer.Act{Do: "meter"}}}
		return c
	}
	c.Doing = []answer.Option{{Words: "Nulled", Act: answer.Act{Do: "nulled"}}}
	held := j.c.Meter.Profile == handHeldMeter
	if held {
		c.Doing = append(c.Doing, answer.Option{Words: "My tips are clipped or soldered", Note: "now: held by hand",
			Act: answer.Act{Do: "tips", Text: "clipped"}})
	} else {
		c.Doing = append(c.Doing, answer.Option{Words: "I hold the tips by hand", Note: "now: clipped",
			Act: answer.Act{Do: "tips", Text: "held"}})
	}
	j.offerMeters(&c)
	return c
}

func (j *Session) readCard(v *answer.View) answer.Card {
	c := answer.Card{Head: fmt.Sprintf("Reading %d", len(j.c.Readings)+1)}
	if j.retouch > 0 {
		c.Head = fmt.Sprintf("Reading %d, once more", j.retouch)
	}
	if v.Target == nil {
		c.Text = []string{"Tap one place on each of the two nets."}
	}
	little := j.littleMore()
	if len(j.c.Readings) == 0 && j.canReach != nil {
		c.Text = append(c.Text, upper(j.canReach.Note)+".")
	} else if t := v.Target; t != nil && t.Why != "" && (j.answer.Enough || !little) {
		c.Text = append(c.Text, "It "+t.Why+".")
	} else if t != nil && t.Why != "" { // it is for checking the others, not for the place
		c.Text = append(c.Text, upper(j.answer.EnoughWhy)+".")
	}
	worst := j.misfit(&c)
	j.tips("Put the tips down", "The meter reads", &c)
	c.Entry.Hint = "18.7m, or 18.7 18.9 18.6m"
	polarity(v.Target, &c)
	fourWireOffer(v.Target, &c, j.sim == nil)
	c.Doing = append(c.Doing, worst...)
	if !j.aimIsAdvice() {
		c.Doing = append(c.Doing, answer.Option{Words: "Back to the advised places", Aside: j.sim == nil,
			Act: answer.Act{Do: "advice"}})
	}
	if len(j.c.Readings) > 0 && len(j.moves()) > 0 {
		enough := answer.Option{Words: "Enough: what to do about it", Aside: j.sim == nil,
			Act: answer.Act{Do: "mend"}}
		if little && j.answer.Enough && j.live.stop == nil {
			enough.Aside = false
			c.Doing = append([]answer.Option{enough}, c.Doing...)
		} else {
			c.Doing = append(c.Doing, enough)
		}
	}
	c.Speak = spoken(v.Target)
	return c
}

// littleMore tells whether the reading advised is expected to say hardly anything
// of the place.
func (j *Session) littleMore() bool {
	return j.aim == nil && len(j.c.Readings) > 0 && len(j.answer.Next) > 0 &&
		!locate.Move{Bits: j.answer.Next[0].Bits}.Informative()
}

func (j *Session) aimIsAdvice() bool { return j.aim == nil }

// spoken says a pair of places aloud.
func spoken(t *answer.Target) string {
	if t == nil {
		return ""
	}
	out := fmt.Sprintf("Red, %s, on %s. Black, %s, on %s.", t.Red.Net, t.Red.Words, t.Black.Net, t.Black.Words)
	if t.ClipRed != nil {
		out = fmt.Sprintf("Current in at %s, out at %s. Volts: red, %s, on %s, black, %s, on %s.", t.ClipRed.Words,
			t.ClipBlk.Words, t.Red.Net, t.Red.Words, t.Black.Net, t.Black.Words)
	}
	if t.Turn != "" {
		out = t.Turn + " " + out
	}
	return out
}
