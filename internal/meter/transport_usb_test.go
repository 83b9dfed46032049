package meter

import (
	"context"
	"errors"
	"io"
	"testing"
	"testing/synctest"
	"time"
)

// node stands in a device node's place: a write is a message out, a read waits
// for a message in, until it is cancelled.
type node struct {
	in, out   chan string
	cancelled chan struct{}
}

func newNode() *node {
	return &node{in: make(chan string, 10), out: make(chan string, 10), cancelled: make(chan struct{})}
}

func (n *node) Read(p []byte) (int, error) {
	select {
	case text := <-n.in:
		return copy(p, text), nil
	case <-n.cancelled:
		return 0, errors.New("cancelled")
	}
}

func (n *node) Write(p []byte) (int, error) {
	select {
	case n.out <- string(p):
		return len(p), nil
	case <-n.cancelled:
		return 0, errors.New("cancelled")
	}
}

func (n *node) Close() error { return nil }

// A read that is not waited for any more loses nothing: the next one has it. A
// device that takes nothing is given up, and closing ends a read under way.
func TestUSBDevice(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := newNode()
		u := newUSBDevice(n, func() { close(n.cancelled) })
		buf := make([]byte, 100)
		in := func(d time.Duration) time.Time { return time.Now().Add(d) }
		if err := u.Send([]byte("READ?\n"), in(time.Second)); err != nil || <-n.out != "READ?\n" {
			t.Errorf("sent: %v", err)
		}
		if _, err := u.Receive(buf, in(100*time.Millisecond)); !errors.Is(err, ErrTimeout) {
			t.Errorf("nothing came: %v", err)
		}
		n.in <- "+1.87000000E-02\n"
		if k, err := u.Receive(buf, in(time.Second)); err != nil || string(buf[:k]) != "+1.87000000E-02\n" {
			t.Errorf("received %q, %v", buf[:k], err)
		}
		for range cap(n.out) {
			_ = u.Send([]byte("*CLS\n"), in(time.Second))
		}
		begun := time.Now()
		if err := u.Send([]byte("*CLS\n"), in(time.Second)); !errors.Is(err, ErrTimeout) ||
			time.Since(begun) != time.Second {
			t.Errorf("a device that takes nothing: %v after %v", err, time.Since(begun))
		}
		if _, err := u.Receive(buf, in(time.Second)); err == nil || errors.Is(err, ErrTimeout) {
			t.Errorf("closed: %v", err)
		}
		if err := u.Close(); err != nil {
			t.Error(err)
		}
	})
}

// The dialogue goes over such a node as over a socket.
func TestUSBDialogue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := newNode()
		go func() {
			for line := range n.out {
				if line == "*IDN?\n" {
					time.Sleep(700 * time.Millisecond) // longer than a glance
					n.in <- "MAKER,MODEL 1,S1,"
					n.in <- "1.0\n"
				}
			}
		}()
		defer close(n.out)
		m, err := Open(context.Background(), Address{Interface: USB, Vendor: 1, Product: 2},
			Options{LockFolder: t.TempDir(),
				Dial: func(context.Context, Address) (Transport, error) {
					return newUSBDevice(n, func() { close(n.cancelled) }), nil
				}})
		if err != nil {
			t.Fatal(err)
		}
		if want := (Identity{"MAKER", "MODEL 1", "S1", "1.0"}); m.Identity() != want {
			t.Errorf("got %v, want %v", m.Identity(), want)
		}
		if err := m.Close(context.Background()); err != nil && !errors.Is(err, io.ErrClosedPipe) {
			t.Error(err)
		}
	})
}
