package session

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
	"ohmward/unit"
)

// lookBegun begins the first look on offer, after some readings.
func lookBegun(t *testing.T, j *Session, values ...string) *answer.View {
	t.Helper()
	for _, value := range values {
		must(t, j, answer.Act{Do: "read"})
		must(t, j, answer.Act{Do: "value", Text: value})
	}
	must(t, j, answer.Act{Do: "mend"})
	at := slices.IndexFunc(j.moves(), func(m answer.Repair) bool { return m.What == "clean and look" })
	if at < 0 {
		t.Fatalf("no look on offer: %+v", j.moves())
	}
	must(t, j, answer.Act{Do: "move", N: at})
	return must(t, j, answer.Act{Do: "start"})
}

// near tells whether a site lies at a place as a case file has it.
func (j *Session) near(s answer.Site, place string) bool {
	at, _, err := j.pair.PlaceOf(place)
	if err != nil {
		panic(err)
	}
	x, y := at.MM()
	return engine.HypotMM((s.X+s.X2)/2-x, (s.Y+s.Y2)/2-y) < 1.6
}

// TestSeenSettlesPlace: who sees what bridges is asked where and what; the next card
// works on that place, the answer is there, and what was seen stays through rework,
// proof and record.
func TestSeenSettlesPlace(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	lookBegun(t, j, "18.7m")
	v := must(t, j, answer.Act{Do: "outcome", Text: "bridge"})
	if v.Step != stepSeen || len(v.Card.Doing) < 2 || v.Card.Doing[0].Act.Do != "seen-at" || len(v.Findings) > 0 {
		t.Fatalf("at %s: %+v", v.Step, v.Card)
	}
	where := v.Card.Doing[1].Act
	if v = must(t, j, where); v.Step != stepSeen || len(v.Card.Doing) != len(record.Substances) {
		t.Fatalf("at %s: %+v", v.Step, v.Card)
	}
	v = must(t, j, answer.Act{Do: "seen-what", Text: "solder"})
	first := j.moves()[0]
	if v.Step != stepRepair || first.Site == 0 || first.What == "clean and look" || !j.near(j.answer.Sites[first.Site-1], where.Place) {
		t.Errorf("at %s: first of all %+v", v.Step, first)
	}
	if !j.near(v.Where.Best.Site, where.Place) {
		t.Errorf("the answer is at %.1f,%.1f, seen at %s", v.Where.Best.X, v.Where.Best.Y, where.Place)
	}
	if text := strings.Join(v.Card.Text, " "); !strings.Contains(text, "Seen: solder ") {
		t.Errorf("the card says %q", text)
	}
	if v = must(t, j, answer.Act{Do: "start"}); !strings.Contains(strings.Join(v.Card.Text, " "), "Seen: solder ") {
		t.Errorf("with the iron in the hand the card says %q", v.Card.Text)
	}
	must(t, j, answer.Act{Do: "outcome", Text: "open"})
	if v = proves(t, j); !strings.HasPrefix(v.Card.Doing[0].Words, "I saw it: solder ") {
		t.Errorf("causes on offer: %+v", v.Card.Doing)
	}
	must(t, j, v.Card.Doing[0].Act)
	if v = must(t, j, answer.Act{Do: "close", Text: closeUndone}); !strings.HasPrefix(v.Card.Text[0], "Cause seen: solder ") {
		t.Errorf("closed: %q", v.Card.Text)
	}
	c, err := record.Read(j.c.File)
	if err != nil {
		t.Fatal(err)
	}
	if f := c.Findings[1]; f.Done != "looked" || f.Seen != "bridge" || f.What != "solder" || f.Place != where.Place || c.Steps.Cause != "seen" {
		t.Errorf("on record: %+v, cause %s", f, c.Steps.Cause)
	}
}

// TestSeenTapped: a place tapped on the board will do; none on the board will not.
func TestSeenTapped(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	lookBegun(t, j, "18.7m")
	must(t, j, answer.Act{Do: "outcome", Text: "bridge"})
	refused(t, j, answer.Act{Do: "seen-at", Place: "L9@1,1"})
	refused(t, j, answer.Act{Do: "seen-what", Text: "solder"})
	must(t, j, answer.Act{Do: "seen-at", Place: "L1@2.0000,2.0000"})
	refused(t, j, answer.Act{Do: "seen-what", Text: "magic"})
	v := must(t, j, answer.Act{Do: "seen-what", Text: "strand"})
	if text := strings.Join(v.Card.Text, " "); v.Card.Tone != "care" || !strings.Contains(text, "no place where the two nets could touch is listed there") || strings.Contains(text, "L1@") {
		t.Errorf("far from any place: %s, %q", v.Card.Tone, text)
	}
}

// TestReadingsAgainstSeen: readings that do not suit the place that was seen say so on
// the card, with the reading; what was seen can be said otherwise, and taken out.
func TestReadingsAgainstSeen(t *testing.T) {
	j := begun(t, newTestShelf(t, t.TempDir()))
	for range 4 {
		must(t, j, answer.Act{Do: "read"})
		must(t, j, answer.Act{Do: "touch"})
	}
	best := j.answer.Best.Site
	lookBegun(t, j)
	must(t, j, answer.Act{Do: "outcome", Text: "bridge"})
	x, y, far := 0.0, 0.0, 0.0 // of the place in sight farthest from the answer
	for _, s := range j.pair.Sites {
		sx, sy := s.Mid()
		if mm := engine.HypotMM(sx-best.X, sy-best.Y); s.LayerA == 0 && s.Kind == suspect.Gap && mm > far {
			x, y, far = sx, sy, mm
		}
	}
	t.Logf("seen %.0f mm from the answer", far)
	place := fmt.Sprintf("L1@%.3f,%.3f", x, y)
	must(t, j, answer.Act{Do: "seen-at", Place: place})
	v := must(t, j, answer.Act{Do: "seen-what", Text: "solder"})
	text := strings.Join(v.Card.Text, " ")
	if v.Card.Tone != "care" || !strings.Contains(text, "the readings do not suit that place, reading ") {
		t.Fatalf("at %s: %q", v.Step, text)
	}
	v = must(t, j, answer.Act{Do: "see-again"})
	if v.Step != stepSeen || sightOf(j.c) >= 0 {
		t.Fatalf("at %s with %v", v.Step, v.Findings)
	}
	if v = must(t, j, answer.Act{Do: "saw", Text: "nothing"}); v.Step == stepSeen || sightOf(j.c) >= 0 || j.c.Steps.Doing != nil {
		t.Errorf("at %s with %v", v.Step, v.Findings)
	}
}

// TestValueWhileLooking: a value typed during a look is recorded, and then it is asked
// what was seen; an open one leads on to the proof.
func TestValueWhileLooking(t *testing.T) {
	for _, c := range []struct{ value, saw, short string }{{"19.5m", "nothing", "remains"}, {"OL", "bridge", "open"}} {
		j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
		v := lookBegun(t, j, "18.7m")
		last := j.c.Readings[0]
		if v.Card.Entry == nil || !strings.Contains(v.Card.Entry.Label, last.From) {
			t.Fatalf("asks for %+v", v.Card.Entry)
		}
		v = must(t, j, answer.Act{Do: "value", Text: c.value})
		want := 1
		if c.short == "remains" {
			want = 2
		}
		if v.Step != stepSeen || len(j.c.Readings) != want || j.c.Findings[0].Done != "cleaned" || j.c.Findings[0].Short != c.short {
			t.Fatalf("%s: at %s with %+v, %+v", c.value, v.Step, j.c.Readings, j.c.Findings)
		}
		if r := j.c.Readings[want-1]; want == 2 && (r.Ohms != unit.Resistance(19.5e-3) || r.From != last.From || r.To != last.To) {
			t.Errorf("recorded %+v", r)
		}
		v = must(t, j, answer.Act{Do: "saw", Text: c.saw})
		if c.saw == "bridge" {
			must(t, j, v.Card.Doing[0].Act)
			v = must(t, j, answer.Act{Do: "seen-what", Text: "dirt"})
		}
		f := j.c.Findings[len(j.c.Findings)-1]
		if len(j.c.Findings) != 2 || f.Done != "looked" || f.Seen != c.saw || (v.Step == stepCool) != (c.short == "open") {
			t.Errorf("%s: at %s with %+v", c.value, v.Step, j.c.Findings)
		}
	}
}

// TestUndoSeen: each answer about a look is taken back by itself.
func TestUndoSeen(t *testing.T) {
	j := typedOn(t, newTestShelf(t, t.TempDir()), 2)
	lookBegun(t, j, "18.7m")
	must(t, j, answer.Act{Do: "value", Text: "19.5m"})
	v := must(t, j, answer.Act{Do: "saw", Text: "bridge"})
	must(t, j, v.Card.Doing[0].Act)
	var asks []string
	for range 3 {
		must(t, j, answer.Act{Do: "undo"})
		asks = append(asks, j.c.Steps.Seeing.Asks)
	}
	if !slices.Equal(asks, []string{"where", "look", ""}) || j.View().Step != stepRework || len(j.c.Readings) != 1 || len(j.c.Findings) != 0 {
		t.Errorf("taken back to %q at %s, with %+v", asks, j.View().Step, j.c.Findings)
	}
}
