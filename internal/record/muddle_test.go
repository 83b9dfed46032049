package record

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ohmward/internal/check"
	"ohmward/unit"
)

// TestNothingHangsBeside: three benches without a lease, kills between journal and
// file, edits and restored files, looks whose answer comes late: whatever they do one
// after the other, once the last conflict is settled every confirmed act is kept (see
// kept), and no more than a few presses settle all.
func TestNothingHangsBeside(t *testing.T) {
	var sum struct{ acts, presses, refused int }
	for seed := range check.Draws(t, 20, 60, 1000) {
		m := newMuddle(t, uint64(seed))
		for range 40 {
			m.step()
		}
		m.end()
		acts := kept(t, m.path)
		for _, act := range m.confirmed {
			if !acts[act] {
				t.Fatalf("seed %d: %s is lost; done: %s", seed, act, strings.Join(m.done, ", "))
			}
		}
		sum.acts, sum.presses, sum.refused = sum.acts+len(m.confirmed), sum.presses+m.presses, sum.refused+m.refused
	}
	t.Logf("%d acts confirmed, %d conflicts settled, %d refused, none lost", sum.acts, sum.presses, sum.refused)
	if sum.acts == 0 || sum.presses == 0 || sum.refused == 0 {
		t.Error("it tried too little")
	}
}

// muddle is three benches on one case file, and hands.
type muddle struct {
	*rand.Rand
	t       *testing.T
	path    string
	benches [3]struct {
		s    *Store
		c    *Case
		told *Foreign // looked at, not answered yet
	}
	n                int
	confirmed, done  []string
	texts            []string // that the file held
	presses, refused int
}

func newMuddle(t *testing.T, seed uint64) *muddle {
	m := &muddle{Rand: rand.New(rand.NewPCG(seed, 13)), t: t, path: filepath.Join(t.TempDir(), "case.toml")}
	if err := create(m.path, &Case{Board: Demo, Nets: [2]string{"A", "B"}, Steps: &Steps{}}); err != nil {
		t.Fatal(err)
	}
	for i := range m.benches {
		m.open(i)
	}
	return m
}

func (m *muddle) open(i int) {
	s, c, err := OpenStore(m.path, bench(fmt.Sprint("bench ", i)))
	if err != nil {
		m.t.Fatal(err)
	}
	m.benches[i].s, m.benches[i].c, m.benches[i].told = s, c, nil
}

func (m *muddle) step() {
	i := m.IntN(len(m.benches))
	m.texts = append(m.texts, content(m.t, m.path))
	switch do := m.IntN(16); {
	case do < 6:
		m.note("act", i)
		m.act(i)
	case do < 9:
		m.note("look", i)
		m.look(i)
	case do < 12:
		m.note("answer", i)
		m.answer(i)
	case do == 12:
		m.note("open", i)
		m.open(i)
	case do == 13:
		m.note("cut off", i)
		cutOffAct(m.t, m.path, "cut", m.change)
	case do == 14:
		m.note("edit", i)
		m.hand(strings.Replace(content(m.t, m.path), "board", fmt.Sprintf("# %d\nboard", m.n), 1))
	case do == 15:
		m.note("restore", i)
		m.hand(m.texts[m.IntN(len(m.texts))])
	}
}

func (m *muddle) note(what string, i int) { m.done = append(m.done, fmt.Sprint(what, " ", i)) }

func (m *muddle) hand(text string) { putBack(m.t, m.path, text, time.Now()) }

// change adds a reading of its own value, or one and takes the first away.
func (m *muddle) change(c *Case) {
	m.n++
	c.Readings = append(slices.Clone(c.Readings), Reading{From: "A", To: "B", Ohms: unit.Resistance(m.n)})
	if len(c.Readings) > 1 && m.IntN(2) == 0 {
		c.Readings = c.Readings[1:]
	}
}

func (m *muddle) act(i int) {
	b := &m.benches[i]
	next, steps := *b.c, *b.c.Steps
	next.Steps = &steps
	next.Steps.Revision++
	m.change(&next)
	act := fmt.Sprint("act ", m.n)
	if err := b.s.Commit(&next, act); !m.refuses(err) {
		m.confirmed = append(m.confirmed, fmt.Sprintf("%q", act))
		b.c = &next
	}
}

// refuses tells whether something was refused since the case has moved on.
func (m *muddle) refuses(err error) bool {
	if err != nil && !errors.Is(err, ErrChanged) {
		m.t.Fatal(err)
	}
	if err != nil {
		m.refused++
	}
	return err != nil
}

func (m *muddle) look(i int) { m.benches[i].told = looked(m.t, m.benches[i].s, m.benches[i].c) }

// answer settles what the last look told, as a session or its person does.
func (m *muddle) answer(i int) {
	b := &m.benches[i]
	f := b.told
	if f == nil {
		return
	}
	b.told = nil
	if !f.OnlyAdds && !f.Follows {
		m.presses++
		if m.IntN(2) == 0 {
			m.refuses(b.s.Overrule(f, b.c))
			return
		}
	}
	if !m.refuses(b.s.Adopt(f)) {
		b.c = f.Case
	}
}

// end settles what is left, by one bench that is opened anew.
func (m *muddle) end() {
	m.open(0)
	for range 20 {
		if m.look(0); m.benches[0].told == nil {
			return
		}
		m.answer(0)
	}
	m.t.Fatalf("never settled: %s", strings.Join(m.done, ", "))
}
