package meter_test

import (
	"context"
	"errors"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"ohmward/internal/meter"
	"ohmward/internal/practice"
	"ohmward/unit"
)

// on opens a simulated meter whose tips are on 18.7 mohm, by a line that can be
// cut.
func on(t *testing.T, do func(ctx context.Context, f *faulty, m *meter.Meter)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		f := newFaulty(seeded(1), false, 0, 0)
		defer f.end()
		m, err := meter.Open(context.Background(), onSocket, meter.Options{Dial: f.dial, LockFolder: t.TempDir()})
		if err != nil {
			t.Fatal(err)
		}
		do(context.Background(), f, m)
		if err := m.Close(context.Background()); err != nil {
			t.Error(err)
		}
	})
}

// TestStream: a meter that vanishes is tried again, each time after twice as
// long, up to 8 s; once it is back the stream goes on, and its end is no error.
func TestStream(t *testing.T) {
	on(t, func(ctx context.Context, f *faulty, m *meter.Meter) {
		if err := m.Configure(ctx, meter.Setup{Function: meter.FourWire, NPLC: 1}); err != nil {
			t.Fatal(err)
		}
		within, stop := context.WithCancel(ctx)
		var waits []time.Duration
		before, after := 0, 0
		err := m.Stream(within, func(e meter.Event) {
			switch {
			case e.Lost != nil:
				waits = append(waits, e.Again)
			case waits == nil:
				if before++; before == 5 {
					f.mu.Lock()
					f.boot() // it comes back as after power on
					f.mu.Unlock()
					f.cut(f.port(), time.Minute)
				}
			default:
				if after++; after == 5 {
					stop()
				}
				if s := e.Samples[0]; s.Function != meter.FourWire || s.NPLC != 1 {
					t.Errorf("after the loss: %+v", s)
				}
			}
		})
		if err != nil || before != 5 || after != 5 {
			t.Errorf("%v, %d samples before, %d after", err, before, after)
		}
		want := []time.Duration{250e6, 500e6, 1e9, 2e9, 4e9, 8e9, 8e9}
		if len(waits) < len(want) || !slices.Equal(waits[:len(want)], want) || waits[len(waits)-1] != 8e9 {
			t.Errorf("waited %v, want %v", waits, want)
		}
	})
}

// A stream over another instrument's answers ends.
func TestStreamEndsAtAnother(t *testing.T) {
	on(t, func(ctx context.Context, f *faulty, m *meter.Meter) {
		if err := m.Configure(ctx, meter.Setup{Function: meter.Resistance}); err != nil {
			t.Fatal(err)
		}
		first := f.inst
		err := m.Stream(ctx, func(e meter.Event) {
			if e.Lost == nil {
				f.mu.Lock()
				f.inst = practice.NewInstrument(f.wire, practice.InstrumentOptions{Serial: "another"})
				f.mu.Unlock()
				f.cut(f.port(), 0)
			}
		})
		var known *meter.Fault
		if !errors.As(err, &known) || known.Problem != meter.Unsuitable {
			t.Errorf("got %v", err)
		}
		f.mu.Lock()
		f.inst = first
		f.mu.Unlock()
	})
}

// The range that the instrument chose is held; what was set is put back.
func TestHoldRangeAndPutBack(t *testing.T) {
	on(t, func(ctx context.Context, f *faulty, m *meter.Meter) {
		f.inst.Line(ctx, "FUNC 'VOLT:DC';:FRES:NPLC 2;RANG 1E6;OCOM ON;:TRIG:SOUR BUS")
		err := m.Configure(ctx, meter.Setup{Function: meter.FourWire, NPLC: 1, Compensate: true})
		if err != nil {
			t.Fatal(err)
		}
		got, err := m.Read(ctx)
		if err != nil || got[0].Held || !got[0].Compensated || got[0].Range != 100 {
			t.Errorf("got %+v, %v", got, err)
		}
		if rng, err := m.HoldRange(ctx); err != nil || rng != 100 {
			t.Errorf("held %v, %v", rng, err)
		}
		if auto := f.inst.Line(ctx, "FRES:RANG:AUTO?;:FRES:NPLC?"); auto != "0;+1.00000000E+00" {
			t.Errorf("held: %s", auto)
		}
		if got, err := m.Read(ctx); err != nil || !got[0].Held || got[0].Range != 100 {
			t.Errorf("got %+v, %v", got, err)
		}
		if err := m.Close(ctx); err != nil {
			t.Error(err)
		}
		const want = `"VOLT";+2.00000000E+00;+1.00000000E+06;0;1;BUS`
		if is := f.inst.Line(ctx, "FUNC?;:FRES:NPLC?;RANG?;RANG:AUTO?;:FRES:OCOM?;:TRIG:SOUR?"); is != want {
			t.Errorf("put back: %s, want %s", is, want)
		}
	})
}

// One value by the preset alone; volts.
func TestMeasureAndVolts(t *testing.T) {
	on(t, func(ctx context.Context, f *faulty, m *meter.Meter) {
		got, err := m.Measure(ctx, meter.FourWire)
		want := unit.Resistance(f.history[len(f.history)-1].ohms)
		if err != nil || len(got) != 1 || !f.had(float64(got[0].Ohms), time.Time{}, time.Now()) || got[0].Checked {
			t.Errorf("got %+v, %v, want %v", got, err, want)
		}
		if err := m.Configure(ctx, meter.Setup{Function: meter.DCVolts, NPLC: 1}); err != nil {
			t.Fatal(err)
		}
		if got, err = m.Read(ctx); err != nil || got[0].Function != meter.DCVolts || got[0].Volts > 1e-5 ||
			got[0].Ohms != 0 {
			t.Errorf("volts: %+v, %v", got, err)
		}
		err = m.Configure(ctx, meter.Setup{Function: "CURR:DC"})
		wants(t, err, "no function")
		err = m.Configure(ctx, meter.Setup{Function: meter.Resistance, NPLC: 1e6})
		wants(t, err, "refuses SENS:RES:NPLC 1E+06: it cannot carry out the command: Data out of range (-222)")
	})
}
