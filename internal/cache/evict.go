package cache

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ohmward/internal/atomicfile"
)

// abandoned is the age at which a file still being written has no writer any
// more.
const abandoned = time.Hour

// formerSuffix ends the entries of versions before this one, which no program
// reads any more.
const formerSuffix = ".kept"

// evict removes the least recently used entries until so many bytes fit, and
// what writers left behind. Other files it leaves alone.
func (s *Store) evict(size int64) {
	files, err := os.ReadDir(s.dir)
	if err != nil {
		return
	}
	type entry struct {
		path string
		size int64
		used time.Time
	}
	var all []entry
	total := size
	for _, f := range files {
		info, err := f.Info()
		if err != nil || !info.Mode().IsRegular() || !ours(f.Name()) {
			continue
		}
		e := entry{filepath.Join(s.dir, f.Name()), info.Size(), info.ModTime()}
		left := strings.HasPrefix(f.Name(), atomicfile.Prefix) && time.Since(e.used) > abandoned
		if left || strings.HasSuffix(f.Name(), formerSuffix) {
			os.Remove(e.path)
			continue
		}
		total += e.size
		if strings.HasSuffix(f.Name(), suffix) {
			all = append(all, e)
		}
	}
	slices.SortFunc(all, func(a, b entry) int { return a.used.Compare(b.used) })
	for _, e := range all {
		if total <= s.most {
			return
		}
		if os.Remove(e.path) == nil {
			total -= e.size
		}
	}
}

// touch notes that an entry was used.
func touch(path string) {
	now := time.Now()
	os.Chtimes(path, now, now)
}
