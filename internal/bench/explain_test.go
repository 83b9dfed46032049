package bench

import (
	"fmt"
	"strings"
	"testing"

	"ohmward/internal/engine"
	"ohmward/internal/locate"
)

// wouldRead is a two-wire reading for a short of 2 mΩ at a site.
func wouldRead(t *testing.T, w *engine.Locator, site int, from, to string) float64 {
	t.Helper()
	at, err := w.ContactsNamed(false, from, to, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := w.Predict(w.Whole(), at)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.002
	for _, row := range r.C {
		sum += row[min(site, len(row)-1)]
	}
	return sum
}

func reading(from, to string, ohms float64) string {
	return fmt.Sprintf("[[reading]]\nfrom = %q\nto = %q\nohms = %.6f\n", from, to, ohms)
}

// siteNear gives the site nearest to a point, in millimetres.
func siteNear(w *engine.Locator, x, y float64) int {
	best, least := 0, 1e9
	for i, s := range w.Sites {
		if sx, sy := s.A.MM(); engine.HypotMM(sx-x, sy-y) < least {
			best, least = i, engine.HypotMM(sx-x, sy-y)
		}
	}
	return best
}

// TestNeighbour: one reading of seven was taken a pad further on; the answer
// names that pad.
func TestNeighbour(t *testing.T) {
	if testing.Short() {
		t.Skip("weighs dozens of cases on the demo's ground: left out of -short")
	}
	w := demoLocator(t)
	site := siteNear(w, 42.67, 12.41)
	text := ""
	for _, c := range []string{"C3", "C9", "C8", "C25", "C34", "C4"} {
		from, to := c+".1", c+".2"
		if n, err := w.Resolve(from); err != nil || w.GroupOfNet(n.Net) != 0 {
			from, to = to, from
		}
		text += reading(from, to, wouldRead(t, w, site, from, to))
	}
	// Written down as taken at one pad of the chain, touched at one beside it.
	tried := 0
	for _, pin := range []string{"C9.1", "C8.1", "C34.1", "C25.1", "C7.1", "C4.1", "C12.1", "C20.1"} {
		written, err := w.Resolve(pin)
		if err != nil || w.GroupOfNet(written.Net) != 0 {
			continue
		}
		ground := strings.TrimSuffix(pin, ".1") + ".2"
		for _, pad := range w.Beside(written) {
			really := wouldRead(t, w, site, w.PlaceText(pad), ground)
			if d := really - wouldRead(t, w, site, pin, ground); d < 0.003 && d > -0.003 || tried == 6 {
				continue // not to be told apart
			}
			a := weigh(t, text+reading(pin, ground, really))
			if a.post.Fit.Verdict == locate.OneShort {
				continue // another place or thicker copper explains it as well
			}
			tried++
			want := w.PlaceText(pad) + " in place of " + pin
			got := Neighbour(a.Locator, a.post, a.PlaceText)
			_, named, _ := strings.Cut(got, "reading 7 fits if it touched ")
			touched, _, found := strings.Cut(named, " in place of ")
			if !found {
				t.Errorf("touched %s: verdict %q (%s), neighbour %q", want, a.post.Fit.Verdict, a.post.Fit.Why, got)
				continue
			}
			// Another pad may be named where it reads the same within the noise.
			first := onFirst(a, touched)
			reads := wouldRead(t, w, site, pick(first, touched, pin), pick(first, ground, touched))
			if d := reads - really; d > 0.0015 || d < -0.0015 {
				t.Errorf("touched %s, which reads %.4f ohm; named %q, which reads %.4f", want, really, got, reads)
			}
		}
	}
	if tried == 0 {
		t.Error("no two neighbouring pads tell apart: the test shows nothing")
	}
}

// onFirst tells whether a place is on the first group.
func onFirst(a *weighed, place string) bool {
	n, err := a.Resolve(place)
	return err == nil && a.GroupOfNet(n.Net) == 0
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// TestMoved: a reading that contradicts the place so far says why the answer
// moved, and by how much the reading differed.
func TestMoved(t *testing.T) {
	if testing.Short() {
		t.Skip("weighs five cases on the demo's ground: left out of -short")
	}
	w := demoLocator(t)
	site := siteNear(w, 42.67, 12.41)
	text := reading("C3.2", "C3.1", wouldRead(t, w, site, "C3.2", "C3.1"))
	moved := ""
	for _, c := range []string{"C9", "C8", "C25", "C34"} {
		from, to := c+".1", c+".2"
		if n, err := w.Resolve(from); err != nil || w.GroupOfNet(n.Net) != 0 {
			from, to = to, from
		}
		text += reading(from, to, wouldRead(t, w, site, from, to))
		a := weigh(t, text)
		x, y := a.Sites[a.post.Best.Site].Mid()
		if m := a.Moved(a.post); m != "" {
			moved = m
			if !strings.Contains(m, " moves the answer by ") {
				t.Errorf("%q", m)
			}
		}
		t.Logf("best %.1f,%.1f after %d readings: %q", x, y, len(a.Readings), a.Moved(a.post))
	}
	if moved == "" {
		t.Error("five readings from nothing to a place, and none moved the answer")
	}
}

// TestTestsOffered: before much is known, opening the bead is offered with the
// share beyond it; all have seconds, bits and a reason.
func TestTestsOffered(t *testing.T) {
	if testing.Short() {
		t.Skip("solves the demo's ground: left out of -short")
	}
	w := demoLocator(t)
	site := siteNear(w, 42.67, 12.41)
	a := weigh(t, reading("C3.2", "C3.1", wouldRead(t, w, site, "C3.2", "C3.1")))
	kinds := map[string]int{}
	for i, x := range tests(a.Locator, a.post) {
		kinds[x.Kind]++
		if x.Bits < leastBits || x.Seconds <= 0 || x.Why == "" || x.Part == "" && x.Place == "" {
			t.Errorf("test %d: %+v", i, x)
		}
		t.Logf("%+v", x)
	}
	// A split's bits: never more than one, and all of it when both sides weigh
	// alike and the outcome cannot err.
	far := make([]bool, len(a.Sites))
	ask := func(short string) locate.Finding {
		return locate.Finding{AfterReading: 1, Part: "FB1", Done: "split", Short: short, Disconnected: far}
	}
	sum := 0.0
	for i, q := range a.post.P {
		if sum+q/2 < 0.5*(1-a.post.Elsewhere) {
			far[i] = true
		}
		sum += q
	}
	if bits := a.post.ExpectedInformation([]locate.Finding{ask("remains"), ask("open")}); bits < 0.75 || bits > 1 {
		t.Errorf("a split into halves is worth %.3f bits", bits)
	}
}
