package bench

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/picture"
	"ohmward/internal/record"
)

// opened opens a case on the demo board and weighs it as it stands.
func opened(t *testing.T, text string) (*engine.Locator, *locate.Posterior, *answer.Location) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "case.toml")
	text = "board = '" + filepath.Join(check.Root(t), "demo", "board") + "'\n" + text
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
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
