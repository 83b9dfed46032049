package session

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
)

// BenchmarkTyped is a typed reading to the answer that the page shows, on a
// plane of the largest of the shared boards: the first reading, the second and
// the third, with the tips long under way.
func BenchmarkTyped(b *testing.B) {
	j := typedJob(b)
	for k, text := range []string{"61.3m", "58.8m", "63.1m"} {
		b.Run(fmt.Sprintf("reading=%d", k+1), func(b *testing.B) {
			b.ReportAllocs()
			var spent time.Duration
			for b.Loop() {
				b.StopTimer()
				for len(rested(b, j).Readings) > k {
					actOn(b, j, answer.Act{Do: "undo"})
				}
				rested(b, j)
				from := check.ProcessorTime()
				b.StartTimer()
				actOn(b, j, answer.Act{Do: "value", Text: text})
				if _, err := json.Marshal(j.View()); err != nil {
					b.Fatal(err)
				}
				spent += check.ProcessorTime() - from
			}
			b.ReportMetric(float64(spent.Microseconds())/1e3/float64(b.N), "cpu-ms/op")
		})
		actOn(b, j, answer.Act{Do: "value", Text: text})
	}
}

// typedJob is a case on a plane of a shared board, ready for its first reading.
func typedJob(b *testing.B) *Session {
	b.Helper()
	s, err := OpenFolder(b.TempDir(), FolderOptions{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(s.Close)
	id, err := s.BeginOn(filepath.Join(check.Shared(b), "checks", "boards", "orangecrab"))
	if err != nil {
		b.Fatal(err)
	}
	j, err := s.Open(id)
	if err != nil {
		b.Fatal(err)
	}
	actOn(b, j, answer.Act{Do: "nets", Nets: []string{"GND", "P1.1V"}})
	for rested(b, j).Step == stepMetal {
		actOn(b, j, answer.Act{Do: "metal", Text: "no"})
	}
	for _, a := range []answer.Act{{Do: "cautions"}, {Do: "pass-swap"}, {Do: "nulled"}} {
		actOn(b, j, a)
	}
	return j
}

// actOn carries out an act on a job at rest.
func actOn(b *testing.B, j *Session, a answer.Act) {
	b.Helper()
	a.Revision = rested(b, j).Revision
	if a.Do == "value" && j.View().Step == stepRepair {
		j.Do(answer.Act{Do: "read", Revision: a.Revision})
		a.Revision++
	}
	if err := j.Do(a); err != nil {
		b.Fatalf("%s: %v", a.Do, err)
	}
}

// rested waits until a job is done with what it is at, the next reading's
// predictions among it.
func rested(b *testing.B, j *Session) *answer.View {
	b.Helper()
	v := settled(b, j)
	if v.Trouble != nil {
		b.Fatal(v.Trouble.What)
	}
	j.mu.Lock()
	var ahead []*engine.PendingPrediction
	if j.pair != nil && j.pair.Predictions != nil {
		for _, f := range j.pair.Predictions.Readings {
			ahead = append(ahead, f)
		}
	}
	j.mu.Unlock()
	for _, f := range ahead {
		_, _ = f.Get()
	}
	return v
}
