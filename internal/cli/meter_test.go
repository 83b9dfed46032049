package cli

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"
)

// A watch's picture keeps its lines and its width, whatever is read.
func TestWatchPicture(t *testing.T) {
	limit := unit.OhmUnit
	for name, tick := range map[string]bench.WatchTick{
		"short":    {State: bench.WatchShorted, Ohms: 0.0187, Phase: "steady"},
		"open":     {State: bench.WatchSeenOpen, Ohms: unit.Open, Phase: "open, or tips lifted"},
		"cleared":  {State: bench.WatchCleared, Ohms: 23700},
		"waiting":  {State: bench.WatchWaiting, NoValue: true},
		"negative": {State: bench.WatchShorted, Ohms: -0.003},
		"huge":     {State: bench.WatchSeenOpen, Ohms: 1e8},
	} {
		for _, wide := range []int{40, 80} {
			lines := watchPicture(tick, limit, wide, false)
			if len(lines) != 12 {
				t.Errorf("%s: %d lines", name, len(lines))
			}
			for _, line := range lines {
				if n := utf8.RuneCountInString(line); n > wide {
					t.Errorf("%s: a line of %d columns on %d: %q", name, n, wide, line)
				}
			}
		}
	}
	got := strings.Join(watchPicture(bench.WatchTick{State: bench.WatchShorted, Ohms: 0.0187,
		Phase: "steady"}, limit, 49, false), "\n")
	want := `   █  ███   ███
  ██  █ █     █
   █  ███     █
   █  █ █     █
  ███ ███ █   █  mΩ

  ███████░░░░░░░░│░░░░░░░░░░░░░░░░░░░░░░░░░░░░░
  1m   10m  100m 1Ω       100       10k       1M

  steady
  SHORT
  `
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// The bar is logarithmic: every decade is as long.
func TestBarIsLogarithmic(t *testing.T) {
	for k := range 10 {
		if got, want := barAt(1e-3*pow10(k), 91), 10*k; got != want {
			t.Errorf("1e%d ohm: column %d, want %d", k-3, got, want)
		}
	}
}

func pow10(k int) float64 {
	x := 1.0
	for range k {
		x *= 10
	}
	return x
}

// watched collects output, and hands on its lines as they come.
type watched struct{ lines chan string }

func (w watched) Write(p []byte) (int, error) {
	for _, line := range strings.Split(strings.TrimSuffix(string(p), "\n"), "\n") {
		w.lines <- line
	}
	return len(p), nil
}

// expect waits for a line.
func (w watched) expect(t *testing.T, pattern string) []string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for {
		select {
		case line := <-w.lines:
			if m := re.FindStringSubmatch(line); m != nil {
				return m
			}
		case <-time.After(3 * time.Minute):
			t.Fatalf("no line %q", pattern)
		}
	}
}

// within tells whether a line with these words comes in time.
func (w watched) within(d time.Duration, words string) bool {
	for late := time.After(d); ; {
		select {
		case line := <-w.lines:
			if strings.Contains(line, words) {
				return true
			}
		case <-late:
			return false
		}
	}
}

// TestMeterCommands: the practice meter is served, read, and watched while its
// short is cleared; a lifted lead is not taken for it.
func TestMeterCommands(t *testing.T) {
	if testing.Short() {
		t.Skip("touches take their time: a dozen seconds")
	}
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	served := watched{make(chan string, 1000)}
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"practice", "--seed", "3", "--serve", "127.0.0.1:0"}, Env{Out: served,
			Err: io.Discard})
	}()
	at := served.expect(t, `answers at (TCPIP0::127\.0\.0\.1::(\d+)::SOCKET)`)
	touch := served.expect(t, `(SIM:PROBE .*)`)[1]
	c, err := net.Dial("tcp", "127.0.0.1:"+at[2])
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	in := bufio.NewScanner(c)
	hands := func(command string) {
		t.Helper()
		if fmt.Fprintf(c, "%s;*OPC?;:SYST:ERR?\n", command); !in.Scan() || in.Text() != `1;0,"No error"` {
			t.Fatalf("%s: %q", command, in.Text())
		}
	}
	hands(touch)
	var out, errs bytes.Buffer
	code := run(ctx, []string{"meter", "read", at[1], "--steady", "--nplc", "1", "--json"}, Env{Out: &out,
		Err: &errs})
	var a answer.MeterReading
	if err := json.Unmarshal(out.Bytes(), &a); code != exitDone || err != nil {
		t.Fatalf("exit code %d, %v: %s", code, err, errs.String())
	}
	if a.Touch == nil || a.Touch.Ohms < 0.05 || a.Touch.Ohms > 10 || len(a.Samples) < 5 || a.Notes != nil ||
		!a.Samples[0].Checked {
		t.Errorf("got %+v", a)
	}
	watch := watched{make(chan string, 1000)}
	go func() {
		ended <- run(ctx, []string{"meter", "watch", at[1], "--nplc", "1", "--until", "cleared"},
			Env{Out: watch, Err: io.Discard})
	}()
	watch.expect(t, `SHORT`)
	hands("SIM:PROBE:LIFT")
	watch.expect(t, `SEEN OPEN`)
	hands(touch)
	watch.expect(t, `SHORT`) // a lead had fallen
	hands("SIM:SHORT OFF")
	watch.expect(t, `SEEN OPEN`)
	for cleared := false; !cleared; { // again and again, as long as a slow machine needs
		hands("SIM:PROBE:LIFT")
		watch.within(time.Second, "CLEARED")
		hands(touch)
		cleared = watch.within(3*time.Second, "CLEARED")
	}
	if code := <-ended; code != exitDone {
		t.Errorf("watch: exit code %d", code)
	}
	hands("SIM:SHORT ON")
	hands(touch)
	lines := watched{make(chan string, 1000)}
	go func() {
		ended <- run(ctx, []string{"meter", "watch", at[1], "--nplc", "1", "--until", "open", "--json"},
			Env{Out: lines, Err: io.Discard})
	}()
	lines.expect(t, `^{"meter":{.*"model":.*"state":"waiting","changed":false,"ohms":null`)
	lines.expect(t, `"state":"short","changed":true,"ohms":[0-9.]+,"overload":false`)
	hands("SIM:PROBE:LIFT")
	lines.expect(t, `"state":"open","changed":true,"ohms":null,"overload":true`)
	if code := <-ended; code != exitDone {
		t.Errorf("watch --json: exit code %d", code)
	}
	stop()
	if code := <-ended; code != exitInterrupted {
		t.Errorf("practice: exit code %d", code)
	}
}
