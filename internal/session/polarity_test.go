package session

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/copper"
	"ohmward/internal/picture"
	"ohmward/internal/record"
)

// TestMoreNegative: names tell which net is the more negative, and where they
// leave a doubt.
func TestMoreNegative(t *testing.T) {
	const signal, earth, supply = copper.Signal, copper.Ground, copper.Supply
	for _, c := range []struct {
		a, b   string
		ra, rb copper.Rail
		black  int
		sure   bool
	}{
		{"+3V3", "GND", supply, earth, 1, true}, {"GND", "+3V3", earth, supply, 0, true},
		{"VCC", "AGND", supply, earth, 1, true}, {"5V", "+3V3", supply, supply, 1, true},
		{"1V8", "+3V3", supply, supply, 0, true}, {"VBAT", "+3V3", supply, supply, 1, false},
		{"-5V", "GND", supply, earth, 0, false}, {"GND", "VEE", earth, supply, 1, false},
		{"GND", "-12V", earth, supply, 1, false}, {"AMP_N5V", "GND", supply, earth, 0, false},
		{"V-", "+5V", signal, supply, 0, false}, {"GND", "NRST", earth, signal, 0, false},
		{"NRST", "+3V3", signal, supply, 0, false}, {"SDA", "SCL", signal, signal, 1, false},
		{"GND", "AGND", earth, earth, 1, false},
	} {
		p := [2]potential{potentialOf(c.a, c.ra), potentialOf(c.b, c.rb)}
		if black, sure := moreNegative(p, [2]string{c.a, c.b}); black != c.black || sure != c.sure {
			t.Errorf("%s and %s: black on %d, sure %v", c.a, c.b, black, sure)
		}
	}
}

// readyToRead begins a case on the demo that stands before its first reading.
func readyToRead(t *testing.T, s *CaseFolder, nets [2]string) *Session {
	t.Helper()
	id, err := s.begin("at the tips", &record.Case{Board: record.Demo, Nets: nets,
		Meter: record.Meter{Profile: handHeldMeter}, Nulls: []record.Null{{}},
		Steps: &record.Steps{Cautions: true, Skipped: true, Asked: []string{"J2", "J3", "J5"}}})
	if err != nil {
		t.Fatal(err)
	}
	return openJob(t, s, id)
}

// bothWays are two nets in either order; in short runs in the one that is turned.
func bothWays() [][2]string {
	list := [][2]string{{"GND", "+3V3_RF"}, {"+3V3_RF", "GND"}}
	if testing.Short() {
		return list[:1]
	}
	return list
}

// TestBlackOnGround: black goes on ground whichever net was picked first, in
// words, marks and voice; nobody is asked.
func TestBlackOnGround(t *testing.T) {
	for _, nets := range bothWays() {
		j := readyToRead(t, newTestShelf(t, t.TempDir()), nets)
		v := settled(t, j)
		if v.Step != stepRead || v.Target == nil {
			t.Fatalf("%v: at %s, %+v", nets, v.Step, v.Trouble)
		}
		red := v.Target.Red.Net // of the nets that beads join to it
		if !slices.Contains(v.Groups[v.RedGroup], red) || v.Target.Black.Net != "GND" {
			t.Errorf("%v: red on %s, black on %s", nets, v.Target.Red.Net, v.Target.Black.Net)
		}
		if slices.Contains(v.Groups[v.RedGroup], "GND") {
			t.Errorf("%v: the red net is drawn as %v", nets, v.Groups[v.RedGroup])
		}
		if !strings.HasPrefix(v.Card.Speak, "Red, "+red+", on ") ||
			!strings.Contains(v.Card.Speak, "Black, GND, on ") {
			t.Errorf("%v: spoken: %s", nets, v.Card.Speak)
		}
		if s := j.scene(); s == nil || s.Nets[0].Name != "+3V3_RF" || len(s.Next) == 0 {
			t.Errorf("%v: the picture to keep has %+v", nets, s)
		}
		v = must(t, j, answer.Act{Do: "value", Text: "18.7m"})
		if r := v.Readings[0]; r.FromBlack != (nets[0] == "GND") {
			t.Errorf("%v: the first place of the reading is black: %v", nets, r.FromBlack)
		}
	}
}

// TestPolarityAsked: of a net whose name tells nothing it is asked which is the
// more negative; the answer takes one press, is kept in the case file, and is
// what the tips go by.
func TestPolarityAsked(t *testing.T) {
	s := newTestShelf(t, t.TempDir())
	j := readyToRead(t, s, [2]string{"NRST", "GND"})
	v := settled(t, j)
	if v.Step != stepPolarity || len(v.Card.Doing) != 2 || v.Card.Doing[0].Act.Text != "GND" {
		t.Fatalf("at %s, on offer %+v", v.Step, v.Card.Doing)
	}
	if err := j.Do(answer.Act{Do: "polarity", Text: "VBAT", Revision: v.Revision}); err == nil {
		t.Error("a net of another case was taken")
	}
	v = must(t, j, v.Card.Doing[1].Act)
	if v.Target == nil || v.Target.Black.Net != "NRST" || v.Target.Red.Net != "GND" || v.RedGroup != 1 {
		t.Errorf("NRST said to be the more negative: %+v, red group %d", v.Target, v.RedGroup)
	}
	text, err := os.ReadFile(filepath.Join(s.Dir(), "cases", v.ID, "case.toml"))
	if err != nil || !strings.Contains(string(text), `black_net = "NRST"`) {
		t.Errorf("the case file has %s, %v", text, err)
	}
	readsBack(t, j, answer.Act{Do: "polarity"})
	v = must(t, j, answer.Act{Do: "undo"})
	if v.Step != stepPolarity || len(v.Nets) != 2 {
		t.Errorf("taken back, it stands at %s with nets %v", v.Step, v.Nets)
	}
	must(t, j, answer.Act{Do: "polarity", Text: "NRST"})
	c, err := record.Read(filepath.Join(s.Dir(), "cases", v.ID, "case.toml"))
	if err != nil || c.Steps.BlackNet != "NRST" {
		t.Errorf("read back: %+v, %v", c, err)
	}
}

// TestKeptPictureLeads: in the picture to keep the places of a reading have the colours
// of the tips that touched them, also where its first place is on the second net.
func TestKeptPictureLeads(t *testing.T) {
	for _, nets := range bothWays() {
		j := readyToRead(t, newTestShelf(t, t.TempDir()), nets)
		v := settled(t, j)
		red, black := v.Target.Red, v.Target.Black
		must(t, j, answer.Act{Do: "value", Text: "18.7m"})
		j.mu.Lock()
		next := clone(j.c)
		r := &next.Readings[0]
		r.From, r.To = r.To, r.From // as a hand that names the second net first would write it
		err := j.save(next, answer.Act{Do: "edit"})
		j.mu.Unlock()
		if err != nil {
			t.Fatal(err)
		}
		settled(t, j)
		s := j.scene()
		marks := slices.Clone(s.Taken)
		if s.Other != nil {
			marks = append(marks, s.Other.Taken...)
		}
		if len(marks) != 2 {
			t.Fatalf("%v: marked are %+v", nets, marks)
		}
		for _, m := range marks {
			x, y := m.At.MM()
			want := red
			if m.Lead == picture.Black {
				want = black
			}
			if math.Hypot(x-want.X, y-want.Y) > 1e-3 {
				t.Errorf("%v: lead %d stands at %.3f, %.3f; it was put on %s", nets, m.Lead, x, y, want.Words)
			}
		}
	}
}
