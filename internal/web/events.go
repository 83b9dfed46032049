package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

// heartbeat keeps a quiet stream from being taken for a dead one.
const heartbeat = 15 * time.Second

// events pushes a case to a window: "view" when it changed, "live" while the
// meter speaks.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	j := s.session(w, r)
	if j == nil {
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	out := http.NewResponseController(w)
	send := func(event string, v any) bool {
		data, err := json.Marshal(v)
		if err != nil {
			s.errors("an event cannot be written: " + err.Error())
			return false
		}
		if _, err := fmt.Fprintf(w, "event: %s\ndata: %s\n\n", event, data); err != nil {
			return false
		}
		return out.Flush() == nil
	}
	if _, err := fmt.Fprint(w, "retry: 700\n\n"); err != nil {
		return
	}
	changes, end := j.Watch()
	defer end()
	seen, heard := int64(-1), -1
	tick := time.NewTicker(heartbeat)
	defer tick.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-tick.C:
			if _, err := fmt.Fprint(w, ": still here\n\n"); err != nil || out.Flush() != nil {
				return
			}
		case <-changes:
			if n := j.Changes(); n != seen {
				seen = n
				if !send("view", j.View()) {
					return
				}
			}
			if l, n := j.Live(); n != heard {
				heard = n
				if !send("live", l) {
					return
				}
			}
		}
	}
}
