package web

import (
	"io"
	"net/http"
	"time"
)

// A body must go on arriving, and as a whole at a least rate, so that nobody holds
// the server up by sending slowly.
const (
	bodyPause = 30 * time.Second // between two pieces, and for all that is short
	bodyRate  = 32 << 10         // bytes a second, on top
)

// hastened gives a request whose body fails when it comes too slowly.
func hastened(w http.ResponseWriter, r *http.Request) *http.Request {
	if r.Body == nil || r.Body == http.NoBody {
		return r
	}
	b := &hurried{ReadCloser: r.Body, limit: http.NewResponseController(w).SetReadDeadline, since: time.Now(),
		pause: bodyPause}
	b.hurry()
	faster := *r
	faster.Body = b
	return &faster
}

// hurried is a body with a time limit that moves on as bytes come.
type hurried struct {
	io.ReadCloser
	limit func(time.Time) error
	since time.Time
	pause time.Duration
	bytes int64
}

func (b *hurried) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	b.bytes += int64(n)
	b.hurry()
	if err != nil {
		_ = b.limit(time.Time{}) // what follows on the connection has limits of its own
	}
	return n, err
}

// hurry sets until when more must have come. Where the connection takes no limit
// there is none to set.
func (b *hurried) hurry() {
	_ = b.limit(b.since.Add(b.pause + time.Duration(b.bytes)*time.Second/bodyRate))
}
