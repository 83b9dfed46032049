package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"
)

// TestWatchLines: a line for each change of state, else one each second; a loss
// is told once, and its end by the next value.
func TestWatchLines(t *testing.T) {
	var out bytes.Buffer
	start := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	l := &watchLines{out: json.NewEncoder(&out), now: func() time.Time { return start }}
	l.begin(answer.MeterIdentity{Model: "practice"})
	tick := func(ms int, state string, changed bool, ohms unit.Resistance) {
		l.tick(bench.WatchTick{State: state, Changed: changed, Ohms: ohms,
			At: start.Add(time.Duration(ms) * time.Millisecond)})
	}
	tick(400, "waiting", false, 0.02)
	tick(500, "short", true, 0.021)
	tick(1400, "short", false, 0.022)
	tick(1500, "short", false, 0.023)
	for range 3 {
		l.tick(bench.WatchTick{State: "short", Lost: errors.New("the line is cut")})
	}
	tick(1700, "short", false, 0.024)
	tick(1800, "open", true, unit.Open)
	l.tick(bench.WatchTick{State: "open", NoValue: true, At: start.Add(2800 * time.Millisecond)})
	type brief struct {
		state    string
		ohms     float64
		overload bool
		lost     string
	}
	want := []brief{{"waiting", 0, false, ""}, {"short", 0.021, false, ""}, {"short", 0.023, false, ""},
		{"short", 0, false, "the line is cut"}, {"short", 0.024, false, ""}, {"open", 0, true, ""},
		{"open", 0, false, ""}}
	in := json.NewDecoder(&out)
	for i := 0; ; i++ {
		var a answer.MeterWatch
		err := in.Decode(&a)
		if errors.Is(err, io.EOF) {
			if i != len(want) {
				t.Errorf("%d lines, not %d", i, len(want))
			}
			return
		}
		if err != nil || i == len(want) {
			t.Fatalf("line %d: %v, %+v", i, err, a)
		}
		got := brief{a.State, 0, a.Overload, a.Lost}
		if a.Ohms != nil {
			got.ohms = *a.Ohms
		}
		if got != want[i] || (a.Meter != nil) != (i == 0) {
			t.Errorf("line %d is %+v, not %+v", i, a, want[i])
		}
	}
}
