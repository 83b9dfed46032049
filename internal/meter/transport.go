package meter

import (
	"context"
	"errors"
	"net"
	"os"
	"strconv"
	"time"
)

// Transport carries bytes to one instrument and back. Neither call outlasts
// its deadline by more than the system's own delay.
type Transport interface {
	// Send writes all of p, or fails.
	Send(p []byte, deadline time.Time) error
	// Receive waits for at least one byte; ErrTimeout where none comes in time.
	Receive(p []byte, deadline time.Time) (int, error)
	// Close ends the connection; a second call does nothing.
	Close() error
}

// Dial opens the connection that an address names.
func Dial(ctx context.Context, a Address, baud int) (Transport, error) {
	switch a.Interface {
	case Serial:
		return openSerial(a.Device, baud)
	case USB:
		return openUSB(a)
	}
	d := net.Dialer{Timeout: dialTimeout}
	c, err := d.DialContext(ctx, "tcp", net.JoinHostPort(a.Host, strconv.Itoa(int(a.Port))))
	if err != nil {
		return nil, err
	}
	return NewStream(c), nil
}

// dialTimeout is how long a connection may take to open.
const dialTimeout = 5 * time.Second

// stream is a transport over a network connection.
type stream struct{ c net.Conn }

// NewStream gives a transport over a connection with deadlines.
func NewStream(c net.Conn) Transport { return stream{c} }

func (s stream) Send(p []byte, deadline time.Time) error {
	if err := s.c.SetWriteDeadline(deadline); err != nil {
		return err
	}
	_, err := s.c.Write(p)
	return timedOut(err)
}

func (s stream) Receive(p []byte, deadline time.Time) (int, error) {
	if err := s.c.SetReadDeadline(deadline); err != nil {
		return 0, err
	}
	n, err := s.c.Read(p)
	if n > 0 {
		return n, nil
	}
	return 0, timedOut(err)
}

func (s stream) Close() error { return s.c.Close() }

// timedOut makes ErrTimeout of a deadline that passed.
func timedOut(err error) error {
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return ErrTimeout
	}
	return err
}
