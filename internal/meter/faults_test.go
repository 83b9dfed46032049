package meter_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"ohmward/internal/check"
	"ohmward/internal/meter"
)

// longest is how long one Read may take, whatever befalls it but a machine that
// sleeps: some exchanges, each with its timeout.
const longest = 60 * time.Second

// TestFaults lets faults befall a meter that is read all the time. Every read
// ends; every value that is handed out was there while it was asked for; and
// once the faults are over the meter reads again.
func TestFaults(t *testing.T) {
	each := check.Draws(t, 300, 1000, 5000)
	if check.All() {
		each = 20_000
	}
	for _, serial := range []bool{false, true} {
		name, where := "socket", onSocket
		if serial {
			name, where = "serial", onSerial
		}
		t.Run(name, func(t *testing.T) {
			counts, reads, accepted, refused := map[string]int{}, 0, 0, 0
			for seed := uint64(0); total(counts) < each; seed++ {
				synctest.Test(t, func(t *testing.T) {
					f := newFaulty(seeded(seed), serial, 0.06, 25)
					n, ok := befall(t, f, where)
					reads, accepted, refused = reads+n, accepted+ok, refused+n-ok
					for k, v := range f.counts {
						counts[k] += v
					}
				})
				if t.Failed() {
					t.Fatalf("seed %d", seed)
				}
			}
			t.Logf("%d faults (%s): %d reads, %d values, all right, %d failures in words", total(counts), list(counts),
				reads, accepted, refused)
			if accepted < total(counts)/2 || refused == 0 {
				t.Errorf("%d values and %d failures of %d reads show nothing", accepted, refused, reads)
			}
		})
	}
}

func total(counts map[string]int) (n int) {
	for _, v := range counts {
		n += v
	}
	return n
}

func list(counts map[string]int) string {
	var words []string
	for _, k := range slices.Sorted(maps.Keys(counts)) {
		words = append(words, fmt.Sprintf("%d %s", counts[k], k))
	}
	return strings.Join(words, ", ")
}

// until tries until it succeeds; every failure is a line in words.
func until(t *testing.T, do func() error) {
	t.Helper()
	var err error
	for range 500 {
		if err = do(); err == nil {
			return
		}
		inWords(t, err)
		time.Sleep(time.Second)
	}
	t.Fatalf("it never succeeds again: %v", err)
}

func inWords(t *testing.T, err error) {
	t.Helper()
	var known *meter.Fault
	if !errors.As(err, &known) || strings.Contains(known.What, "\n") {
		t.Fatalf("a failure that is not told in a line: %v", err)
	}
}

// befall reads while faults last, and a while after.
func befall(t *testing.T, f *faulty, where meter.Address) (reads, accepted int) {
	t.Helper()
	ctx := context.Background()
	defer f.end()
	var m *meter.Meter
	dir := t.TempDir()
	until(t, func() (err error) {
		m, err = meter.Open(ctx, where, meter.Options{Dial: f.dial, LockFolder: dir})
		return err
	})
	until(t, func() error { return m.Configure(ctx, meter.Setup{Function: meter.FourWire}) })
	var last error
	for after := 0; after < 10; {
		if reads++; reads > 2000 {
			t.Fatalf("it never reads again: %v", last)
		}
		over := f.over()
		begun, slept := time.Now(), f.asleep()
		got, err := m.Read(ctx)
		ended := time.Now()
		if took := ended.Sub(begun) - (f.asleep() - slept); took > longest {
			t.Errorf("a read took %v", took)
		}
		if err != nil {
			inWords(t, err)
			last = err
			time.Sleep(time.Second)
			continue
		}
		accepted++
		if over {
			after++
		}
		for _, s := range got {
			if s.State != meter.Valid || s.Function != meter.FourWire || !f.had(float64(s.Ohms), begun, ended) {
				t.Fatalf("read %d: %+v was not there from %v to %v", reads, s, begun, ended)
			}
		}
	}
	until(t, func() error { return m.Close(ctx) })
	return reads, accepted
}

// over tells whether all faults have befallen.
func (f *faulty) over() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return total(f.counts) >= f.most
}

func (f *faulty) asleep() time.Duration {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.slept
}
