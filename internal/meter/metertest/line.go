package metertest

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"strings"
	"sync"
	"testing"

	"ohmward/internal/meter"
)

// Bench is a practice meter behind a line that can be cut, and the hands that hold
// its tips.
type Bench struct {
	Address string // of the line to the meter, in resource form

	t       testing.TB
	server  string // host:port of the meter itself
	hands   net.Conn
	answers *bufio.Scanner

	mu    sync.Mutex
	cut   bool
	lines []net.Conn
}

// NewBench lays a line to the practice meter at an address in resource form, and
// takes its tips in hand, until the test ends.
func NewBench(t testing.TB, address string) *Bench {
	t.Helper()
	at, err := meter.ParseAddress(address)
	if err != nil {
		t.Fatal(err)
	}
	b := &Bench{t: t, server: fmt.Sprintf("%s:%d", at.Host, at.Port)}
	if b.hands, err = net.Dial("tcp", b.server); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.hands.Close() })
	b.answers = bufio.NewScanner(b.hands)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close(); b.SetCut(true) })
	b.Address = fmt.Sprintf("TCPIP0::127.0.0.1::%d::SOCKET", l.Addr().(*net.TCPAddr).Port)
	go b.pass(l)
	return b
}

// pass hands bytes on between the line and the meter.
func (b *Bench) pass(l net.Listener) {
	for {
		c, err := l.Accept()
		if err != nil {
			return
		}
		far, err := net.Dial("tcp", b.server)
		if err != nil {
			c.Close()
			continue
		}
		b.mu.Lock()
		b.lines = append(b.lines, c, far)
		if b.cut {
			c.Close()
			far.Close()
		}
		b.mu.Unlock()
		go func() { _, _ = io.Copy(far, c); far.Close() }()
		go func() { _, _ = io.Copy(c, far); c.Close() }()
	}
}

// SetCut cuts the line, or mends it.
func (b *Bench) SetCut(cut bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.cut = cut
	for _, c := range b.lines {
		c.Close()
	}
	b.lines = nil
}

// Hand moves the tips.
func (b *Bench) Hand(command string) {
	b.t.Helper()
	fmt.Fprintf(b.hands, "%s;:SYST:ERR?\n", command)
	if !b.answers.Scan() || !strings.HasPrefix(b.answers.Text(), "0,") {
		b.t.Fatalf("%s: %q, %v", command, b.answers.Text(), b.answers.Err())
	}
}
