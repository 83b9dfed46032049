package boardread

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"ohmward/format"
	"ohmward/internal/board"
)

// reader is one reading of a board.
type reader struct {
	ctx      context.Context
	opt      Options
	progress func(string)
}

// Open reads a board from a folder, a zip or one IPC-2581 file. It never writes. Progress, when
// not nil, is told each step.
func Open(ctx context.Context, where string, opt Options, progress func(string)) (*board.Board, error) {
	if progress == nil {
		progress = func(string) {}
	}
	opt.givenPath = where
	r := reader{ctx, opt, progress}
	name := filepath.Base(filepath.Clean(where))
	info, err := os.Stat(where)
	if err != nil {
		if outer, inner, ok := insideZip(where); ok {
			return r.inside(outer, inner)
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("board: %s: no such folder, zip or file", where)
		}
		return nil, fmt.Errorf("board: %w", err)
	}
	if info.IsDir() {
		return r.folder(os.DirFS(where), name)
	}
	if !info.Mode().IsRegular() || info.Size() > maxTotal {
		return nil, fmt.Errorf("board: %s: not a folder, nor a file of at most %d MB", where, maxTotal>>20)
	}
	data, err := os.ReadFile(where)
	if err != nil {
		return nil, fmt.Errorf("board: %w", err)
	}
	bare := strings.TrimSuffix(name, filepath.Ext(name))
	switch kind := sniff(name, data[:min(len(data), headSize)]); {
	case kind == format.IPC2581:
		a := &archive{files: map[string][]byte{name: data}, order: []string{name}}
		name = strings.TrimSuffix(name, ".gz")
		return r.archive(a, strings.TrimSuffix(name, filepath.Ext(name)))
	case !isZip(data):
		return nil, fmt.Errorf("board: %s: neither a folder, nor a zip, nor an IPC-2581 file: give the folder or "+
			"zip that holds the fabrication files", where)
	}
	return r.zip(data, where, "", bare)
}

// insideZip splits a path that leads on behind a zip file.
func insideZip(p string) (outer, inner string, ok bool) {
	outer = filepath.Clean(p)
	for {
		up := filepath.Dir(outer)
		if up == outer {
			return "", "", false
		}
		inner = path.Join(filepath.Base(outer), inner)
		outer = up
		if info, err := os.Stat(outer); err == nil {
			return outer, inner, info.Mode().IsRegular() && info.Size() <= maxTotal
		}
	}
}

// inside reads a board out of a folder or a zip within a zip.
func (r reader) inside(outer, inner string) (*board.Board, error) {
	data, err := os.ReadFile(outer)
	if err != nil {
		return nil, fmt.Errorf("board: %w", err)
	}
	if !isZip(data) {
		return nil, fmt.Errorf("board: %s: no zip, so there is no %s in it", outer, inner)
	}
	return r.zip(data, outer, inner, path.Base(inner))
}

// zip reads a board out of a zip, or of what it holds under a name.
func (r reader) zip(data []byte, file, inner, name string) (*board.Board, error) {
	r.progress("unpacking")
	a, err := unpack(data)
	if err == nil && inner != "" {
		a, err = a.within(inner)
	}
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", file, err)
	}
	return r.archive(a, name)
}

// Read reads a board from a file system, as one embedded in a program. The
// name is the board's.
func Read(fsys fs.FS, name string, opt Options) (*board.Board, error) {
	return reader{context.Background(), opt, func(string) {}}.folder(fsys, name)
}

func isZip(data []byte) bool {
	return bytes.HasPrefix(data, []byte("PK\x03\x04"))
}

func (r reader) archive(a *archive, name string) (*board.Board, error) {
	set, user, err := r.load(a.open, a.entries())
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", name, err)
	}
	if !slices.ContainsFunc(set, (*source).hasCopper) && !a.nested {
		in, only, err := a.alone()
		if err != nil {
			return nil, fmt.Errorf("board: %s: zip entry %s: %w", name, only, err)
		}
		if in != nil {
			in.nested = true
			return r.archive(in, name)
		}
		if tops := a.tops(); len(tops) > 0 {
			return nil, fmt.Errorf("board: %s: no copper layer in it or one folder down: name the folder or zip in "+
				"it that holds the board, as in %s/%s (it holds %s)", name, r.opt.givenName(name), tops[0], someOf(tops))
		}
	}
	b, err := r.assemble(set, user, name)
	if err != nil {
		return nil, err
	}
	b.Files = append(b.Files, a.odd...)
	return b, nil
}

// folder reads a folder. A zip in it is left alone when the folder holds the
// board unpacked, and is read in the folder's stead when it is all there is.
func (r reader) folder(fsys fs.FS, name string) (*board.Board, error) {
	files, err := list(fsys)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", name, err)
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("board: %s: the folder is empty: put the board's Gerber and drill files into it",
			name)
	}
	set, user, err := r.load(inFolder(fsys), files)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", name, err)
	}
	zips := slices.DeleteFunc(slices.Clone(set), func(s *source) bool { return s.role != zipRole })
	if slices.ContainsFunc(set, (*source).hasCopper) || len(zips) == 0 {
		for _, z := range zips {
			z.ignore("a zip beside unpacked files: left alone")
		}
		return r.assemble(set, user, name)
	}
	if len(zips) > 1 {
		return nil, fmt.Errorf("board: %s: no copper layer, but %d zips: name the one to read", name, len(zips))
	}
	data, err := whole(inFolder(fsys), zips[0].path)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", zips[0].path, err)
	}
	b, err := r.zip(data, zips[0].path, "", name)
	if err != nil {
		return nil, err
	}
	for _, s := range set {
		role, why := ignored, "lies beside the zip that was read"
		if s.role == zipRole {
			role, why = zipRole, "the folder's only copper is in it"
		}
		b.Files = append(b.Files, board.File{Path: s.path, Role: role, Why: why})
	}
	return b, nil
}

func (s *source) hasCopper() bool { return s.use == useCopper || s.use == useWhole }

// zipRole marks a zip found among the files.
const zipRole = "archive"
