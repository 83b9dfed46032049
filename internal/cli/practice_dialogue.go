package cli

import (
	"bufio"
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"ohmward/internal/answer"
	"ohmward/unit"
)

// dialogue is practice on a terminal or a pipe.
type dialogue struct {
	Env
	auto   bool // the program chooses
	in     *bufio.Scanner
	refuse bool // the last choice was refused: the advice still stands above
}

// print prints a piece of the dialogue at once.
func (d *dialogue) print(words func(*page)) {
	var out bytes.Buffer
	words(&page{out: &out, colour: d.Colour, columns: d.Columns})
	if d.ErrTTY {
		fmt.Fprint(d.Err, clearLine) // progress may stand there
	}
	d.Out.Write(out.Bytes())
}

// Begin tells what is on the bench.
func (d *dialogue) Begin(s answer.PracticeStart) {
	d.print(func(p *page) {
		p.Headline("On the bench: %s. %s read near zero ohms.", s.Unit, strings.Join(s.Nets, " and "))
		p.Facts("meter", s.Meter, "suspects", many(s.Sites, "place"), "reach", reachNote(s.Reach))
		cautionLines(p, s.Cautions)
		if d.auto {
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
func (d *dialogue) Read(s answer.PracticeStep) {
	d.print(func(p *page) {
		now := "no place yet"
		if s.Best != nil {
			now = soFar(*s.Best)
		}
		if d.auto {
			p.Line("%d. %s: %v. Now: %s", s.N, reading(s.From, s.To, s.Current, s.Sense), unit.Resistance(s.Ohms), now)
			return
		}
		p.Headline("%v, %s", unit.Resistance(s.Ohms), reading(s.From, s.To, s.Current, s.Sense))
		p.Line("after %s: %s", many(s.N, "reading"), now)
	})
}

// soFar is the best place in a few words.
func soFar(b answer.Best) string {
	if b.Kind == "part" {
		return fmt.Sprintf("%s (%s)", bestPlace(b.Site), chance(b.Probability))
	}
	return fmt.Sprintf("%s within %.1f mm (%s)", siteAt(b.Site), b.RadiusMM, chance(b.RadiusMass))
}

// Refuse tells why a choice cannot be read.
func (d *dialogue) Refuse(err error) {
	d.refuse = true
	d.print(func(p *page) { p.Line("%s", err) })
}

// prompt asks for a line on a terminal; a pipe needs no asking.
func (d *dialogue) prompt() {
	if d.OutTTY {
		fmt.Fprint(d.Out, "> ")
	}
}

// Choose asks for the next reading: a number of the advice, two places, four
// places, or "done".
func (d *dialogue) Choose(advice []answer.Next) (answer.Choice, error) {
	if !d.refuse {
		d.print(func(p *page) {
			moveLines(p, answer.MovesOf(advice, nil), advice, nil)
			p.Line("Type a number of these, two places (C7.1 C7.2), four (I+ I- V+ V-), or done.")
		})
	}
	d.refuse = false
	for d.prompt(); d.in.Scan(); d.prompt() {
		choice, err := chosen(strings.Fields(d.in.Text()), advice)
		if err == nil {
			return choice, nil
		}
		d.Refuse(err)
		d.refuse = false
	}
	if err := d.in.Err(); err != nil {
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
