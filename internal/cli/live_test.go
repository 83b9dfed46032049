package cli

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"ohmward/internal/bench"
)

// TestLocateLive: the practice meter's tips are held together, then touch where the
// terminal says, three times: nothing is typed, and the answer follows. An interrupt
// loses nothing, lets go of the meter, and the case knows it when it is led on.
func TestLocateLive(t *testing.T) {
	if testing.Short() {
		t.Skip("touches take their time: a dozen seconds")
	}
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	served, ended := watched{make(chan string, 1000)}, make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"practice", "--seed", "3", "--serve", "127.0.0.1:0"}, Env{Out: served, Err: io.Discard})
	}()
	at := served.expect(t, `answers at (TCPIP0::127\.0\.0\.1::(\d+)::SOCKET)`)
	c, err := net.Dial("tcp", "127.0.0.1:"+at[2])
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	in := bufio.NewScanner(c)
	hands := func(format string, args ...any) {
		t.Helper()
		fmt.Fprintf(c, format+";*OPC?;:SYST:ERR?\n", args...)
		if !in.Scan() || in.Text() != `1;0,"No error"` {
			t.Fatalf("%s: %q", format, in.Text())
		}
	}
	file := liveFile(t)
	lead := func(args ...string) (out watched, interrupt func() int) {
		out = watched{make(chan string, 1000)}
		ctx, stop := context.WithCancel(context.Background())
		code := make(chan int, 1)
		go func() {
			code <- run(ctx, append([]string{"locate", "--live", file}, args...), Env{Out: out, Err: io.Discard})
		}()
		return out, func() int { stop(); return <-code }
	}
	out, interrupt := lead("--at", at[1])
	out.expect(t, `^Null the leads`)
	hands("SIM:PROB:SHOR")
	out.expect(t, `^Reading 1`)
	red, black := out.expect(t, `^  red +(\S+): `)[1], out.expect(t, `^  black +(\S+): `)[1]
	out.expect(t, `^  say  .*Red, `)
	out.expect(t, `^  meter  .*PRACTICE METER 3 1 · range 100`)
	hands("SIM:PROB:LIFT")
	out.expect(t, `^  The value is taken by itself`)
	for n := 1; n < 3; n++ {
		hands("SIM:PROB %q,%q", red, black)
		out.expect(t, fmt.Sprintf(`^  Touch %d: \d.* Lift the tips`, n))
		hands("SIM:PROB:LIFT")
		out.expect(t, fmt.Sprintf(`^  Touch %d: \d.* Touch the same places`, n))
	}
	hands("SIM:PROB %q,%q", red, black)
	out.expect(t, `^  After 1 reading: `)
	if code := interrupt(); code != exitInterrupted {
		t.Errorf("interrupted: exit code %d", code)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for what, want := range map[string]int{"[[reading]]": 1, "[[null]]": 1, "[[touch]]": 4} {
		if n := strings.Count(string(text), what); n != want {
			t.Errorf("the case has %d %s, want %d", n, what, want)
		}
	}
	var answer, errs bytes.Buffer
	if code := run(t.Context(), []string{"meter", "read", at[1]}, Env{Out: &answer, Err: &errs}); code != exitDone {
		t.Errorf("the meter was not let go: exit code %d, %s", code, errs.String())
	}
	out, interrupt = lead()
	out.expect(t, `^  After 1 reading: `)
	out.expect(t, `^  meter  .*PRACTICE METER 3`)
	interrupt()
	stop()
	<-ended
}

// liveFile is a case on practice unit 3 that is at its null.
func liveFile(t *testing.T) string {
	t.Helper()
	q, _ := bench.PracticeOf(3, "")
	var b strings.Builder
	fmt.Fprintf(&b, "board = \"demo\"\nnets = [%q, %q]\n[meter]\nprofile = \"bench-6.5-digit-hand\"\n", q.Nets[0], q.Nets[1])
	for _, m := range q.Metal {
		fmt.Fprintf(&b, "[[metal]]\npart = %q\nnet = %q\n", m.Part, m.Net)
	}
	fmt.Fprintf(&b, "[bench]\ncautions = true\nswap_skipped = true\nmetal_asked = [\"J2\", \"J3\", \"J5\"]\nblack_net = %q\n", q.Nets[1])
	file := filepath.Join(t.TempDir(), "unit3.toml")
	if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// Places stand in large letters where each has a form and the row fits.
func TestLargeWords(t *testing.T) {
	got := strings.Join(largeWords("c9.1", 40), "\n")
	want := "███ ███    █  \n█   █ █   ██  \n█   ███    █  \n█     █    █  \n███ ███ █ ███ "
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if largeWords("L1@2,3", 80) != nil || largeWords("CONNECTOR12.14", 40) != nil {
		t.Error("set what has no form, or does not fit")
	}
	for r, form := range bigLetters {
		for _, row := range form {
			if utf8.RuneCountInString(row) != utf8.RuneCountInString(form[0]) {
				t.Errorf("%c has rows of different lengths", r)
			}
		}
	}
}

// TestLiveMisuse: what --live cannot do is said before anything is opened.
func TestLiveMisuse(t *testing.T) {
	for _, args := range [][]string{
		{"locate", "unit.toml", "--at", "ASRL1::INSTR"},
		{"locate", "--live", "board", "--nets", "A,B"},
		{"locate", "--live", "unit.toml", "--json"},
		{"locate", "--live", "unit.toml", "--reading", "C9.1,C9.2=18.7m"},
	} {
		var errs bytes.Buffer
		if code := run(t.Context(), args, Env{Out: io.Discard, Err: &errs}); code != 2 {
			t.Errorf("%v: exit code %d, %s", args, code, errs.String())
		}
	}
}
