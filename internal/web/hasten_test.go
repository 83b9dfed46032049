package web

import (
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"testing"
	"time"
)

// TestSlowBody: a body that stops coming, or comes too slowly, ends in an error; one
// that comes at a fair rate does not, however long it is.
func TestSlowBody(t *testing.T) {
	done := make(chan error, 1)
	limit := 300 * time.Millisecond
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r = hastened(w, r)
		b := r.Body.(*hurried)
		b.pause = limit
		b.hurry()
		_, err := io.Copy(io.Discard, r.Body)
		done <- err
	}))
	defer server.Close()
	c, err := net.Dial("tcp", server.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if _, err := io.WriteString(c, "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000\r\n\r\nfirst bytes"); err != nil {
		t.Fatal(err)
	}
	if err := <-done; !errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("a body that stops: %v", err)
	}
	limit = time.Minute
	answer, err := http.Post(server.URL, "text/plain", io.LimitReader(endless{}, 8<<20))
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if err := <-done; err != nil {
		t.Errorf("a body that comes: %v", err)
	}
}

// TestBodyRate: the time that a body has grows with what has come of it, and no more.
func TestBodyRate(t *testing.T) {
	var until time.Time
	begun := time.Unix(1e9, 0)
	b := &hurried{ReadCloser: io.NopCloser(endless{}), since: begun, pause: bodyPause,
		limit: func(at time.Time) error { until = at; return nil }}
	if b.hurry(); until.Sub(begun) != bodyPause {
		t.Errorf("at first %v", until.Sub(begun))
	}
	for range 10 {
		if _, err := b.Read(make([]byte, bodyRate)); err != nil {
			t.Fatal(err)
		}
	}
	if until.Sub(begun) != bodyPause+10*time.Second {
		t.Errorf("after ten seconds' worth %v", until.Sub(begun))
	}
}
