package bench

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"strconv"
	"strings"
	"testing"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/meter"
)

// TestPracticeOverSocket: the whole search, every reading by steady touches of a
// meter on a socket, finds the short inside its radius.
func TestPracticeOverSocket(t *testing.T) {
	if testing.Short() {
		t.Skip("touches take their time: most of a minute")
	}
	a, err := Practice(context.Background(), PracticeOptions{Seed: 3, Auto: true, Listen: "127.0.0.1:0"})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d readings, %s, %.2f mm from the truth, radius %.2f mm", a.Readings, a.Verdict, a.ErrorMM,
		a.Best.RadiusMM)
	if a.Verdict != answer.OneShort || !a.InsideRadius || a.Readings < 3 {
		t.Errorf("%d readings: %s, %.2f mm from the truth, inside %v", a.Readings, a.Verdict, a.ErrorMM,
			a.InsideRadius)
	}
	for _, s := range a.Steps {
		if s.Ohms <= -0.01 || s.Ohms > 10 {
			t.Errorf("reading %d: %g ohm", s.N, s.Ohms)
		}
	}
}

// TestPracticeServed: the unit stands behind the socket. A short reads
// milliohms, a cleared one kilohms, and a place that is not on the nets is
// refused in words.
func TestPracticeServed(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	b, err := ServePractice(ctx, PracticeOptions{Seed: 3}, "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- b.Serve(ctx) }()
	defer func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}()
	at, err := meter.ParseAddress(b.Answer.Address)
	if err != nil {
		t.Fatal(err)
	}
	socket := net.JoinHostPort(at.Host, strconv.Itoa(int(at.Port)))
	if _, err := ServePractice(ctx, PracticeOptions{}, socket); err == nil {
		t.Error("a port in use is taken")
	}
	c, err := net.Dial("tcp", socket)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	in := bufio.NewScanner(c)
	ask := func(line string) string {
		c.SetDeadline(time.Now().Add(time.Minute))
		fmt.Fprintln(c, line)
		in.Scan()
		return in.Text()
	}
	p := b.Answer.Places
	if len(p) != 2 {
		t.Fatalf("places %v", p)
	}
	where := fmt.Sprintf("%q,%q", p[0], p[1])
	ohms := func(line string) float64 {
		v, err := strconv.ParseFloat(ask(line), 64)
		if err != nil {
			t.Errorf("%s: %v", line, err)
		}
		return v
	}
	ask("CONF:FRES;:FRES:NPLC 0.02;OCOM ON;*OPC?")
	ask("SIM:PROBE " + where + ";*OPC?")
	steady := func() (v float64) {
		for range 100 { // past the bounce and the tail
			if v = ohms("READ?"); v < 1e6 && v > 0 {
				time.Sleep(20 * time.Millisecond)
			}
		}
		return v
	}
	if v := steady(); v <= 0 || v > 10 {
		t.Errorf("across the short: %g ohm", v)
	}
	if got := ask("SIM:SHORT OFF;:SIM:SHORT?"); got != "0" {
		t.Errorf("the short is cleared: %s", got)
	}
	if v := ohms("READ?"); v < 1e3 || v > 1e5 {
		t.Errorf("cleared: %g ohm", v)
	}
	if got := ask("SIM:PROBE \"L1@-50.00,-50.00\"," + p[1] + ";:SYST:ERR?"); !strings.HasPrefix(got, "-200,") {
		t.Errorf("off the board: %s", got)
	}
}
