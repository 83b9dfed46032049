package cli

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"ohmward/internal/answer"
	"ohmward/internal/session"
)

// runLive leads a case in the terminal: the same session as the page's.
func (f *locateFlags) runLive(ctx context.Context, k *call, where string) error {
	if err := k.provide(); err != nil {
		return err
	}
	j, end, err := session.OpenFile(where, session.FolderOptions{Options: k.options, Errors: told(k.Env)})
	if err != nil {
		return err
	}
	defer end()
	changes, stop := j.Watch()
	defer stop()
	l := &liveCase{Env: k.Env, j: j, at: f.at}
	done, finish := context.WithCancel(ctx)
	defer finish()
	typed := linesOf(done, k.In)
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-changes:
			if over, err := l.look(); over || err != nil {
				return err
			}
		case line, more := <-typed:
			if !more {
				typed = nil // nobody types: the meter goes on
			} else if line == "q" {
				return nil
			} else {
				l.typed(line)
			}
		}
	}
}

// linesOf hands on what is typed, line by line, until it ends or ctx does.
func linesOf(ctx context.Context, in io.Reader) <-chan string {
	if in == nil {
		return nil
	}
	typed := make(chan string)
	go func() {
		defer close(typed)
		for s := bufio.NewScanner(in); s.Scan(); {
			select {
			case typed <- strings.TrimSpace(s.Text()):
			case <-ctx.Done():
				return
			}
		}
	}()
	return typed
}

// liveCase shows a session in the terminal, and acts on it.
type liveCase struct {
	Env
	j     *session.Session
	at    string // the meter's address, until the case has it
	shown string // what was printed last
	bar   bool   // the live value stands on the last line
}

// look prints where the session stands, if that changed; over once nothing is left
// to do.
func (l *liveCase) look() (over bool, err error) {
	v := l.j.View()
	switch {
	case v.Busy != "" && v.Board == nil && l.shown == "", v.Busy != "" && l.at != "":
		return false, nil
	case v.Board == nil && v.Trouble != nil:
		return true, troubleError(v.Trouble)
	case l.at != "":
		at := l.at
		l.at = ""
		if err := l.j.Do(answer.Act{Do: "meter", Text: at, Revision: v.Revision}); err != nil {
			return true, err
		}
		v = l.j.View()
	case v.Meter.Kind != "wire":
		return true, misuse("ohmward meter find lists what is there", "the case names no meter: add --at ADDR")
	}
	var out bytes.Buffer
	l.write(&page{out: &out, colour: l.Colour, columns: l.Columns}, v)
	if out.String() != l.shown {
		l.shown = out.String()
		l.print("\x1b[H\x1b[2J", l.shown)
	}
	l.value()
	return v.Step == "closed", nil
}

// print prints whole lines: on a terminal behind what clears it.
func (l *liveCase) print(clear, text string) {
	if l.OutTTY {
		text = clear + text
	}
	l.bar = false
	_, _ = io.WriteString(l.Out, text) // a closed output shows at the end
}

// value shows on a terminal what the meter reads now, below all else.
func (l *liveCase) value() {
	now, _ := l.j.Live()
	if !l.OutTTY || !now.On && !l.bar {
		return
	}
	l.bar = true
	fmt.Fprintf(l.Out, "\r\x1b[K  %s", now.Text)
}

func troubleError(t *answer.Trouble) error {
	return &answer.Error{Kind: answer.Bad, What: t.What, Hint: t.Hint}
}

// write prints a card: what to do, where to touch, the answer so far, what is said
// aloud, and what may be typed.
func (l *liveCase) write(p *page, v *answer.View) {
	p.Headline("%s", v.Card.Head)
	if t := v.Target; t != nil {
		l.places(p, t)
	}
	for _, text := range v.Card.Text {
		if text != "" {
			p.Line("%s", text)
		}
	}
	for _, item := range v.Card.Items {
		p.Line("- %s", item.Words)
	}
	for _, f := range v.Card.Facts {
		p.Facts(f.Name, f.Value)
	}
	if t := v.Trouble; t != nil {
		p.Line("Take care: %s. %s", t.What, t.Hint)
	}
	if w := v.Where; w != nil && w.Best != nil {
		p.Line("After %s: %s, %s, %s", many(len(v.Readings), "reading"), w.Words, w.Radius, w.Chance)
	}
	p.Facts("say", v.Card.Speak)
	for i, o := range v.Card.Doing {
		p.Facts(optionKey(v.Card, i), strings.TrimSuffix(o.Words+", "+o.Note, ", "))
	}
	if v.CanUndo {
		p.Facts("u", "take back the last step")
	}
	p.Facts("meter", v.Meter.Words)
	fmt.Fprintln(p.out)
}

// places prints where the tips go, on a terminal in large letters.
func (l *liveCase) places(p *page, t *answer.Target) {
	if t.Turn != "" {
		p.Line("%s", t.Turn)
	}
	tips := []struct {
		name string
		at   *answer.SpotWords
	}{{"current in", t.ClipRed}, {"current out", t.ClipBlk}, {"red", &t.Red}, {"black", &t.Black}}
	for _, tip := range tips {
		if tip.at == nil {
			continue
		}
		if l.OutTTY {
			for _, row := range largeWords(tip.at.Place, p.wide()-2) {
				fmt.Fprintf(p.out, "  %s\n", row)
			}
		}
		p.Facts(tip.name, fmt.Sprintf("%s: %s, on %s", tip.at.Place, tip.at.Words, tip.at.Net))
	}
}

// optionKey is what is typed for an option: the first that the one key does is Enter.
func optionKey(c answer.Card, n int) string {
	for i, o := range c.Doing[:n+1] {
		if !o.Aside {
			if i == n {
				return "Enter"
			}
			break
		}
	}
	return "/" + fmt.Sprint(n+1)
}

// typed does what a line says: an option, u for the last step, or a value.
func (l *liveCase) typed(line string) {
	v := l.j.View()
	a := answer.Act{Do: "value", Text: line}
	if line == "u" {
		a = answer.Act{Do: "undo"}
	}
	for i, o := range v.Card.Doing {
		if key := optionKey(v.Card, i); key == line || key == "Enter" && line == "" {
			a = o.Act
			break
		}
	}
	if a.Do == "value" && line == "" {
		return
	}
	a.Revision = v.Revision
	if err := l.j.Do(a); err != nil {
		what, hint := err.Error(), ""
		if known := (*answer.Error)(nil); errors.As(err, &known) {
			hint = known.Hint
		}
		l.print("\n", fmt.Sprintf("  Not taken: %s. %s\n", oneLine(what), oneLine(hint)))
	}
}

// bigLetters are three to five columns and five rows each.
var bigLetters = map[rune][5]string{
	'A': {" █ ", "█ █", "███", "█ █", "█ █"}, 'B': {"██ ", "█ █", "██ ", "█ █", "██ "},
	'C': {"███", "█  ", "█  ", "█  ", "███"}, 'D': {"██ ", "█ █", "█ █", "█ █", "██ "},
	'E': {"███", "█  ", "██ ", "█  ", "███"}, 'F': {"███", "█  ", "██ ", "█  ", "█  "},
	'G': {"███", "█  ", "█ █", "█ █", "███"}, 'H': {"█ █", "█ █", "███", "█ █", "█ █"},
	'I': {"███", " █ ", " █ ", " █ ", "███"}, 'J': {"  █", "  █", "  █", "█ █", "███"},
	'K': {"█ █", "█ █", "██ ", "█ █", "█ █"}, 'L': {"█  ", "█  ", "█  ", "█  ", "███"},
	'M': {"█   █", "██ ██", "█ █ █", "█   █", "█   █"}, 'N': {"█  █", "██ █", "█ ██", "█  █", "█  █"},
	'O': {"███", "█ █", "█ █", "█ █", "███"}, 'P': {"███", "█ █", "███", "█  ", "█  "},
	'Q': {"████", "█  █", "█  █", "█ ██", "████"}, 'R': {"███", "█ █", "██ ", "█ █", "█ █"},
	'S': {" ██", "█  ", " █ ", "  █", "██ "}, 'T': {"███", " █ ", " █ ", " █ ", " █ "},
	'U': {"█ █", "█ █", "█ █", "█ █", "███"}, 'V': {"█ █", "█ █", "█ █", "█ █", " █ "},
	'W': {"█   █", "█   █", "█ █ █", "██ ██", "█   █"}, 'X': {"█ █", "█ █", " █ ", "█ █", "█ █"},
	'Y': {"█ █", "█ █", " █ ", " █ ", " █ "}, 'Z': {"███", "  █", " █ ", "█  ", "███"},
}

// largeWords sets a place in large letters; none where one has no such form, or the
// row is too long.
func largeWords(text string, wide int) []string {
	rows := make([]string, 5)
	for _, r := range strings.ToUpper(text) {
		form, known := bigFigures[r]
		if !known {
			form, known = bigLetters[r]
		}
		if !known {
			return nil
		}
		for i := range rows {
			rows[i] += form[i] + " "
		}
	}
	if utf8.RuneCountInString(rows[0]) > wide {
		return nil
	}
	return rows
}
