package cli

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"
)

func practiceCommand() *command {
	own := []*option{
		{"auto", "", "let the program choose every reading", func(s *settings, _ string) error { s.auto = true; return nil }},
		{"seed", "N", "which unit: the same number, the same unit\n(default 0)", setSeed},
		{"fault", "KIND", "gap, part, layers or metal (default: drawn)", text(func(s *settings) *string { return &s.fault })},
		{"meter", "PROFILE", "the simulated meter (default bench-6.5-digit)", text(func(s *settings) *string { return &s.meter })},
	}
	return &command{
		name:    "practice",
		purpose: "the main job on an invented unit with a hidden short",
		about: `A unit of the demo board with a hidden short, and a simulated meter with its
own noise, lead residue and copper. The program asks for readings, narrows
down, says where, and then shows the truth. Without --auto you choose: a
number of its list, two places for a two-wire reading, four (I+ I- V+ V-) for
a four-wire one, or done.`,
		flags: append(own, jsonFlag, timingFlag),
		example: `ohmward practice --auto --seed 3
On the bench: unit 3 of the river-level logger. …
…
Found after 4 readings: …
  the truth  …
  error      …`,
		run: runPractice,
	}
}

func runPractice(ctx context.Context, k *call) error {
	if k.set.json && !k.set.auto {
		return misuse("add --auto", "--json needs --auto: a dialogue is not JSON")
	}
	var talk bench.Talk
	if !k.set.auto {
		k.ErrTTY = false // progress would overwrite what is being typed
	}
	if !k.set.json {
		talk = &bedside{in: bufio.NewScanner(k.In), call: k}
	}
	a, err := work(k, func(o bench.Options) (*answer.Practice, error) {
		return bench.Practice(ctx, bench.PracticeOptions{Options: o, Seed: k.set.seed, Fault: k.set.fault,
			Auto: k.set.auto, Meter: k.set.meter, Talk: talk})
	})
	if !usable(err) {
		return err
	}
	if failed := k.print(a, func(p *page) { practiceText(p, a) }); failed != nil {
		return failed
	}
	return err
}

func practiceText(p *page, a *answer.Practice) {
	p.Headline("%s", outcome(a))
	inside := "outside"
	if a.InsideRadius {
		inside = "inside"
	}
	truth := bestPlace(answer.Best{Site: a.Truth})
	if a.Best == nil {
		p.Facts("the truth", truth, "seed", fmt.Sprint(a.Seed))
		return
	}
	p.Facts(
		"the truth", truth,
		"error", fmt.Sprintf("%.2f mm, %s the radius of %.1f mm", a.ErrorMM, inside, a.Best.RadiusMM),
		"the short", fmt.Sprintf("%v; found %v", unit.Resistance(a.Truth.Ohms.Median), unit.Resistance(a.Best.Ohms.Median)),
		"verdict", a.Verdict,
		"seed", fmt.Sprint(a.Seed),
	)
}

// outcome is the end of practice in one line.
func outcome(a *answer.Practice) string {
	after := "after " + many(a.Readings, "reading")
	switch {
	case a.Best == nil:
		return fmt.Sprintf("No place found %s: %s.", after, a.Verdict)
	case a.Readings == 0:
		return "No reading taken: the short could be anywhere on the list."
	case a.Verdict != answer.OneShort:
		return fmt.Sprintf("Not to be trusted %s (%s): the best guess is %s.", after, a.Verdict, bestPlace(*a.Best))
	case a.Best.Probability < even && a.Best.RadiusMass >= 0.9:
		return fmt.Sprintf("Narrowed down %s: nine chances in ten lie within %.1f mm of %s.", after, a.Best.RadiusMM, bestPlace(*a.Best))
	case a.Best.Probability < even:
		return fmt.Sprintf("Not found %s: the likeliest place (%s) is %s.", after, chance(a.Best.Probability), bestPlace(*a.Best))
	}
	return fmt.Sprintf("Found %s: %s.", after, bestPlace(*a.Best))
}

// bedside is the dialogue of practice on a terminal or a pipe.
type bedside struct {
	in     *bufio.Scanner
	call   *call
	refuse bool // the last choice was refused: the advice still stands above
}

// tell prints a piece of the dialogue at once.
func (b *bedside) tell(words func(*page)) {
	var out bytes.Buffer
	words(&page{out: &out, colour: b.call.Colour})
	if b.call.ErrTTY {
		fmt.Fprint(b.call.Err, clearLine) // progress may stand there
	}
	b.call.Out.Write(out.Bytes())
}

// Begin tells what is on the bench.
func (b *bedside) Begin(s answer.PracticeStart) {
	b.tell(func(p *page) {
		p.Headline("On the bench: %s. %s read near zero ohms.", s.Unit, strings.Join(s.Nets, " and "))
		p.Facts("meter", s.Meter, "suspects", many(s.Sites, "place"), "reach", reachNote(s.Reach))
		cautionLines(p, s.Cautions)
		if b.call.set.auto {
			p.Heading("Readings")
		}
	})
}

func reachNote(r *answer.Reach) string {
	if r == nil {
		return ""
	}
	return r.Note
}

// Read tells what the meter said and what it means.
func (b *bedside) Read(s answer.PracticeStep) {
	b.tell(func(p *page) {
		now := "no place yet"
		if s.Best != nil {
			now = fmt.Sprintf("%s within %.1f mm (%s)", siteAt(s.Best.Site), s.Best.RadiusMM, chance(s.Best.RadiusMass))
		}
		if b.call.set.auto {
			p.Line("%d. %s: %v. Now: %s", s.N, reading(s.From, s.To, s.Current, s.Sense), unit.Resistance(s.Ohms), now)
			return
		}
		p.Headline("%v, %s", unit.Resistance(s.Ohms), reading(s.From, s.To, s.Current, s.Sense))
		p.Line("after %s: %s", many(s.N, "reading"), now)
	})
}

// Refuse tells why a choice cannot be read.
func (b *bedside) Refuse(err error) {
	b.refuse = true
	b.tell(func(p *page) { p.Line("%s", err) })
}

// prompt asks for a line on a terminal; a pipe needs no asking.
func (b *bedside) prompt() {
	if b.call.OutTTY {
		fmt.Fprint(b.call.Out, "> ")
	}
}

// Choose asks for the next reading: a number of the advice, two places, four
// places, or "done".
func (b *bedside) Choose(advice []answer.Next) (answer.Choice, error) {
	if !b.refuse {
		b.tell(func(p *page) {
			moveLines(p, answer.MovesOf(advice, nil), advice, nil)
			p.Line("Type a number of these, two places (C7.1 C7.2), four (I+ I- V+ V-), or done.")
		})
	}
	b.refuse = false
	for b.prompt(); b.in.Scan(); b.prompt() {
		choice, err := chosen(strings.Fields(b.in.Text()), advice)
		if err == nil {
			return choice, nil
		}
		b.Refuse(err)
		b.refuse = false
	}
	if err := b.in.Err(); err != nil {
		return answer.Choice{}, err
	}
	return answer.Choice{Stop: true}, nil
}

// chosen reads what was typed.
func chosen(words []string, advice []answer.Next) (answer.Choice, error) {
	switch len(words) {
	case 1:
		if words[0] == "done" {
			return answer.Choice{Stop: true}, nil
		}
		if n, err := strconv.Atoi(words[0]); err == nil && n >= 1 && n <= len(advice) {
			a := advice[n-1]
			return answer.Choice{Kind: a.Kind, From: a.From, To: a.To, Current: a.Current, Sense: a.Sense}, nil
		}
	case 2:
		return answer.Choice{Kind: "two-wire", From: words[0], To: words[1]}, nil
	case 4:
		return answer.Choice{Kind: "four-wire", Current: words[:2], Sense: words[2:]}, nil
	}
	return answer.Choice{}, fmt.Errorf("type a number of the list, two places, four places, or done")
}
