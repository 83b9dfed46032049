package session

import (
	"strings"
	"sync"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// asking gives a case on the demo that is at its first question about metal, in a
// folder without a cache.
func asking(t testing.TB) *Session {
	t.Helper()
	s, err := OpenFolder(t.TempDir(), FolderOptions{Pace: time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	id, err := s.BeginOn(record.Demo)
	if err != nil {
		t.Fatal(err)
	}
	j, err := s.Open(id)
	if err != nil {
		t.Fatal(err)
	}
	settled(t, j)
	for _, net := range []string{"+3V3_RF", "GND"} {
		if err := j.Do(answer.Act{Do: "pick", Text: net}); err != nil {
			t.Fatal(err)
		}
	}
	return j
}

// answered answers the questions about metal, yes but for one, and gives the stages
// of work that were shown after the last answer.
func answered(t testing.TB, j *Session, but string) (stages []string) {
	t.Helper()
	do := func(a answer.Act) {
		a.Revision = settled(t, j).Revision
		if err := j.Do(a); err != nil {
			t.Fatal(err)
		}
	}
	do(answer.Act{Do: "nets"})
	told, end := j.Watch()
	defer end()
	var mu sync.Mutex
	over := make(chan struct{})
	seen := make(chan struct{})
	go func() {
		defer close(seen)
		for {
			select {
			case <-told:
				mu.Lock()
				if v := j.View(); v.Busy != "" {
					stages = append(stages, v.Busy)
				}
				mu.Unlock()
			case <-over:
				return
			}
		}
	}()
	for {
		v := settled(t, j)
		if v.Step != stepMetal {
			break
		}
		text := "yes"
		if strings.Contains(v.Card.Head, but) && but != "" {
			text = "no"
		}
		do(answer.Act{Do: "metal", Text: text})
	}
	close(over)
	<-seen
	return stages
}

// TestWorkAhead: from the second net on the copper is solved while the questions
// about metal are answered, so that nothing is solved after the last of them; an
// unexpected answer has the same answer as if nothing had been begun.
func TestWorkAhead(t *testing.T) {
	if testing.Short() {
		t.Skip("solves the demo's ground without a cache: left out of -short")
	}
	j := asking(t)
	j.mu.Lock()
	ahead := j.ahead
	j.mu.Unlock()
	if ahead == nil {
		t.Fatal("nothing is begun with both nets picked")
	}
	<-ahead.done
	if ahead.err != nil {
		t.Fatal(ahead.err)
	}
	for _, stage := range answered(t, j, "") {
		if stage != "working out the two nets" {
			t.Errorf("after the last answer: %s", stage)
		}
	}
	if v := settled(t, j); v.Where == nil || j.answer != ahead.answer {
		t.Error("what was prepared is not what is shown")
	}
	other := asking(t)
	answered(t, other, "J3")
	v := settled(t, other)
	straight := openJob(t, other.folder, plainCase(t, other))
	want := straight.View()
	if len(v.Where.Places) == 0 || len(want.Where.Places) != len(v.Where.Places) {
		t.Fatalf("%d places, want %d", len(v.Where.Places), len(want.Where.Places))
	}
	for i, p := range v.Where.Places {
		if p != want.Where.Places[i] {
			t.Errorf("place %d is %+v, without work ahead %+v", i, p, want.Where.Places[i])
		}
	}
}

// plainCase begins a case that is where another is, its questions answered.
func plainCase(t testing.TB, j *Session) string {
	t.Helper()
	c := clone(j.c)
	c.Findings, c.Readings = nil, nil
	id, err := j.folder.begin("straight", &record.Case{Board: record.Demo, Nets: c.Nets, Meter: c.Meter, Metal: c.Metal,
		Steps: &record.Steps{Asked: c.Steps.Asked}})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// BenchmarkMetalAnswered is from the last answer about metal to the first card
// after it, with the copper solved meanwhile and without.
func BenchmarkMetalAnswered(b *testing.B) {
	for _, way := range []string{"ahead", "anew"} {
		b.Run(way, func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				j := asking(b)
				j.mu.Lock()
				ahead := j.ahead
				j.mu.Unlock()
				<-ahead.done
				if way == "anew" {
					_ = j.locked(func() error { j.dropAhead(); return nil })
				}
				a := answer.Act{Do: "nets"}
				for {
					v := settled(b, j)
					if a.Revision = v.Revision; j.board.lastMetal(j.c, a) {
						break
					}
					if err := j.Do(a); err != nil {
						b.Fatal(err)
					}
					if a = (answer.Act{Do: "metal", Text: "yes"}); way == "anew" {
						_ = j.locked(func() error { j.dropAhead(); return nil })
					}
				}
				b.StartTimer()
				if err := j.Do(a); err != nil {
					b.Fatal(err)
				}
				settled(b, j)
			}
		})
	}
}

// lastMetal tells whether an act answers the last question about metal.
func (d *LoadedBoard) lastMetal(c *record.Case, a answer.Act) bool {
	m := d.metalToAsk(c)
	if a.Do != "metal" || m == nil {
		return false
	}
	next := clone(c)
	next.Metal = append(next.Metal, record.Metal{Part: m.Part, Net: m.Net})
	return d.metalToAsk(next) == nil
}
