package metertest

import (
	"bytes"
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"ohmward/internal/meter"
)

// watched notes what a playback finds wrong, and runs its clean-up at once.
type watched struct {
	testing.TB
	wrong int
	after []func()
}

func (w *watched) Errorf(string, ...any) { w.wrong++ }
func (w *watched) Cleanup(f func())      { w.after = append(w.after, f) }

func (w *watched) end() int {
	for _, f := range w.after {
		f()
	}
	return w.wrong
}

// A playback fails on what is not in its transcript, and on what remains.
func TestPlaybackIsStrict(t *testing.T) {
	soon := func() time.Time { return time.Now().Add(time.Millisecond) }
	buf := make([]byte, 100)
	for name, c := range map[string]struct {
		do    func(meter.Transport)
		wrong int
	}{
		"as it stands": {func(l meter.Transport) {
			_ = l.Send([]byte("*IDN?\n"), soon())
			if n, err := l.Receive(buf, soon()); err != nil || string(buf[:n]) != "A,B,1,2\n" {
				t.Errorf("received %q, %v", buf[:n], err)
			}
		}, 0},
		"another line": {func(l meter.Transport) {
			if l.Send([]byte("*CLS\n"), soon()) == nil {
				t.Error("another line is taken")
			}
		}, 2},
		"nothing": {func(meter.Transport) {}, 1},
		"no end of line": {func(l meter.Transport) {
			_ = l.Send([]byte("*IDN?"), soon())
			_, _ = l.Receive(buf, soon())
		}, 1},
		"asked too early": {func(l meter.Transport) {
			if _, err := l.Receive(buf, soon()); !errors.Is(err, meter.ErrTimeout) {
				t.Errorf("before it is asked: %v", err)
			}
		}, 1},
	} {
		synctest.Test(t, func(t *testing.T) {
			w := &watched{TB: t}
			l, err := Play(w, "> *IDN?\n< A,B,1,2\n").Dial(context.Background(), meter.Address{})
			if err != nil {
				t.Fatal(err)
			}
			c.do(l)
			if got := w.end(); got != c.wrong {
				t.Errorf("%s: %d things wrong, want %d", name, got, c.wrong)
			}
		})
	}
}

// What is recorded can be played.
func TestRecord(t *testing.T) {
	const text = "> *CLS\n> *IDN?\n< A,B,1,2\n<… +1.8\n"
	played, err := Play(t, text).Dial(context.Background(), meter.Address{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	r := Record(played, &out)
	far, buf := time.Now().Add(time.Minute), make([]byte, 100)
	for _, step := range []func() error{
		func() error { return r.Send([]byte("*CLS\n"), far) },
		func() error { return r.Send([]byte("*IDN?\n"), far) },
		func() error { _, err := r.Receive(buf, far); return err },
		func() error { _, err := r.Receive(buf, far); return err },
		r.Close,
	} {
		if err := step(); err != nil {
			t.Fatal(err)
		}
	}
	if out.String() != text {
		t.Errorf("recorded %q, want %q", out.String(), text)
	}
}
