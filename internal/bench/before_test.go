package bench

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/check"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/picture"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// written writes a case on the demo board and gives its file.
func written(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "case.toml")
	text = "board = '" + filepath.Join(check.Root(t), "demo", "board") + "'\n" + text
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// opened opens a case on the demo board and weighs it as it stands.
func opened(t *testing.T, text string) (*engine.Locator, *locate.Posterior, *answer.Location) {
	t.Helper()
	path := written(t, text)
	c, err := record.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := engine.Open(context.Background(), c.BoardPath(), withStore())
	if err != nil {
		t.Fatal(err)
	}
	w, err := p.Locator(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	if w.Meter, err = engine.MeterOf(c.Meter); err != nil {
		t.Fatal(err)
	}
	if err := w.TakeAll(c); err != nil {
		t.Fatal(err)
	}
	a, post, err := Answer(w)
	if err != nil {
		t.Fatal(err)
	}
	return w, post, a
}

// TestBeforeReading: with no reading that sees the short nothing is found; the picture
// rings nothing and says where to touch first.
func TestBeforeReading(t *testing.T) {
	const nets = "nets = ['+3V3', 'NRST']\n"
	for name, text := range map[string]string{
		"none":   nets,
		"copper": nets + "[[reading]]\nfrom = 'C5.1'\nto = 'R5.2'\nohms = 0.02\n",
		"a look": nets + "[[finding]]\npart = 'R5'\ndone = 'looked'\nseen = 'bridge'\n",
	} {
		t.Run(name, func(t *testing.T) {
			w, post, a := opened(t, text)
			if a.Fit.Verdict != answer.NoReading || a.Fit.WorstReading != nil || len(a.Repair) > 0 || a.Enough {
				t.Errorf("fit %+v, repair %v, enough %v", a.Fit, a.Repair, a.Enough)
			}
			all, err := Suspects(context.Background(), engine.DemoName, []string{"+3V3", "NRST"}, withStore())
			if err != nil || a.Best != nil || a.Places != len(a.Sites) || name == "none" && a.Places != len(all.Sites) {
				t.Errorf("%v: %d places, %d listed, best %v; suspects lists %d", err, a.Places, len(a.Sites), a.Best,
					len(all.Sites))
			}
			s := Scene(w, post, a)
			if s.Best != nil || len(s.Next) != 2 {
				t.Errorf("ring %+v, next %+v", s.Best, s.Next)
			}
			want := "No reading yet. First touch " + a.Next[0].From + " and " + a.Next[0].To + "."
			if s.Caption != want {
				t.Errorf("caption %q, want %q", s.Caption, want)
			}
			var svg strings.Builder
			if err := picture.SVG(&svg, s); err != nil {
				t.Fatal(err)
			}
			if strings.Contains(svg.String(), "chances") || !strings.Contains(svg.String(), want) {
				t.Error("the picture says what is not known, or not where to touch")
			}
		})
	}
}

// TestUnknownPart: a finding on a part that the board does not have is an
// error that says where and names the nearest.
func TestUnknownPart(t *testing.T) {
	for part, want := range map[string]string{
		"R55":  "no part R55: did you mean R5",
		"c33":  "no part c33: did you mean C33",
		"WXYZ": "no part WXYZ",
	} {
		for _, done := range []string{"removed", "cleaned", "split"} {
			path := written(t, "nets = ['+3V3', 'NRST']\n[[finding]]\npart = '"+part+"'\ndone = '"+done+
				"'\nshort = 'remains'\n")
			_, err := Locate(context.Background(), path, "", withStore())
			if err == nil || !strings.Contains(err.Error(), "case.toml:3: ") || !strings.HasSuffix(err.Error(), want) {
				t.Errorf("%s %s: %v, want %s", part, done, err, want)
			}
		}
	}
}

// TestMountingHole: a place in a hole is told as the hole's rim, and in an
// unplated one as having none.
func TestMountingHole(t *testing.T) {
	demo := filepath.Join(check.Root(t), "demo", "board")
	_, err := Resistance(context.Background(), demo, []answer.Pair{{From: "L1@3.6,3.5", To: "C5.2"}}, withStore())
	if err == nil || !strings.Contains(err.Error(), "in an unplated hole of 3.2 mm, which has no copper rim") {
		t.Errorf("unplated: %v", err)
	}
	plated := filepath.Join(check.Shared(t), "checks", "boards", "glasgow-revc0")
	a, err := Board(context.Background(), plated, []string{"L1@54,-75", "L4@54.9,-75.2", "L1@56.1,-75"}, withStore())
	if err != nil {
		t.Fatal(err)
	}
	for i, rim := range []bool{true, true, false} {
		if at := a.At[i]; at.Rim != rim || at.Net == nil {
			t.Errorf("place %d: %+v, rim %v", i, at, rim)
		}
	}
}

// TestCaption: "nine chances in ten" is said of one short alone, and of a
// radius that holds them; inside a part there are no millimetres.
func TestCaption(t *testing.T) {
	gap := suspect.Site{Kind: suspect.Gap, Near: []string{"C7.1", "C7.2"}}
	part := suspect.Site{Kind: suspect.Part, Part: "U2", Near: []string{"U2.1", "U2.2"}}
	for _, c := range []struct {
		verdict string
		site    suspect.Site
		mass    float64
		want    string
	}{
		{answer.OneShort, gap, 0.92, "one short: C7.1 and C7.2, nine chances in ten within 0.8 mm"},
		{answer.OneShort, gap, 0.7, "one short: the best guess is C7.1 and C7.2, 60 %"},
		{answer.Disagree, gap, 0.92, "readings disagree: the best guess is C7.1 and C7.2, 60 %"},
		{answer.OneShort, part, 0.92, "one short: inside U2, 60 %"},
	} {
		a := &answer.Location{Fit: answer.Fit{Verdict: c.verdict},
			Best: &answer.Best{Site: answer.Site{Probability: 0.6}, RadiusMM: 0.8, RadiusMass: c.mass}}
		if got := caption(a, c.site); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// TestSides: each place is on the side that it is touched from; the other side
// is drawn where something is touched there, and not else.
func TestSides(t *testing.T) {
	w, post, a := opened(t, "nets = ['+3V3', 'NRST']\n")
	spot := func(layer int, x, y float64) copper.Spot {
		return copper.Spot{Layer: layer, At: geom.FromMM(x, y), Hole: -1}
	}
	next := func(s copper.Spot) mark {
		m := markOf(w, s, 0)
		m.next = true
		return m
	}
	top, bottom := next(spot(0, 10, 10)), next(spot(1, 20, 20))
	rim := spot(1, 30, 30)
	rim.Rim, rim.Hole = true, 0
	hole := next(rim)
	for _, c := range []struct {
		marks []mark
		side  board.Side
		both  bool
	}{
		{nil, board.Top, false}, {[]mark{top}, board.Top, false}, {[]mark{bottom}, board.Bottom, false},
		{[]mark{bottom, top}, board.Bottom, true}, {[]mark{hole}, board.Top, false},
		{[]mark{hole, bottom}, board.Bottom, false}, {[]mark{hole, top, bottom}, board.Top, true},
	} {
		side, both := sides(w, post, a, c.marks)
		if side != c.side || both != c.both {
			t.Errorf("%+v: side %d, both %v", c.marks, side, both)
		}
		shown := 0
		for i, at := range []board.Side{side, board.Top + board.Bottom - side} {
			s := sideScene(w, post, c.marks, at, i == 0, both)
			if s.Bottom != (at == board.Bottom) {
				t.Errorf("bottom %v on side %d", s.Bottom, at)
			}
			for _, m := range s.Next {
				shown++
				if m.At == top.At && s.Bottom || m.At == bottom.At && !s.Bottom {
					t.Errorf("%v stands on side %d", m.At, at)
				}
			}
			if i == 1 && !both && len(s.Next) > 0 {
				t.Error("a place on a side that is not drawn")
			}
		}
		if shown != len(c.marks) {
			t.Errorf("%d of %d places shown", shown, len(c.marks))
		}
	}
}
