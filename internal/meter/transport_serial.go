package meter

import (
	"errors"
	"time"

	"go.bug.st/serial"
)

// defaultBaud is the customary speed of a bench meter's serial port.
const defaultBaud = 9600

// serialPort is a transport over a serial port: 8 data bits, no parity, one
// stop bit.
type serialPort struct{ p serial.Port }

func openSerial(device string, baud int) (Transport, error) {
	if baud <= 0 {
		baud = defaultBaud
	}
	p, err := serial.Open(device, &serial.Mode{BaudRate: baud})
	if err != nil {
		return nil, err
	}
	// What was sent before we came is not an answer to us.
	if err := errors.Join(p.ResetInputBuffer(), p.ResetOutputBuffer()); err != nil {
		return nil, errors.Join(err, p.Close())
	}
	return serialPort{p}, nil
}

// Send writes; a port that takes nothing by the deadline (a flow control that
// never lets go) is closed, which ends the write.
func (s serialPort) Send(p []byte, deadline time.Time) error {
	overdue := time.AfterFunc(time.Until(deadline), func() { s.p.Close() })
	_, err := s.p.Write(p)
	if !overdue.Stop() {
		return ErrTimeout
	}
	return err
}

func (s serialPort) Receive(p []byte, deadline time.Time) (int, error) {
	if err := s.p.SetReadTimeout(max(time.Millisecond, time.Until(deadline))); err != nil {
		return 0, err
	}
	n, err := s.p.Read(p)
	if n == 0 && err == nil {
		return 0, ErrTimeout
	}
	return n, err
}

func (s serialPort) Close() error { return s.p.Close() }

// serialPorts lists the machine's serial ports.
func serialPorts() ([]string, error) { return serial.GetPortsList() }
