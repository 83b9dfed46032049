package boardread

import (
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

// Open reads a board from a folder, a zip or one IPC-2581 file. It never writes. Progress, when
// not nil, is told each step.
func Open(ctx context.Context, where string, opt Options, progress func(string)) (*board.Board, error) {
	if progress == nil {
		progress = func(string) {}
	}
	opt.givenPath = where
	name := filepath.Base(filepath.Clean(where))
	info, err := os.Stat(where)
	if err != nil {
		if outer, inner, ok := insideZip(where); ok {
			return openInside(ctx, outer, inner, opt, progress)
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("board: %s: no such folder, zip or file", where)
		}
		return nil, fmt.Errorf("board: %w", err)
	}
	if info.IsDir() {
		return read(ctx, os.DirFS(where), name, opt, progress)
	}
	if !info.Mode().IsRegular() || info.Size() > maxTotal {
		return nil, fmt.Errorf("board: %s: not a folder, nor a file of at most %d MB", where, maxTotal>>20)
	}
	data, err := os.ReadFile(where)
	if err != nil {
		return nil, fmt.Errorf("board: %w", err)
	}
	switch kind := sniff(name, data[:min(len(data), headSize)]); {
	case kind == format.IPC2581:
		return single(ctx, name, data, opt, progress)
	case !isZip(data):
		return nil, fmt.Errorf("board: %s: neither a folder, nor a zip, nor an IPC-2581 file: give the folder or "+
			"zip that holds the fabrication files", where)
	}
	progress("unpacking")
	a, err := unpack(data)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", where, err)
	}
	return a.board(ctx, strings.TrimSuffix(name, filepath.Ext(name)), opt, progress)
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

// openInside reads a board out of a folder or a zip within a zip.
func openInside(ctx context.Context, outer, inner string, opt Options,
	progress func(string)) (*board.Board, error) {
	data, err := os.ReadFile(outer)
	if err != nil {
		return nil, fmt.Errorf("board: %w", err)
	}
	if !isZip(data) {
		return nil, fmt.Errorf("board: %s: no zip, so there is no %s in it", outer, inner)
	}
	progress("unpacking")
	a, err := unpack(data)
	if err == nil {
		a, err = a.within(inner)
	}
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", outer, err)
	}
	return a.board(ctx, path.Base(inner), opt, progress)
}

// single reads a board of one IPC-2581 file.
func single(ctx context.Context, name string, data []byte, opt Options,
	progress func(string)) (*board.Board, error) {
	a := &archive{files: map[string][]byte{name: data}, order: []string{name}}
	name = strings.TrimSuffix(name, ".gz")
	return a.board(ctx, strings.TrimSuffix(name, filepath.Ext(name)), opt, progress)
}

// Read reads a board from a file system, as one embedded in a program. The
// name is the board's.
func Read(fsys fs.FS, name string, opt Options) (*board.Board, error) {
	return read(context.Background(), fsys, name, opt, func(string) {})
}

func isZip(data []byte) bool {
	return strings.HasPrefix(string(data[:min(4, len(data))]), "PK\x03\x04")
}

func (a *archive) board(ctx context.Context, name string, opt Options,
	progress func(string)) (*board.Board, error) {
	slices.SortFunc(a.order, func(x, y string) int {
		if lessPath(x, y) {
			return -1
		}
		return 1
	})
	set, user, err := load(ctx, a, a.entries(), opt, progress)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", name, err)
	}
	if !slices.ContainsFunc(set, func(s *source) bool { return s.use == useCopper || s.use == useWhole }) &&
		!a.nested {
		in, only, err := a.alone()
		if err != nil {
			return nil, fmt.Errorf("board: %s: zip entry %s: %w", name, only, err)
		}
		if in != nil {
			in.nested = true
			return in.board(ctx, name, opt, progress)
		}
		if tops := a.tops(); len(tops) > 0 {
			return nil, fmt.Errorf("board: %s: no copper layer in it or one folder down: name the folder or zip in "+
				"it that holds the board, as in %s/%s (it holds %s)", name, opt.givenName(name), tops[0], someOf(tops))
		}
	}
	b, err := assemble(ctx, set, user, name, opt, progress)
	if err != nil {
		return nil, err
	}
	b.Files = append(b.Files, a.odd...)
	return b, nil
}

// read reads a folder. A zip in it is left alone when the folder holds the
// board unpacked, and is read in the folder's stead when it is all there is.
func read(ctx context.Context, fsys fs.FS, name string, opt Options,
	progress func(string)) (*board.Board, error) {
	files, err := list(fsys)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", name, err)
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("board: %s: the folder is empty: put the board's Gerber and drill files into it",
			name)
	}
	set, user, err := load(ctx, fsys, files, opt, progress)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", name, err)
	}
	zips := slices.DeleteFunc(slices.Clone(set), func(s *source) bool { return s.role != zipRole })
	copper := slices.ContainsFunc(set, func(s *source) bool { return s.use == useCopper || s.use == useWhole })
	if copper || len(zips) == 0 {
		for _, z := range zips {
			z.ignore("a zip beside unpacked files: left alone")
		}
		return assemble(ctx, set, user, name, opt, progress)
	}
	if len(zips) > 1 {
		return nil, fmt.Errorf("board: %s: no copper layer, but %d zips: name the one to read", name, len(zips))
	}
	data, err := whole(fsys, zips[0].path)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", zips[0].path, err)
	}
	progress("unpacking")
	a, err := unpack(data)
	if err != nil {
		return nil, fmt.Errorf("board: %s: %w", zips[0].path, err)
	}
	b, err := a.board(ctx, name, opt, progress)
	if err != nil {
		return nil, err
	}
	for _, s := range set {
		if s.role == zipRole {
			b.Files = append(b.Files, board.File{Path: s.path, Role: "archive",
				Why: "the folder's only copper is in it"})
		} else {
			b.Files = append(b.Files, board.File{Path: s.path, Role: ignored,
				Why: "lies beside the zip that was read"})
		}
	}
	return b, nil
}

// zipRole marks a zip found among the files.
const zipRole = "archive"
