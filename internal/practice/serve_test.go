package practice

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"sync"
	"testing"
	"time"
)

// Several clients at once each get the answers to their own questions; the end
// of the context ends the server and every connection.
func TestServe(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	i := NewInstrument(still(t), InstrumentOptions{Pace: 0.001})
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	ended := make(chan error, 1)
	go func() { ended <- i.Serve(ctx, l) }()
	dial := func() (net.Conn, *bufio.Scanner) {
		c, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		c.SetDeadline(time.Now().Add(time.Minute))
		return c, bufio.NewScanner(c)
	}
	var all sync.WaitGroup
	for n := range 4 {
		c, in := dial()
		all.Go(func() {
			for k := range 50 {
				fmt.Fprintf(c, "*IDN?;*OPC?;SYST:VERS?\r\n")
				if !in.Scan() || in.Text() != "OHMWARD,PRACTICE METER,0,1;1;1999.0" {
					t.Errorf("client %d, question %d: got %q, %v", n, k, in.Text(), in.Err())
					return
				}
			}
		})
	}
	all.Wait()
	c, in := dial()
	fmt.Fprint(c, "CONF:RES;:TRIG:SOUR BUS;:INIT;:FETC?\n") // waits for a trigger that never comes
	fmt.Fprint(c, "*IDN?\n")
	stop()
	if in.Scan() {
		t.Errorf("after the end: %q", in.Text())
	}
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
