package meter_test

import (
	"context"
	"io"
	"net"
	"testing"
	"time"

	"ohmward/internal/meter"
	"ohmward/internal/practice"
)

// serving serves a simulated meter without noise on an address.
func serving(t *testing.T, address string) (at *net.TCPAddr, stop func()) {
	t.Helper()
	var l net.Listener
	var err error
	for range 200 { // a port that was just given back may take a moment
		if l, err = net.Listen("tcp", address); err == nil {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if err != nil {
		t.Fatal(err)
	}
	wire := practice.NewWire(func([]string, bool) (float64, float64, error) { return 0.0187, 0.0187, nil },
		practice.Noise{}, practice.Effects{Plain: true}, seeded(1))
	if err := wire.Touch([]string{"a", "b"}); err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- practice.NewInstrument(wire, practice.InstrumentOptions{Pace: 0.01}).Serve(ctx, l) }()
	return l.Addr().(*net.TCPAddr), func() {
		end()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}
}

// TestSocketRestart: over a real socket, a meter that is switched off and on
// again is read as before, set up as before.
func TestSocketRestart(t *testing.T) {
	where, stop := serving(t, "127.0.0.1:0")
	at := meter.Address{Interface: meter.Socket, Host: "127.0.0.1", Port: uint16(where.Port)}
	ctx := context.Background()
	m, err := meter.Open(ctx, at, meter.Options{LockFolder: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Configure(ctx, meter.Setup{Function: meter.FourWire, NPLC: 1}); err != nil {
		t.Fatal(err)
	}
	read := func() error {
		got, err := m.Read(ctx)
		if err == nil && (len(got) != 1 || got[0].Ohms != 0.0187 || got[0].Function != meter.FourWire ||
			got[0].NPLC != 1) {
			t.Errorf("got %+v", got)
		}
		return err
	}
	if err := read(); err != nil {
		t.Error(err)
	}
	stop()
	wants(t, read(), "the connection with")
	wants(t, read(), "nothing can be opened at")
	_, stop = serving(t, where.String())
	defer stop()
	if err := read(); err != nil {
		t.Errorf("on again: %v", err)
	}
	if err := m.Close(ctx); err != nil {
		t.Error(err)
	}
}

// TestNoMeterThere: a service that is no meter is told in words, and one that
// says nothing does not hold the program up.
func TestNoMeterThere(t *testing.T) {
	for says, want := range map[string]string{"": "did not answer *IDN? in time",
		"220 mail ready\r\n": "does not say who it is"} {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		go func() {
			for {
				c, err := l.Accept()
				if err != nil {
					return
				}
				_, _ = io.WriteString(c, says)
			}
		}()
		at := meter.Address{Interface: meter.Socket, Host: "127.0.0.1", Port: uint16(l.Addr().(*net.TCPAddr).Port)}
		_, err = meter.Open(context.Background(), at, meter.Options{LockFolder: t.TempDir(),
			Timeout: 300 * time.Millisecond})
		wants(t, err, want)
		l.Close()
	}
}

// An interrupt ends a wait at once.
func TestInterrupt(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	at := meter.Address{Interface: meter.Socket, Host: "127.0.0.1", Port: uint16(l.Addr().(*net.TCPAddr).Port)}
	ctx, stop := context.WithCancel(context.Background())
	go func() {
		c, err := l.Accept()
		if err == nil {
			_, _ = c.Read(make([]byte, 10))
		}
		stop()
	}()
	_, err = meter.Open(ctx, at, meter.Options{LockFolder: t.TempDir(), Timeout: time.Hour})
	if err != context.Canceled {
		t.Errorf("got %v", err)
	}
}
