// Package metertest records what passes between the program and an instrument,
// and plays it back. A played transcript is strict: what is sent must be the
// next line of it, byte for byte, and none may remain at the end.
//
// A transcript is text, a line each:
//
//	> *IDN?                 is sent
//	< MAKER,MODEL,1,2       comes, with a line feed
//	<… +1.87                comes without its end
//	< \xff\x00+1.87       comes, bytes in hexadecimal
//	! cut                   the connection ends
//	! reopened              it is opened anew, where it was cut or given up
//	# anything              a remark
//
// Where a line to be sent is next and an answer is waited for, nothing comes.
package metertest

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"
	"time"

	"ohmward/internal/meter"
)

const (
	sent     = "> "
	came     = "< "
	half     = "<… "
	cut      = "! cut"
	reopened = "! reopened"
)

// Playback plays a transcript.
type Playback struct {
	t      testing.TB
	lines  []string
	opened bool
}

// Play gives a transcript to be played; the test fails if some of it remains.
func Play(t testing.TB, transcript string) *Playback {
	p := &Playback{t: t}
	for _, line := range strings.Split(transcript, "\n") {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			p.lines = append(p.lines, line)
		}
	}
	t.Cleanup(func() {
		if len(p.lines) > 0 {
			t.Errorf("transcript: %d lines remain, the next is %q", len(p.lines), p.lines[0])
		}
	})
	return p
}

// Dial is for meter.Options: a second call wants the transcript to say so.
func (p *Playback) Dial(context.Context, meter.Address) (meter.Transport, error) {
	if p.opened {
		if p.next() != reopened {
			p.t.Errorf("transcript: opened anew where %q is next", p.next())
			return nil, fmt.Errorf("the transcript has no new connection here")
		}
		p.take()
	}
	p.opened = true
	return &line{p: p}, nil
}

func (p *Playback) next() string {
	if len(p.lines) == 0 {
		return "the end"
	}
	return p.lines[0]
}

func (p *Playback) take() { p.lines = p.lines[1:] }

// line is one connection.
type line struct {
	p      *Playback
	closed bool
}

// Send compares what is sent with the transcript.
func (l *line) Send(data []byte, _ time.Time) error {
	if !l.closed && l.p.next() == cut {
		l.p.take()
		l.closed = true
	}
	if l.closed {
		return io.ErrClosedPipe
	}
	for _, text := range strings.SplitAfter(strings.TrimSuffix(string(data), "\n"), "\n") {
		if want := l.p.next(); sent+strings.TrimSuffix(text, "\n") != want {
			l.p.t.Errorf("transcript: sent %q where %q is next", text, want)
			return fmt.Errorf("not in the transcript")
		}
		l.p.take()
	}
	if !bytes.HasSuffix(data, []byte("\n")) {
		l.p.t.Errorf("transcript: sent %q without an end of line", data)
	}
	return nil
}

// Receive gives what comes next, or lets the time pass.
func (l *line) Receive(data []byte, deadline time.Time) (int, error) {
	next := l.p.next()
	text, end := "", ""
	switch {
	case l.closed:
		return 0, io.ErrClosedPipe
	case next == cut:
		l.p.take()
		l.closed = true
		return 0, io.EOF
	case strings.HasPrefix(next, came):
		text, end = strings.TrimPrefix(next, came), "\n"
	case strings.HasPrefix(next, half):
		text = strings.TrimPrefix(next, half)
	default:
		time.Sleep(time.Until(deadline))
		return 0, meter.ErrTimeout
	}
	l.p.take()
	if strings.Contains(text, `\x`) { // bytes that are not text
		plain, err := strconv.Unquote(`"` + strings.ReplaceAll(text, `"`, `\"`) + `"`)
		if err != nil {
			l.p.t.Errorf("transcript: %q: %v", next, err)
		}
		text = plain
	}
	n := copy(data, text+end)
	if n < len(text+end) {
		l.p.t.Errorf("transcript: a line of %d bytes does not fit", len(text))
	}
	return n, nil
}

func (l *line) Close() error {
	l.closed = true
	return nil
}

// Record writes what passes over a transport as a transcript.
func Record(t meter.Transport, to io.Writer) meter.Transport { return &recorder{t: t, to: to} }

type recorder struct {
	t       meter.Transport
	to      io.Writer
	pending []byte
}

func (r *recorder) Send(p []byte, deadline time.Time) error {
	for _, text := range strings.Split(strings.TrimSuffix(string(p), "\n"), "\n") {
		fmt.Fprintln(r.to, sent+text)
	}
	return r.t.Send(p, deadline)
}

func (r *recorder) Receive(p []byte, deadline time.Time) (int, error) {
	n, err := r.t.Receive(p, deadline)
	r.pending = append(r.pending, p[:n]...)
	for {
		i := bytes.IndexByte(r.pending, '\n')
		if i < 0 {
			return n, err
		}
		fmt.Fprintln(r.to, came+string(bytes.TrimSuffix(r.pending[:i], []byte("\r"))))
		r.pending = r.pending[i+1:]
	}
}

func (r *recorder) Close() error {
	if len(r.pending) > 0 {
		fmt.Fprintln(r.to, half+string(r.pending))
	}
	return r.t.Close()
}
