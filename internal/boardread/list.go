package boardread

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
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
	out, err := listFolder(fsys, ".", nil)
	slices.SortFunc(out, comparePaths)
	return out, err
}

// listFolder appends a folder's regular files, those behind links too; devices,
// pipes and broken links are not files of a board.
func listFolder(fsys fs.FS, folder string, out []entry) ([]entry, error) {
	inside, err := fs.ReadDir(fsys, folder)
	if err != nil && folder == "." {
		return nil, fmt.Errorf("listing the folder: %w", err)
	}
	for _, d := range inside { // none where a sub-folder cannot be listed: it is none of ours
		p := path.Join(folder, d.Name())
		info, err := fs.Stat(fsys, p)
		switch {
		case err != nil || hiddenName(d.Name()):
		case info.IsDir() && folder == ".":
			if out, err = listFolder(fsys, p, out); err != nil {
				return nil, err
			}
		case info.Mode().IsRegular():
			out = append(out, entry{p, info.Size()})
		}
	}
	if len(out) > maxFiles {
		return nil, fmt.Errorf("more than %d files: name the folder that holds one board's fabrication files",
			maxFiles)
	}
	return out, nil
}

// comparePaths orders files of the folder itself before those of sub-folders.
func comparePaths(a, b entry) int {
	return cmp.Or(cmp.Compare(strings.Count(a.path, "/"), strings.Count(b.path, "/")), cmp.Compare(a.path,
		b.path))
}

func hiddenName(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "__MACOSX")
}

var errTooLarge = errors.New("too large to be a fabrication file")

// opener opens a file of a folder or an archive.
type opener func(path string) (io.ReadCloser, error)

func inFolder(fsys fs.FS) opener {
	return func(p string) (io.ReadCloser, error) { return fsys.Open(p) }
}

// head reads up to n first bytes of a file.
func head(open opener, p string, n int64) ([]byte, error) {
	f, err := open(p)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, n))
}

// whole reads a file, at most maxFile bytes of it.
func whole(open opener, p string) ([]byte, error) {
	b, err := head(open, p, maxFile+1)
	if err != nil {
		return nil, err
	}
	if len(b) > maxFile {
		return nil, errTooLarge
	}
	return b, nil
}
