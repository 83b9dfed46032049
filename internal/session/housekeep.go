package session

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path"
	"strings"
	"time"

	"ohmward/internal/atomicfile"
)

// housekeeping is how often the folder is looked after; a case that nobody watched
// for longer than leftAlone is closed, and what a kill left of a file that was being
// written is removed once it is older than leftOver.
const (
	housekeeping = time.Minute
	leftAlone    = 10 * time.Minute
	leftOver     = time.Minute
)

// ownName tells this running program from any other.
func ownName() string {
	host, err := os.Hostname()
	if err != nil {
		host = "this machine"
	}
	return fmt.Sprintf("the bench on %s, process %d", host, os.Getpid())
}

func (s *CaseFolder) housekeep(ctx context.Context) {
	tick := time.NewTicker(housekeeping)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			s.closeIdle(time.Now())
			s.sweep()
		}
	}
}

// closeIdle closes the cases that nobody has watched or worked on for a while:
// opened again, they stand where they stood.
func (s *CaseFolder) closeIdle(now time.Time) {
	s.mu.Lock()
	var idle []*Session
	for id, j := range s.sessions {
		if !j.watched() && now.Sub(j.lastUse()) > leftAlone && j.atRest() {
			idle = append(idle, j)
			delete(s.sessions, id)
		}
	}
	s.mu.Unlock()
	for _, j := range idle {
		j.close()
	}
}

// atRest tells whether no work is under way.
func (j *Session) atRest() bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.busy == ""
}

// use notes that somebody asked for the case.
func (j *Session) use() { j.used.Store(time.Now().UnixNano()) }

func (j *Session) lastUse() time.Time { return time.Unix(0, j.used.Load()) }

// sweep removes what kills left of files that were being written.
func (s *CaseFolder) sweep() {
	cases, err := fs.ReadDir(s.root.FS(), "cases")
	if err != nil {
		return
	}
	for _, c := range cases {
		files, err := fs.ReadDir(s.root.FS(), path.Join("cases", c.Name()))
		if err != nil {
			continue
		}
		for _, f := range files {
			info, err := f.Info()
			if err == nil && strings.HasPrefix(f.Name(), atomicfile.Prefix) && time.Since(info.ModTime()) > leftOver {
				_ = s.root.Remove(path.Join("cases", c.Name(), f.Name())) // it is tried again
			}
		}
	}
}
