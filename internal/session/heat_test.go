package session

import (
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// TestHeatsCounted: a rework act says which heat it is for its pads; hot air
// counts for the neighbours; at the second heat it warns, and a third is not
// begun by the one key. The counts come back from the case file.
func TestHeatsCounted(t *testing.T) {
	dir := t.TempDir()
	j := begun(t, newTestShelf(t, dir))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	off := record.Doing{Done: "removed", Part: "U1"}
	j.mu.Lock()
	h := j.heatsOf(off)
	j.mu.Unlock()
	if h.own != 1 || h.beside != 1 || !h.air || h.care() != "" || !slices.Contains(h.besideNames, "R22") {
		t.Errorf("the first: %+v, %q", h, h.care())
	}
	heat := func(d record.Doing) {
		t.Helper()
		must(t, j, answer.Act{Do: "mend"})
		j.mu.Lock()
		next := clone(j.c)
		next.Steps.Doing = &d
		err := j.save(next, answer.Act{Do: "start"})
		j.mu.Unlock()
		if err != nil {
			t.Fatal(err)
		}
		must(t, j, answer.Act{Do: "outcome", Text: "remains"})
	}
	heat(record.Doing{Done: "reflowed", Part: "R22"})
	heat(record.Doing{Done: "wicked", Place: "L1@31.580,25.697"})
	c, err := record.Read(j.c.File)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(c.Findings); n != 2 || !slices.Equal(c.Findings[0].Heated, []string{"R22"}) || !slices.Contains(c.Findings[1].Heated, "U1.41") {
		t.Fatalf("the file has %+v", c.Findings)
	}
	j.mu.Lock()
	h = j.heatsOf(off)
	j.mu.Unlock()
	if h.own != 2 || h.beside != 2 || !strings.HasPrefix(h.care(), "The second heat on the pads of U1") {
		t.Errorf("the second: %+v, %q", h, h.care())
	}
	if text := h.fact(j.pair.Board)[0].Value; !strings.Contains(text, "second on U1; second on R22 beside it, by hot air; the factory's oven once") {
		t.Errorf("said as %q", text)
	}
	heat(record.Doing{Done: "reflowed", Part: "R22"})
	card := answer.Card{}
	j.mu.Lock()
	again := j.beginOption(answer.Repair{What: "remove", Part: "R22"}, &card)
	j.mu.Unlock()
	if !again.Aside || card.Tone != "care" || !strings.Contains(strings.Join(card.Text, " "), "Stop: this would be the third heat on the pads of R22") {
		t.Errorf("a third heat is offered as %+v, %+v", again, card)
	}
}

// TestHeatsUnsaid: a finding that does not list whose pads it heated counts for
// those that its action heats; a look heats none.
func TestHeatsUnsaid(t *testing.T) {
	d, err := LoadBoard(t.Context(), record.Demo, engine.Options{Cache: shared})
	if err != nil {
		t.Fatal(err)
	}
	had := d.HeatCounts([]record.Finding{{Done: "removed", Part: "C7"}, {Done: "looked", Part: "C7"}, {Done: "cleaned", Part: "C7"}, {Done: "wicked", Part: "C9", Heated: []string{"C7.1"}}})
	if n := had.Of(d.Board, "C7"); n != 2 {
		t.Errorf("C7 was heated %d times", n)
	}
	if n := had.Of(d.Board, "C7.2"); n != 1 {
		t.Errorf("C7.2 was heated %d times", n)
	}
	if n := had.Of(d.Board, "C9"); n != 0 {
		t.Errorf("C9 was heated %d times", n)
	}
}

// TestCautionsOnce: what to heed before heat comes at the first move that it
// matters for and never again, and a caution speaks of the part at hand.
func TestCautionsOnce(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	j.mu.Lock()
	defer j.mu.Unlock()
	said := func(done, part string, before ...record.Finding) string {
		j.c = clone(j.c)
		j.c.Findings = before
		return strings.Join(j.howWords(record.Doing{Done: done, Part: part}), " ")
	}
	clean := record.Finding{Done: "cleaned", Part: "U5"}
	for _, c := range []struct{ what, first, later string }{
		{"flux fumes", said("wicked", "R5", clean), said("wicked", "R5", clean, record.Finding{Done: "reflowed", Part: "R1"})},
		{"alcohol dry", said("wicked", "R5", clean), said("wicked", "R5", clean, record.Finding{Done: "reflowed", Part: "R1"})},
		{"Hot air at 350 °C", said("removed", "U5"), said("removed", "U5", record.Finding{Done: "removed", Part: "U1"})},
		{"ceramic capacitor", said("removed", "C7"), said("removed", "U5")},
		{"Its tabs sit", said("removed", "J2"), said("removed", "R5")},
	} {
		if strings.Count(c.first, c.what) != 1 || strings.Contains(c.later, c.what) {
			t.Errorf("%s: first %q, later %q", c.what, c.first, c.later)
		}
	}
	if text := said("cleaned", "U5"); strings.Contains(text, "fumes") || strings.Contains(text, "alcohol dry") {
		t.Errorf("before a look: %q", text)
	}
	if n := strings.Count(strings.Join(cautions, " "), "Never burn the short out"); n != 1 {
		t.Errorf("burning it out is warned of %d times before any probe", n)
	}
}

// TestCoolingCountsDown: after heat the time to cool is counted down with what is
// left to do; where nothing was heated, none is asked for.
func TestCoolingCountsDown(t *testing.T) {
	var seconds atomic.Int64
	s, err := OpenFolder(t.TempDir(), FolderOptions{Options: engine.Options{Cache: shared}, Pace: time.Millisecond,
		Now: func() time.Time { return time.Date(2026, 3, 2, 14, 0, int(seconds.Load()), 0, time.UTC) }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	j := typedOn(t, s, 2)
	must(t, j, answer.Act{Do: "value", Text: "18.7m"})
	must(t, j, answer.Act{Do: "mend"})
	must(t, j, answer.Act{Do: "start"})
	if v := must(t, j, answer.Act{Do: "outcome", Text: "open"}); v.Step != stepCool || !strings.HasPrefix(v.Card.Text[0], "Nothing was heated") {
		t.Fatalf("after a look, at %s: %q", v.Step, v.Card.Text)
	}
	must(t, j, answer.Act{Do: "undo"})
	heated := -1
	for i, m := range j.moves() {
		if engine.Heats(actionOf[m.What]) && m.What != "split" {
			heated = i
		}
	}
	must(t, j, answer.Act{Do: "mend"})
	must(t, j, answer.Act{Do: "move", N: heated})
	must(t, j, answer.Act{Do: "start"})
	must(t, j, answer.Act{Do: "outcome", Text: "open"})
	for _, c := range []struct {
		after int64
		want  string
	}{{0, "about two minutes"}, {40, "about a minute"}, {90, "half a minute"}, {130, "two minutes are over"}} {
		seconds.Store(c.after)
		if text := j.View().Card.Text[0]; !strings.Contains(text, c.want) || !strings.Contains(text, "both leads touch") {
			t.Errorf("after %d s: %q, want %q", c.after, text, c.want)
		}
	}
}
