package meter

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"time"
)

// dialogue is lines over a transport: one question, one answer.
type dialogue struct {
	t       Transport
	pending []byte // received and not yet taken
}

// Every line ends in a line feed, with or without a carriage return before it
// (IEEE 488.2, 7.5 and 8.5, as carried over sockets and serial ports).
const lineEnd = '\n'

// mostLine is the longest answer that is read, in bytes.
const mostLine = 1 << 18

// glance is how long a wait lasts before it looks whether it is still wanted.
const glance = 100 * time.Millisecond

// errUnasked says that something came before it was asked for.
var errUnasked = errors.New("something came that was not asked for")

// tell sends a command.
func (d *dialogue) tell(ctx context.Context, command string, within time.Duration) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return d.t.Send(append([]byte(command), lineEnd), time.Now().Add(within))
}

// ask sends a question and waits for its answer. What is left over from an
// earlier one is an error: the two are out of step.
func (d *dialogue) ask(ctx context.Context, question string, within time.Duration) (string, error) {
	if len(d.pending) > 0 {
		return "", errUnasked
	}
	deadline := time.Now().Add(within)
	if err := d.tell(ctx, question, within); err != nil {
		return "", err
	}
	line, err := d.line(ctx, deadline)
	if err == nil && len(d.pending) > 0 {
		return "", errUnasked
	}
	return line, err
}

// line waits for a whole line. Half a line is never taken.
func (d *dialogue) line(ctx context.Context, deadline time.Time) (string, error) {
	for {
		if i := bytes.IndexByte(d.pending, lineEnd); i >= 0 {
			text := string(bytes.TrimSuffix(d.pending[:i], []byte("\r")))
			d.pending = d.pending[i+1:]
			return text, plainText(text)
		}
		if len(d.pending) > mostLine {
			return "", &textError{fmt.Errorf("an answer of more than %d bytes", mostLine)}
		}
		if err := d.fill(ctx, deadline); err != nil {
			return "", err
		}
	}
}

// fill receives more, looking now and then whether it is still wanted.
func (d *dialogue) fill(ctx context.Context, deadline time.Time) error {
	var buf [4096]byte
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		now := time.Now()
		if !now.Before(deadline) {
			return ErrTimeout
		}
		n, err := d.t.Receive(buf[:], earlier(deadline, now.Add(glance)))
		if n > 0 {
			d.pending = append(d.pending, buf[:n]...)
			return nil
		}
		if err != nil && !errors.Is(err, ErrTimeout) {
			return err
		}
	}
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// drain throws away what comes until nothing has come for a while; an error
// where it does not end by the deadline.
func (d *dialogue) drain(ctx context.Context, quiet time.Duration, deadline time.Time) error {
	for time.Now().Before(deadline) {
		d.pending = nil
		err := d.fill(ctx, earlier(deadline, time.Now().Add(quiet)))
		switch {
		case errors.Is(err, ErrTimeout) && time.Now().Before(deadline):
			return nil
		case err != nil && !errors.Is(err, ErrTimeout):
			return err
		}
	}
	return &textError{fmt.Errorf("it sends without end, unasked")}
}

// plainText wants printable ASCII alone, which is all that answers hold.
func plainText(line string) error {
	for i := 0; i < len(line); i++ {
		if line[i] < ' ' || line[i] > '~' {
			return &textError{fmt.Errorf("%s is not plain text", clip(line))}
		}
	}
	return nil
}
