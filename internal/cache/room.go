package cache

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// abandoned is the age at which a file still being written has no writer any
// more.
const abandoned = time.Hour

// makeRoom removes the results that were not used for longest, until so many
// bytes fit, and what writers left behind. Other files it leaves alone.
func (s *Store) makeRoom(size int64) {
	entries, err := os.ReadDir(s.dir)
	if err != nil {
		return
	}
	type result struct {
		path string
		size int64
		used time.Time
	}
	var all []result
	total := size
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || !ours(e.Name()) {
			continue
		}
		r := result{filepath.Join(s.dir, e.Name()), info.Size(), info.ModTime()}
		if strings.HasPrefix(e.Name(), beginning) && time.Since(r.used) > abandoned {
			os.Remove(r.path)
			continue
		}
		total += r.size
		if strings.HasSuffix(e.Name(), suffix) {
			all = append(all, r)
		}
	}
	slices.SortFunc(all, func(a, b result) int { return a.used.Compare(b.used) })
	for _, r := range all {
		if total <= s.most {
			return
		}
		if os.Remove(r.path) == nil {
			total -= r.size
		}
	}
}

// touch notes that a result was used.
func touch(path string) {
	now := time.Now()
	os.Chtimes(path, now, now)
}
