package session

import (
	"fmt"
	"slices"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// how says how each action is done (BENCH.md, Rework).
var how = map[string]string{
	"cleaned": "Flux and dust off with alcohol and a brush. Then a loupe, light from the side, a mirror for " +
		"what is hidden.",
	"wicked": "Tip 350 °C or less, about 3 s a touch, fresh wick and flux. Look for strands afterwards: " +
		"wick itself bridges.",
	"reflowed": "Plenty of flux, tip 350 °C or less, about 3 s a touch.",
	"removed":  "Melt all its joints at once, then lift it; no force on the pads.",
	"scraped": "Under a microscope: scrape the mask off the gap, lift the sliver with a blade, away from " +
		"both tracks.",
	"split": "One end is enough. Read again from the side of the named nets.",
	"replaced": "Pads clean and flat, fresh solder, the right way round. A ceramic capacitor once off is never " +
		"refitted: take a new one.",
	"refitted": "Fresh solder on the lifted end; look that it bridges nothing.",
}

// howWords says how a move is done, with the cautions of this move on this part;
// of those that hold for all moves each comes once in a case.
func (j *Session) howWords(d record.Doing) []string {
	out := []string{how[d.Done]}
	if d.Done == "removed" {
		out = append(out, j.partCare(d.Part)...)
	}
	if care := j.heatsOf(d).care(); care != "" {
		out = append(out, care)
	}
	return append(out, j.heatCare(d)...)
}

// partCare is what the part at hand needs when it comes off.
func (j *Session) partCare(ref string) (out []string) {
	for _, p := range j.work.Heated() {
		if care := p.RemovalCare(); p.Ref == ref && care != "" {
			out = append(out, care)
		}
	}
	return out
}

// heatCare is what to heed before heat: the air, alcohol and the neighbours, each
// at the first move of the case that it matters for.
func (j *Session) heatCare(d record.Doing) (out []string) {
	if !engine.Heats(d.Done) {
		return nil
	}
	heated, wet, air := false, false, false
	for _, f := range j.c.Findings {
		switch {
		case engine.Heats(f.Done):
			heated, wet = true, false
			air = air || j.pair.HotAir(f.Done, f.Part)
		case f.Done == "cleaned":
			wet = true
		}
	}
	if !heated {
		out = append(out, "Draw the flux fumes away from your face, and let air in.")
	}
	if wet {
		out = append(out, "Let the alcohol dry before any heat: it burns.")
	}
	if j.pair.HotAir(d.Done, d.Part) && !air {
		out = append(out, "Hot air at 350 °C or less, never near a cell; shield the neighbours with foil.")
	}
	return out
}

// beginOption begins the move that is shown; a third heat is not begun by the one
// key.
func (j *Session) beginOption(m answer.Repair, c *answer.Card) answer.Option {
	o := answer.Option{Words: "Begin", Act: answer.Act{Do: "start"}}
	h := j.heatsOf(*j.findingToCome(m))
	c.Facts = append(c.Facts, h.fact(j.pair.Board)...)
	if care := h.care(); care != "" {
		c.Text, c.Tone = append(c.Text, care), "care"
	}
	if h.most() >= stopHeat {
		o.Words, o.Aside = "Heat them all the same", true
	}
	return o
}

// reworkSpeak says the move; once the bar has settled, what it says: with an iron
// on the board only that it has opened, for its values mean nothing.
func (j *Session) reworkSpeak(c answer.Card) string {
	said := c.Head + "."
	switch {
	case !j.live.steadySeen:
	case j.live.open:
		said = "The bar has opened. " + said
	case !j.hot():
		said = "It reads " + j.ohms(j.live.mean, false) + ". " + said
	}
	return said
}

// Cooling, after heat: common practice, no source.
const coolTime = 2 * time.Minute

// coolSteps are how long is left, as it is said.
var coolSteps = []struct {
	above time.Duration
	words string
}{
	{90 * time.Second, "about two minutes more"}, {45 * time.Second, "about a minute more"},
	{0, "half a minute more"},
}

// coolLeft is how long the board has still to cool.
func (j *Session) coolLeft() time.Duration {
	hot := j.c.Steps.Hot
	if !j.wasHeated() {
		return 0
	}
	if hot.IsZero() {
		hot = j.asOf
	}
	return max(0, coolTime-j.folder.now().Sub(hot))
}

// wasHeated tells whether anything was done with heat in this case.
func (j *Session) wasHeated() bool {
	return slices.ContainsFunc(j.c.Findings, func(f record.Finding) bool { return engine.Heats(f.Done) })
}

// coolHead is the card's head while the board cools.
func (j *Session) coolHead() string {
	if j.coolLeft() > 0 {
		return "Seen open. Let it cool"
	}
	return "Seen open"
}

// coolWords says how long to wait, and what for.
func (j *Session) coolWords() string {
	left := j.coolLeft()
	for _, s := range coolSteps {
		if left > s.above {
			return fmt.Sprintf("Wait %s, until it is as cool as the room: warm copper lies. Then show that both "+
				"leads touch, and read once more.", s.words)
		}
	}
	if !j.wasHeated() {
		return "Nothing was heated. Show that both leads touch, and read once more."
	}
	return "Its two minutes are over. As cool as the room? Then show that both leads touch, and read once more."
}

// countDown shows anew how long is left, each time the words for it change.
func (j *Session) countDown() {
	j.mu.Lock()
	defer j.mu.Unlock()
	left := j.coolLeft()
	if j.busy != "" || j.step() != stepCool || left <= 0 || j.counting {
		return
	}
	for _, s := range coolSteps {
		if left > s.above {
			j.counting = true
			time.AfterFunc(left-s.above, j.counted)
			return
		}
	}
}

// counted is a step of the count down.
func (j *Session) counted() {
	j.mu.Lock()
	j.counting = false
	j.mu.Unlock()
	if j.ctx.Err() == nil {
		j.changed()
		j.countDown()
	}
}

// hot tells whether a move with heat is under way.
func (j *Session) hot() bool {
	return j.step() == stepRework && engine.Heats(j.c.Steps.Doing.Done)
}
