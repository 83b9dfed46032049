package boardread

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"sort"
	"strings"
)

// Bounds on what is read as one board.
const (
	maxFiles = 2000
	maxFile  = 256 << 20
	maxTotal = 768 << 20
)

// entry is one file of the set, not yet read.
type entry struct {
	path string
	size int64
}

// list finds the files of a folder and of its sub-folders one level down, in
// the order of their paths.
func list(fsys fs.FS) ([]entry, error) {
	var out []entry
	top, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return nil, fmt.Errorf("listing the folder: %w", err)
	}
	for _, d := range top {
		if hiddenName(d.Name()) {
			continue
		}
		if !isDir(fsys, d.Name(), d) {
			out = appendEntry(out, fsys, d.Name())
			continue
		}
		sub, err := fs.ReadDir(fsys, d.Name())
		if err != nil {
			continue // a sub-folder that cannot be listed is none of ours
		}
		for _, e := range sub {
			p := path.Join(d.Name(), e.Name())
			if hiddenName(e.Name()) || isDir(fsys, p, e) {
				continue
			}
			out = appendEntry(out, fsys, p)
		}
		if len(out) > maxFiles {
			return nil, fmt.Errorf("more than %d files: name the folder that holds one board's fabrication files",
				maxFiles)
		}
	}
	if len(out) > maxFiles {
		return nil, fmt.Errorf("more than %d files: name the folder that holds one board's fabrication files",
			maxFiles)
	}
	sort.Slice(out, func(i, j int) bool { return lessPath(out[i].path, out[j].path) })
	return out, nil
}

// lessPath orders files of the folder itself before those of sub-folders.
func lessPath(a, b string) bool {
	da, db := strings.Count(a, "/"), strings.Count(b, "/")
	if da != db {
		return da < db
	}
	return a < b
}

func hiddenName(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "__MACOSX")
}

// isDir follows links, which DirEntry.IsDir does not.
func isDir(fsys fs.FS, p string, d fs.DirEntry) bool {
	if d.Type()&fs.ModeSymlink == 0 {
		return d.IsDir()
	}
	info, err := fs.Stat(fsys, p)
	return err == nil && info.IsDir()
}

// appendEntry adds a regular file; devices, pipes and broken links are not
// files of a board.
func appendEntry(out []entry, fsys fs.FS, p string) []entry {
	info, err := fs.Stat(fsys, p)
	if err != nil || !info.Mode().IsRegular() {
		return out
	}
	return append(out, entry{p, info.Size()})
}

var errTooLarge = errors.New("too large to be a fabrication file")

// head reads up to n first bytes of a file.
func head(fsys fs.FS, p string, n int64) ([]byte, error) {
	f, err := fsys.Open(p)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, n))
}

// whole reads a file, at most maxFile bytes of it.
func whole(fsys fs.FS, p string) ([]byte, error) {
	b, err := head(fsys, p, maxFile+1)
	if err != nil {
		return nil, err
	}
	if len(b) > maxFile {
		return nil, errTooLarge
	}
	return b, nil
}
