package practice

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net"
	"strings"
	"sync"
)

// mostLine is the longest line that is taken, in bytes.
const mostLine = 64 << 10

// Serve answers SCPI on a listener until ctx ends, which is no error: a raw
// socket, each line and each answer ended by a line feed. It closes the
// listener and all connections before it returns.
func (i *Instrument) Serve(ctx context.Context, l net.Listener) error {
	ctx, stop := context.WithCancel(ctx)
	var all sync.WaitGroup
	defer all.Wait()
	defer stop()
	context.AfterFunc(ctx, func() { l.Close() })
	for {
		c, err := l.Accept()
		switch {
		case ctx.Err() != nil:
			if err == nil {
				c.Close()
			}
			return nil
		case err != nil:
			return err
		}
		all.Go(func() { i.ServeConn(ctx, c) })
	}
}

// ServeConn answers one connection, or a serial line, until it is closed or ctx ends. A measurement
// under way goes on without it.
func (i *Instrument) ServeConn(ctx context.Context, c io.ReadWriteCloser) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	end := context.AfterFunc(ctx, func() { c.Close() })
	defer end()
	defer c.Close()
	lines := make(chan string)
	go func() { // so that a connection that is closed ends a wait for a value
		defer stop()
		in := bufio.NewScanner(c)
		in.Buffer(make([]byte, 1024), mostLine)
		for in.Scan() {
			select {
			case lines <- strings.TrimSuffix(in.Text(), "\r"):
			case <-ctx.Done():
				return
			}
		}
		if errors.Is(in.Err(), bufio.ErrTooLong) {
			i.report(scpiError{-363, "Input buffer overrun"})
		}
	}()
	for {
		select {
		case line := <-lines:
			answer := i.Line(ctx, line)
			if answer == "" {
				continue
			}
			if _, err := c.Write([]byte(answer + "\n")); err != nil {
				return
			}
		case <-ctx.Done():
			return
		}
	}
}
