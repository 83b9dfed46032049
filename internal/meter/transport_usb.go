package meter

import (
	"io"
	"time"
)

// usbDevice is a transport over the system's node of a USB test-and-measurement
// device: a write is a message out, a read waits for a message in. A read under
// way cannot be given up without losing what it brings, so it goes on in the
// background, and the next Receive takes its result.
//
// It was run on transcripts and with something else in the node's place, never on
// a device.
type usbDevice struct {
	node    io.ReadWriteCloser
	cancel  func() // ends a read under way; may be nil
	results chan usbResult
	reading bool
	closed  bool
}

type usbResult struct {
	data []byte
	err  error
}

func newUSBDevice(node io.ReadWriteCloser, cancel func()) *usbDevice {
	return &usbDevice{node: node, cancel: cancel, results: make(chan usbResult, 1)}
}

// Send writes one message. A device that takes nothing by the deadline is given
// up: what it would take later nobody knows.
func (u *usbDevice) Send(p []byte, deadline time.Time) error {
	done := make(chan error, 1)
	go func() {
		_, err := u.node.Write(p)
		done <- err
	}()
	late := time.NewTimer(time.Until(deadline))
	defer late.Stop()
	select {
	case err := <-done:
		return err
	case <-late.C:
		_ = u.Close() // the timeout says more
		return ErrTimeout
	}
}

// mostMessage is the largest piece of a message that one read takes.
const mostMessage = 4096

func (u *usbDevice) Receive(p []byte, deadline time.Time) (int, error) {
	if !u.reading {
		u.reading = true
		size := min(len(p), mostMessage)
		go func() {
			buf := make([]byte, size)
			n, err := u.node.Read(buf)
			u.results <- usbResult{buf[:n], err}
		}()
	}
	late := time.NewTimer(time.Until(deadline))
	defer late.Stop()
	select {
	case r := <-u.results:
		u.reading = false
		if len(r.data) > 0 {
			return copy(p, r.data), nil
		}
		return 0, r.err
	case <-late.C:
		return 0, ErrTimeout
	}
}

func (u *usbDevice) Close() error {
	if u.closed {
		return nil
	}
	u.closed = true
	if u.cancel != nil {
		u.cancel()
	}
	return u.node.Close()
}
