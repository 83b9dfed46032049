package meter_test

import (
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"ohmward/internal/meter"
	"ohmward/internal/practice"
)

// ptyPair joins two serial lines, as a cable does.
func ptyPair(t *testing.T) (ours, theirs string) {
	t.Helper()
	socat, err := exec.LookPath("socat")
	if err != nil {
		t.Skip("socat is not here: serial ports are tried on transcripts alone")
	}
	dir := t.TempDir()
	ours, theirs = filepath.Join(dir, "ours"), filepath.Join(dir, "theirs")
	c := exec.Command(socat, "PTY,rawer,link="+ours, "PTY,rawer,link="+theirs)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = c.Process.Kill()
		_ = c.Wait()
	})
	for range 3000 { // until both are there
		_, err1 := os.Stat(ours)
		_, err2 := os.Stat(theirs)
		if err1 == nil && err2 == nil {
			return ours, theirs
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatal("socat makes no pair of lines")
	return "", ""
}

// TestSerial: a meter on a serial line, with what an earlier program left unread
// and noise before the first answer.
func TestSerial(t *testing.T) {
	ours, theirs := ptyPair(t)
	f, err := os.OpenFile(theirs, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	w := practice.NewWire(func([]string, bool) (float64, float64, error) { return 0.0187, 0.0187, nil },
		practice.Noise{},
		practice.Effects{Plain: true}, seeded(1))
	if err := w.Touch([]string{"a", "b"}); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	if _, err := io.WriteString(f, "+9.99000000E-02\r\n\xff\x00half"); err != nil {
		t.Fatal(err)
	}
	go practice.NewInstrument(w, practice.InstrumentOptions{Pace: 0.1}).ServeConn(ctx, f)
	m, err := meter.Open(ctx, meter.Address{Interface: meter.Serial, Device: ours},
		meter.Options{LockFolder: t.TempDir(), Timeout: 30 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Configure(ctx, meter.Setup{Function: meter.FourWire, NPLC: 1}); err != nil {
		t.Fatal(err)
	}
	for range 5 {
		got, err := m.Read(ctx)
		if err != nil || len(got) != 1 || got[0].Ohms != 0.0187 || !got[0].Checked || got[0].Range != 100 {
			t.Errorf("got %+v, %v", got, err)
		}
	}
	if err := m.Close(ctx); err != nil {
		t.Error(err)
	}
}

// TestSerialNoSuchPort: what cannot be opened is told in one line.
func TestSerialNoSuchPort(t *testing.T) {
	at := meter.Address{Interface: meter.Serial, Device: filepath.Join(t.TempDir(), "none")}
	_, err := meter.Open(context.Background(), at, meter.Options{LockFolder: t.TempDir()})
	wants(t, err, "nothing can be opened at")
}
